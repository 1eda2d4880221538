namespace Spoolwright.Bench.Service.Field;

/// <summary>The last standing reading of a quantity in one job, at one point of it.</summary>
/// <param name="Key">What it is a reading of.</param>
/// <param name="Mark">At which point of the job.</param>
/// <param name="At">When it was measured.</param>
/// <param name="Value">Its value, in the key's unit.</param>
public sealed record LastReading(FieldKey Key, Mark Mark, DateTimeOffset At, double Value);

/// <summary>What one job says of how well measuring repeats.</summary>
/// <param name="Quantity">The quantity.</param>
/// <param name="Unit">Its unit.</param>
/// <param name="Squares">Sum of squares about each group's mean.</param>
/// <param name="Freedom">Degrees of freedom behind it.</param>
/// <param name="Groups">Groups of two or more.</param>
public sealed record RepeatSum(string Quantity, string Unit, double Squares, int Freedom, int Groups);

/// <summary>One job's part in what is said of all decks of a kind.</summary>
/// <param name="DeckId">Its deck.</param>
/// <param name="SerialNumber">The deck's serial number.</param>
/// <param name="Last">Its last reading of each quantity, as found and as left.</param>
/// <param name="Repeats">Its measurements that were repeated.</param>
public sealed record JobFigures(Guid DeckId, string SerialNumber, IReadOnlyList<LastReading> Last, IReadOnlyList<RepeatSum> Repeats)
{
    // A line of the flutter spectrum has a frequency of its own in each measurement: no two decks share one.
    private static readonly string NotCompared = Quantity.FlutterLine.Id;

    /// <summary>Whether a quantity is laid side by side over decks.</summary>
    public static bool Compares(string quantity, string unit) =>
        quantity != NotCompared && (Quantity.Find(quantity) is not { } known || known.Unit == unit);

    /// <summary>The figures of one job.</summary>
    /// <param name="readings">All its readings, superseded ones among them, oldest first; at least one.</param>
    public static JobFigures Of(IReadOnlyList<FieldReading> readings)
    {
        ArgumentNullException.ThrowIfNull(readings);
        var compared = readings.Where(r => Compares(r.Key.Quantity, r.Key.Unit)).ToList();
        var last = compared.Where(r => !r.Superseded).GroupBy(r => (r.Key, r.Mark)).Select(g => g.MaxBy(r => r.MeasuredAt)!)
            .Select(r => new LastReading(r.Key, r.Mark, r.MeasuredAt, r.Value));
        return new JobFigures(readings[0].DeckId, readings[0].SerialNumber, [.. last], [.. Repeated(compared)]);
    }

    // The same deck, condition, mark, instruments and day; superseded ones count, typed ones do not.
    private static IEnumerable<RepeatSum> Repeated(IEnumerable<FieldReading> readings) =>
        readings
            .Where(r => r.Measured)
            .GroupBy(r => (r.Key, r.Mark, r.Instruments, Day: DateOnly.FromDateTime(r.MeasuredAt.UtcDateTime)))
            .Where(g => g.Select(r => r.MeasurementId).Distinct().Count() > 1)
            .Select(g => (g.Key.Key.Quantity, g.Key.Key.Unit, Spread: Spread.Of(g.Select(r => r.Value))))
            .GroupBy(g => (g.Quantity, g.Unit))
            .Select(q => new RepeatSum(
                q.Key.Quantity,
                q.Key.Unit,
                q.Sum(g => (g.Spread.Count - 1) * g.Spread.Deviation!.Value * g.Spread.Deviation.Value),
                q.Sum(g => g.Spread.Count - 1),
                q.Count()
            ))
            .Where(r => double.IsFinite(r.Squares)); // figures near the largest there are say nothing of how measuring repeats
}
