using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Service.Field;

/// <summary>One quantity of a deck as it was left, and as it reads later.</summary>
/// <param name="Key">The quantity and its condition.</param>
/// <param name="Left">The reading as left.</param>
/// <param name="LeftAt">When.</param>
/// <param name="Later">The later reading.</param>
/// <param name="LaterAt">When.</param>
/// <param name="Uncertainty">Of the change, expanded (k = 2): root of the sum of squares of both, and of how one's own measuring repeats
/// where that is known; null where one is not known.</param>
/// <param name="Limit">A limit it is held to; null: none.</param>
/// <param name="Margin">Distance of the later reading to its limit; null: none.</param>
/// <param name="LimitReached">
/// The day on which it would reach its limit if it went on so; null: it does not go there, its change is not proven, or the limit is open.
/// </param>
public sealed record DriftLine(
    FieldKey Key, Reading Left, DateTimeOffset LeftAt, Reading Later, DateTimeOffset LaterAt, double? Uncertainty, Limit? Limit,
        double? Margin, DateOnly? LimitReached)
{
    public double Change => Later.Value - Left.Value;

    /// <summary>Whether it has drifted for certain: more than the uncertainty of both readings.</summary>
    public bool Proven => Uncertainty is { } u && Math.Abs(Change) > u;
}

/// <summary>What has become of a deck since it was left.</summary>
/// <param name="Lines">Every quantity that was read at both times.</param>
/// <param name="ServiceBy">The earliest day on which a quantity would reach its limit; null: nothing drifts towards one.</param>
public sealed record Aftercare(IReadOnlyList<DriftLine> Lines, DateOnly? ServiceBy)
{
    // A straight line through two points says nothing of the distant future.
    private const double FarthestYears = 10;

    /// <summary>Holds later readings beside those as left.</summary>
    /// <param name="left">The job that left the deck.</param>
    /// <param name="later">A later job on the same deck; what it found counts, or what it left where nothing was found.</param>
    /// <param name="repeats">How one's own measuring repeats, where that is known.</param>
    public static Aftercare Of(JobFile left, JobFile later, IReadOnlyList<Repeatability> repeats)
    {
        ArgumentNullException.ThrowIfNull(repeats);
        ArgumentNullException.ThrowIfNull(left);
        ArgumentNullException.ThrowIfNull(later);
        if (left.Deck.Id != later.Deck.Id)
            throw new ArgumentException($"{later.Deck.SerialNumber} is another deck than {left.Deck.SerialNumber}", nameof(later));
        var before = Readings(left, Mark.AsLeft);
        var found = Readings(later, Mark.AsFound);
        var after = found.Count > 0 ? found : Readings(later, Mark.AsLeft);
        DriftLine[] lines = [.. before.Keys.Where(after.ContainsKey).OrderBy(k => k.ToString(), StringComparer.Ordinal)
            .Select(k => Line(k, before[k], after[k], repeats.FirstOrDefault(r => (r.Quantity, r.Unit) == (k.Quantity, k.Unit))))];
        return new Aftercare(lines, lines.Min(l => l.LimitReached));
    }

    private static Dictionary<FieldKey, (Reading Reading, FiledMeasurement From)> Readings(JobFile file, Mark mark)
    {
        var found = new Dictionary<FieldKey, (Reading, FiledMeasurement)>();
        foreach (var m in file.Measurements.Where(m => m.SupersededBy is null && m.Entry.Mark == mark && m.Entry.Measurement != "loopback")
            .OrderBy(m => m.Entry.MeasuredAt))
        {
            foreach (var r in m.Result.Readings.Where(r => r.Judgeable && !r.IsAtLeast))
            {
                var c = m.Entry.Condition;
                found[new FieldKey(r.Quantity, r.Unit, r.Direction ?? c.Direction, c.SpeedCmPerS, c.TapeSetting, r.Channel, r.FrequencyHz,
                    r.Role, r.Class, r.Place)] = (r, m);
            }
        }

        return found;
    }

    private static DriftLine Line(FieldKey key, (Reading Reading, FiledMeasurement From) left,
        (Reading Reading, FiledMeasurement From) later, Repeatability? repeats)
    {
        double? uncertainty = left.Reading.Uncertainty is { } a && later.Reading.Uncertainty is { } b
            ? Math.Sqrt(a * a + b * b + Math.Pow(repeats?.LeastDifference ?? 0, 2)) : null;
        var judged = Judge.Readings([later.Reading], [.. left.From.Limits.Where(l => l.Quantity == key.Quantity)],
            later.From.Entry.Condition).Where(j => j.Reading is not null && j.Margin is not null).MinBy(j => j.Margin);
        var line = new DriftLine(key, left.Reading, left.From.Entry.MeasuredAt, later.Reading, later.From.Entry.MeasuredAt, uncertainty,
            judged?.Limit, judged?.Margin, null);
        return judged is null || !line.Proven ? line : line with { LimitReached = Reached(line, judged) };
    }

    private static DateOnly? Reached(DriftLine line, Judgement judged)
    {
        var years = (line.LaterAt - line.LeftAt).TotalDays / 365.25;
        if (years <= 0)
            return null;
        var (min, max) = Judge.Interval(judged.Reading!, judged.Limit);
        var rate = line.Change / years;
        var room = rate > 0 ? max - line.Later.Value : line.Later.Value - min;
        if (room is not { } left)
            return null;
        if (left <= 0)
            return DateOnly.FromDateTime(line.LaterAt.UtcDateTime);
        var within = left / Math.Abs(rate);
        return within > FarthestYears ? null : DateOnly.FromDateTime(line.LaterAt.UtcDateTime.AddDays(within * 365.25));
    }
}
