using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Service.Field;

/// <summary>One quantity over every deck of a kind.</summary>
/// <param name="Key">The quantity and its condition.</param>
/// <param name="AsFound">Spread over the decks as found; null: none.</param>
/// <param name="AsLeft">Spread over the decks as left; null: none.</param>
/// <param name="Gain">
/// Spread of what each deck gained, positive is better: nearer to 0 where a quantity lies either side of it, less where less is better,
/// more where more is. Null: no deck has both, or neither is better.
/// </param>
/// <param name="Decks">Each deck's last reading, as found and as left.</param>
public sealed record FieldQuantity(FieldKey Key, Spread? AsFound, Spread? AsLeft, Spread? Gain, IReadOnlyList<FieldDeck> Decks)
{
    /// <summary>Where a deck stands among the others as left: how many lie below it, of how many others; null: it has no reading.</summary>
    public (int Below, int Others)? StandOf(Guid deckId) => Decks.FirstOrDefault(d => d.DeckId == deckId)?.AsLeft is not { } own ? null
        : (Decks.Count(d => d.DeckId != deckId && d.AsLeft < own), Decks.Count(d => d.DeckId != deckId && d.AsLeft is not null));
}

/// <summary>One deck's last reading at both points.</summary>
public sealed record FieldDeck(Guid DeckId, string SerialNumber, double? AsFound, double? AsLeft);

/// <summary>How well one's own measuring repeats: the same deck, condition, tape and day, untouched between.</summary>
/// <param name="Quantity">The quantity.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Deviation">Standard deviation of a single measurement, pooled over the groups.</param>
/// <param name="Freedom">Degrees of freedom behind it.</param>
/// <param name="Groups">Groups of two or more.</param>
public sealed record Repeatability(string Quantity, string Unit, double Deviation, int Freedom, int Groups)
{
    /// <summary>Two measurements that differ by more than this are really different, in 95 of 100 cases: t·s·√2.</summary>
    public double LeastDifference => Confidence.Student(Freedom) * Deviation * Math.Sqrt(2);
}

/// <summary>Figures over all decks of a kind.</summary>
public static class DeckField
{
    /// <summary>Every quantity's spread as found and as left, over decks: the last standing reading of each counts.</summary>
    public static IReadOnlyList<FieldQuantity> Quantities(IEnumerable<FieldReading> readings) => Quantities(Jobs(readings));

    /// <summary>Every quantity's spread as found and as left, over decks, from the figures of their jobs, oldest job first.</summary>
    public static IReadOnlyList<FieldQuantity> Quantities(IEnumerable<JobFigures> jobs)
    {
        ArgumentNullException.ThrowIfNull(jobs);
        var last = new Dictionary<FieldKey, Dictionary<Guid, DeckLast>>();
        foreach (var job in jobs)
        {
            foreach (var reading in job.Last)
            {
                var decks = last.TryGetValue(reading.Key, out var known) ? known : last[reading.Key] = [];
                (decks.TryGetValue(job.DeckId, out var deck) ? deck : decks[job.DeckId] = new DeckLast(job.SerialNumber)).Take(reading);
            }
        }

        return [.. last.Select(q =>
        {
            FieldDeck[] decks = [.. q.Value.OrderBy(d => d.Value.SerialNumber, StringComparer.Ordinal)
                .Select(d => new FieldDeck(d.Key, d.Value.SerialNumber, d.Value.Value(Mark.AsFound), d.Value.Value(Mark.AsLeft)))];
            return new FieldQuantity(q.Key, SpreadOf(decks.Select(d => d.AsFound)), SpreadOf(decks.Select(d => d.AsLeft)),
                SpreadOf(decks.Select(d => Gain(q.Key.Quantity, d.AsFound, d.AsLeft))), decks);
        }).OrderBy(q => q.Key.ToString(), StringComparer.Ordinal)];
    }

    /// <summary>
    /// Repeatability of each quantity, from measurements of the same job, condition, mark, instruments and day; superseded ones count,
    /// typed ones do not.
    /// </summary>
    public static IReadOnlyList<Repeatability> Repeats(IEnumerable<FieldReading> readings) => Repeats(Jobs(readings));

    /// <summary>Repeatability of each quantity, from the figures of jobs.</summary>
    public static IReadOnlyList<Repeatability> Repeats(IEnumerable<JobFigures> jobs)
    {
        ArgumentNullException.ThrowIfNull(jobs);
        return [.. jobs.SelectMany(j => j.Repeats).GroupBy(r => (r.Quantity, r.Unit)).Select(q =>
        {
            var freedom = q.Sum(r => r.Freedom);
            return new Repeatability(q.Key.Quantity, q.Key.Unit, Math.Sqrt(q.Sum(r => r.Squares) / freedom), freedom, q.Sum(r => r.Groups));
        }).OrderBy(r => r.Quantity, StringComparer.Ordinal)];
    }

    private static IEnumerable<JobFigures> Jobs(IEnumerable<FieldReading> readings)
    {
        ArgumentNullException.ThrowIfNull(readings);
        return readings.GroupBy(r => (r.DeckId, r.JobId)).Select(g => JobFigures.Of([.. g]));
    }

    private static double? Gain(string quantity, double? found, double? left) => LimitSenses.Of(quantity) switch
    {
        LimitSense.Deviation => Math.Abs(found ?? double.NaN) - Math.Abs(left ?? double.NaN),
        LimitSense.Magnitude or LimitSense.AtMost => found - left,
        LimitSense.AtLeast => left - found,
        _ => null, // a level or a force that must lie in an interval: more is neither better nor worse
    } is { } gain && double.IsFinite(gain) ? gain : null;

    private static Spread? SpreadOf(IEnumerable<double?> figures) => figures.OfType<double>().ToArray() is { Length: > 0 } some
        ? Spread.Of(some) : null;

    /// <summary>One deck's last readings of a quantity.</summary>
    private sealed class DeckLast(string serialNumber)
    {
        private LastReading? found, left;

        public string SerialNumber => serialNumber;

        public void Take(LastReading reading)
        {
            if (reading.Mark == Mark.AsFound && !(found?.At >= reading.At))
                found = reading;
            else if (reading.Mark == Mark.AsLeft && !(left?.At >= reading.At))
                left = reading;
        }

        public double? Value(Mark mark) => (mark == Mark.AsFound ? found : left)?.Value;
    }
}
