using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>What leaned on an instrument while something spoke against it.</summary>
/// <param name="Measurements">How many.</param>
/// <param name="Decks">On how many decks.</param>
/// <param name="Newest">The newest of them, with what speaks against each.</param>
public sealed record TouchedReadings(
    int Measurements,
    int Decks,
    IReadOnlyList<(Leaning Leaning, IReadOnlyList<InstrumentDoubt> Doubts)> Newest
);

/// <summary>The shop's instruments: what they are, how far they may be trusted, and which readings leaned on them.</summary>
public sealed class InstrumentDesk(ServiceBook book)
{
    /// <summary>Every instrument with its history, without the measurements that leaned on it: those are counted.</summary>
    public IReadOnlyList<InstrumentHistory> Histories()
    {
        var counts = book.LeaningCounts();
        return
        [
            .. Told(book.Standing<KeptInstrument>()).Select(h => h with { Measurements = counts.GetValueOrDefault(Key(h.Instrument)) }),
        ];
    }

    /// <summary>An instrument's history, without the measurements that leaned on it: those are counted.</summary>
    /// <param name="root">The first entry of its line.</param>
    public InstrumentHistory History(Guid root) =>
        Told([book.Look(w => w.Current<KeptInstrument>(root))]) is [var h]
            ? h with
            {
                Measurements = book.LeaningCounts().GetValueOrDefault(Key(h.Instrument)),
            }
            : throw new InvalidOperationException("one instrument has one history");

    /// <summary>What leaned on an instrument while something spoke against it, the newest first.</summary>
    /// <param name="history">The instrument.</param>
    /// <param name="most">How many rows at most; the counts are of all.</param>
    public TouchedReadings Touched(InstrumentHistory history, int most = int.MaxValue)
    {
        ArgumentNullException.ThrowIfNull(history);
        var (spans, (kind, name)) = (history.DoubtedSpans(), Key(history.Instrument));
        if (spans.Count == 0)
            return new TouchedReadings(0, 0, []);
        var (measurements, decks) = book.Leaned(kind, name, spans);
        return new TouchedReadings(
            measurements,
            decks,
            [.. book.Leanings(kind, name, most, spans).Select(l => (l, history.DoubtsAt(l.MeasuredAt)))]
        );
    }

    /// <summary>Measurements that leaned on an instrument, the newest first.</summary>
    public IReadOnlyList<Leaning> Leanings(InstrumentHistory history, int most)
    {
        ArgumentNullException.ThrowIfNull(history);
        var (kind, name) = Key(history.Instrument);
        return book.Leanings(kind, name, most);
    }

    /// <summary>The instrument of a name.</summary>
    public InstrumentHistory Find(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        var all = Histories();
        var exact = all.Where(h => string.Equals(h.Instrument.Name, name, StringComparison.OrdinalIgnoreCase)).ToList();
        var found = exact.Count > 0 ? exact : [.. all.Where(h => h.Instrument.Name.StartsWith(name, StringComparison.OrdinalIgnoreCase))];
        return found.Count switch
        {
            1 => found[0],
            0 => throw new EntryException(
                $"the shop keeps no instrument \"{name}\"; it keeps {string.Join(", ", all.Select(h => h.Instrument.Name))}"
            ),
            _ => throw new EntryException(
                $"several instruments begin with \"{name}\": {string.Join(", ", found.Select(h => h.Instrument.Name))}"
            ),
        };
    }

    /// <summary>Takes an instrument into the register. A test tape's or gauge's file is read and kept with it.</summary>
    public KeptInstrument Keep(KeptInstrument instrument)
    {
        ArgumentNullException.ThrowIfNull(instrument);
        if (instrument.Json is { } json)
        {
            var problem = KeptInstrument.KindWord(instrument.Kind) == "test-tape" ? TestTapeFile.Parse(json).Errors.FirstOrDefault()
                : GaugeFile.Parse(json).Errors.FirstOrDefault();
            if (problem is not null)
                throw new EntryException($"the instrument's file cannot be used: {problem}");
        }

        return book.Work(w => w.Standing<KeptInstrument>()
            .Any(i => i.Name == instrument.Name && KeptInstrument.KindWord(i.Kind) == KeptInstrument.KindWord(instrument.Kind))
            ? throw new EntryException($"the shop keeps a {instrument.Kind} \"{instrument.Name}\" already")
            : w.Add(instrument with { Kind = KeptInstrument.KindWord(instrument.Kind) }));
    }

    /// <summary>Writes down what happened to an instrument.</summary>
    public InstrumentEvent Note(string name, InstrumentEventKind kind, DateTimeOffset since, string what, DateOnly? dueOn = null)
    {
        if (since > book.Now)
            throw new EntryException($"{since:yyyy-MM-dd} lies in the future");
        return book.Add(new InstrumentEvent
        {
            InstrumentId = Find(name).Instrument.Root,
            Kind = kind,
            Since = since,
            What = what,
            DueOn = dueOn
        });
    }

    /// <summary>
    /// A job's readings with a warning on each measurement that leaned on an instrument while something spoke against it, as of what the
    /// book knows now: a doubt entered today
    /// shows on readings of last year.
    /// </summary>
    public JobFile WithDoubts(JobFile file)
    {
        ArgumentNullException.ThrowIfNull(file);
        var named = file
            .Measurements.SelectMany(m => m.Entry.Instruments)
            .Select(i => (Kind: KeptInstrument.KindWord(i.Kind), i.Name))
            .ToHashSet();
        var histories = Told([.. book.Standing<KeptInstrument>().Where(i => named.Contains(Key(i)))], wornAlone: true)
            .ToDictionary(h => Key(h.Instrument));
        return file with
        {
            Measurements = [.. file.Measurements.Select(m =>
            {
                var doubts = m.Entry.Instruments.Select(i => histories.GetValueOrDefault((KeptInstrument.KindWord(i.Kind), i.Name)))
                    .OfType<InstrumentHistory>()
                    .SelectMany(h => h.DoubtsAt(m.Entry.MeasuredAt)).ToList();
                return doubts.Count == 0 ? m
                    : m with { Result = m.Result with { Notes = [.. m.Result.Notes,
                        .. doubts.Select(d => new Note(NoteSeverity.Warning, d.Code, d.Text))] } };
            })],
        };
    }

    private static (string Kind, string Name) Key(KeptInstrument instrument) => (KeptInstrument.KindWord(instrument.Kind), instrument.Name);

    // A book of a lifetime has thousands of plays of each tape: they are read where they matter alone. For doubts that is where there may
    // have been too many, and there are no more plays than measurements.
    private IReadOnlyList<InstrumentHistory> Told(IReadOnlyList<KeptInstrument> instruments, bool wornAlone = false)
    {
        var counts = wornAlone && instruments.Any(i => i.PlaysAtMost is not null) ? book.LeaningCounts() : null;
        return
        [
            .. InstrumentHistory
                .Of(instruments, instruments.Count == 0 ? [] : book.Standing<InstrumentEvent>(), [])
                .Select(h =>
                {
                    var (i, key) = (h.Instrument, Key(h.Instrument));
                    var matter = i.PlaysAtMost is { } most
                        ? counts is null || i.PlaysBefore + counts.GetValueOrDefault(key) > most
                        : !wornAlone && key.Kind == "test-tape";
                    return matter ? h with { Plays = book.Plays(key.Kind, key.Name) } : h;
                }),
        ];
    }
}
