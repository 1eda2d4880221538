using System.Globalization;

namespace Spoolwright.Bench.Service.Register;

/// <summary>
/// An instrument with everything that happened to it and every measurement that leaned on it: how far could it be trusted at a time?
/// </summary>
/// <param name="Instrument">The entry that stands.</param>
/// <param name="Events">Events that stand, in the order they were entered.</param>
/// <param name="Leanings">Measurements that leaned on it, oldest first; where the book holds thousands, those that are looked at.</param>
public sealed record InstrumentHistory(KeptInstrument Instrument, IReadOnlyList<InstrumentEvent> Events, IReadOnlyList<Leaning> Leanings)
{
    /// <summary>Lays out the history of each instrument; readings lean on it by kind and name.</summary>
    public static IReadOnlyList<InstrumentHistory> Of(IReadOnlyList<KeptInstrument> instruments, IReadOnlyList<InstrumentEvent> events,
        IReadOnlyList<Leaning> leanings)
    {
        ArgumentNullException.ThrowIfNull(instruments);
        var (of, leaned) = (events.ToLookup(e => e.InstrumentId), leanings.ToLookup(l => (KeptInstrument.KindWord(l.Kind), l.Name)));
        return [.. instruments.OrderBy(i => i.Kind, StringComparer.Ordinal).ThenBy(i => i.Name, StringComparer.Ordinal)
            .Select(i => new InstrumentHistory(
            i, [.. of[i.Root].OrderBy(e => e.Entered)], [.. leaned[(KeptInstrument.KindWord(i.Kind), i.Name)]
                .OrderBy(l => l.MeasuredAt)]))];
    }

    /// <summary>When each capture was first leaned on, in order; not given: those of <see cref="Leanings"/>.</summary>
    // Asked for every measurement of a register, so it is found by halving.
    public IReadOnlyList<DateTimeOffset> Plays { get; init; } = [.. Leanings.Where(l => l.Sha256.Length > 0)
        .GroupBy(l => l.Sha256, StringComparer.Ordinal).Select(g => g.Min(l => l.MeasuredAt)).Order()];

    /// <summary>How many measurements leaned on it; not given: those of <see cref="Leanings"/>.</summary>
    public int Measurements { get; init; } = Leanings.Count;

    /// <summary>
    /// Plays of a test tape up to a time: each capture once, whatever was measured in it, and those before the book counted.
    /// </summary>
    public int PlaysBy(DateTimeOffset time)
    {
        var (from, to) = (0, Plays.Count);
        while (from < to)
        {
            var middle = (from + to) / 2;
            (from, to) = Plays[middle] <= time ? (middle + 1, to) : (from, middle);
        }

        return Instrument.PlaysBefore + from;
    }

    /// <summary>Until which day it may be trusted at a time: the certificate's, or that of the last calibration before.</summary>
    public DateOnly? DueAt(DateTimeOffset time) => Calibrations(time).LastOrDefault() is { } last ? last.DueOn : Instrument.DueOn;

    /// <summary>
    /// Everything that speaks against a reading of that time. A doubt reaches back to the time it names, a calibration ends what lay
    /// before it, and clearing takes back every
    /// doubt that was entered before.
    /// </summary>
    public IReadOnlyList<InstrumentDoubt> DoubtsAt(DateTimeOffset time)
    {
        var doubts = new List<InstrumentDoubt>();
        var kind = Instrument.Kind.Replace('-', ' ');
        var name = Instrument.Name.Contains(kind, StringComparison.OrdinalIgnoreCase) ? Instrument.Name : $"{kind} {Instrument.Name}";
        var day = DateOnly.FromDateTime(time.UtcDateTime);
        if (DueAt(time) is { } due && day > due)
            doubts.Add(new InstrumentDoubt("instrument-overdue", $"The {name} was due on {Day(due)} and was not certified since."));
        var lastCalibrated = Calibrations(time).LastOrDefault()?.Since ?? DateTimeOffset.MinValue;
        var lastCleared = Events.LastOrDefault(e => e.Kind == InstrumentEventKind.Cleared)?.Entered ?? DateTimeOffset.MinValue;
        foreach (var entry in Events.Where(e => e.Since <= time && e.Since > lastCalibrated && e.Entered > lastCleared))
        {
            if (entry.Kind == InstrumentEventKind.Doubt)
                doubts.Add(new InstrumentDoubt("instrument-doubtful",
                    $"The {name} is in doubt since {Day(entry.Since)}: {entry.What.TrimEnd('.')}."));
            else if (entry.Kind == InstrumentEventKind.FieldExposure)
                doubts.Add(new InstrumentDoubt("instrument-exposed",
                    $"The {name} lay in a strong field on {Day(entry.Since)} and was not certified since: {entry.What.TrimEnd('.')}."));
        }

        if (Events.FirstOrDefault(e => e.Kind == InstrumentEventKind.Retired && e.Since <= time) is { } retired)
            doubts.Add(new InstrumentDoubt("instrument-retired",
                $"The {name} was retired on {Day(retired.Since)}: {retired.What.TrimEnd('.')}."));
        if (Instrument.PlaysAtMost is { } most && PlaysBy(time) is var plays && plays > most)
            doubts.Add(new InstrumentDoubt("instrument-worn",
                string.Create(CultureInfo.InvariantCulture, $"The {name} had been played {plays} times, and is trusted for {most}.")));
        return doubts;
    }

    /// <summary>
    /// Stretches of time, earliest first, in which something speaks against a reading: what leaned on it then must be looked at again.
    /// What it rests on changes at the times of events, at the end of a due day and at the play that is one too many, and nowhere else.
    /// </summary>
    public IReadOnlyList<DoubtedSpan> DoubtedSpans()
    {
        var changes = Events
            .Select(e => e.Since)
            .Concat(Events.Select(e => e.DueOn).Append(Instrument.DueOn).OfType<DateOnly>().Select(After))
            .ToList();
        if (Instrument.PlaysAtMost is { } most && most - Instrument.PlaysBefore is var left && left < Plays.Count)
            changes.Add(left < 0 ? DateTimeOffset.MinValue : Plays[left]);
        DateTimeOffset[] from = [.. changes.Append(DateTimeOffset.MinValue).Distinct().Order()];
        var spans = new List<DoubtedSpan>();
        for (var i = 0; i < from.Length; i++)
        {
            DateTimeOffset? until = i + 1 < from.Length ? from[i + 1] : null;
            if (DoubtsAt(from[i]).Count == 0)
                continue;
            if (spans is [.., var last] && last.Until == from[i])
                spans[^1] = last with { Until = until };
            else
                spans.Add(new DoubtedSpan(from[i], until));
        }

        return spans;
    }

    /// <summary>Measurements that leaned on it while something spoke against it.</summary>
    public IReadOnlyList<(Leaning Leaning, IReadOnlyList<InstrumentDoubt> Doubts)> Touched =>
        [.. Leanings.Select(l => (l, Doubts: DoubtsAt(l.MeasuredAt))).Where(t => t.Doubts.Count > 0)];

    private IEnumerable<InstrumentEvent> Calibrations(DateTimeOffset time) =>
        Events.Where(e => e.Kind == InstrumentEventKind.Calibrated && e.Since <= time).OrderBy(e => e.Since);

    // Days are counted by UTC, as the doubt itself counts them.
    private static DateTimeOffset After(DateOnly day) => new(day.AddDays(1).ToDateTime(TimeOnly.MinValue), TimeSpan.Zero);

    private static string Day(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    private static string Day(DateOnly day) => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
