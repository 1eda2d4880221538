using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>The shop's instruments: what they are, how far they may be trusted, and which readings leaned on them.</summary>
public sealed class InstrumentDesk(ServiceBook book)
{
    /// <summary>Every instrument with its history.</summary>
    public IReadOnlyList<InstrumentHistory> Histories() =>
        InstrumentHistory.Of(book.Standing<KeptInstrument>(), book.Standing<InstrumentEvent>(), book.Leanings());

    /// <summary>The instrument of a name.</summary>
    public InstrumentHistory Find(string name)
    {
        var all = Histories();
        var exact = all.Where(h => string.Equals(h.Instrument.Name, name, StringComparison.OrdinalIgnoreCase)).ToList();
        var found = exact.Count > 0 ? exact : [.. all.Where(h => h.Instrument.Name.StartsWith(name, StringComparison.OrdinalIgnoreCase))];
        return found.Count switch
        {
            1 => found[0],
            0 => throw new EntryException($"the shop keeps no instrument \"{name}\"; it keeps {string.Join(", ", all.Select(h => h.Instrument.Name))}"),
            _ => throw new EntryException($"several instruments begin with \"{name}\": {string.Join(", ", found.Select(h => h.Instrument.Name))}"),
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
        var histories = Histories().ToDictionary(h => (KeptInstrument.KindWord(h.Instrument.Kind), h.Instrument.Name));
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
}
