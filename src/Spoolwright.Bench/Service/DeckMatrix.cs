using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Service;

/// <summary>One cell: what a measurement says of one channel under one condition.</summary>
/// <param name="Measurement">Catalogue id.</param>
/// <param name="Channel">Channel it speaks of; both: the pair, or the tape's motion.</param>
/// <param name="Verdict">The worst of its limits; not measured where nothing was filed.</param>
/// <param name="Worst">What stands nearest to its limit or furthest beyond; null: nothing was judged.</param>
/// <param name="From">The measurement it was read from; null: none.</param>
/// <param name="Why">Why there is nothing, where somebody wrote that down.</param>
public sealed record MatrixCell(string Measurement, Channel Channel, Verdict Verdict, Judgement? Worst, CaptureEntry? From, string? Why);

/// <summary>One condition with its cells, in the order of the columns.</summary>
public sealed record MatrixRow(Condition Condition, IReadOnlyList<MatrixCell> Cells);

/// <summary>
/// What has and what has not been proven of a deck: every condition it can play in against every measurement its limits speak of, with the margin to the limit.
/// </summary>
/// <param name="Measurements">The columns' catalogue ids, in the order of the trade.</param>
/// <param name="Rows">The conditions.</param>
/// <param name="Next">The first cell in the order of the trade that is not met; null: all are.</param>
public sealed record DeckMatrix(IReadOnlyList<string> Measurements, IReadOnlyList<MatrixRow> Rows, (Condition Condition, MatrixCell Cell)? Next)
{
    // Tensions come before flutter, flutter and path before azimuth, playback before record. Common practice, no source.
    private static readonly string[] OrderOfTheTrade =
        ["tension", "torque", "brakes", "wind-time", "pinch-force", "speed", "azimuth", "playback", "noise", "crosstalk", "bias", "record", "distortion", "erase", "dropouts"];

    /// <summary>Lays the matrix out.</summary>
    /// <param name="profile">The deck's kind: conditions and limits.</param>
    /// <param name="job">What was filed.</param>
    public static DeckMatrix Of(DeckProfile profile, JobFile job)
    {
        ArgumentNullException.ThrowIfNull(profile);
        ArgumentNullException.ThrowIfNull(job);
        var limited = profile.Limits.Select(l => l.Quantity).ToHashSet(StringComparer.Ordinal);
        string[] columns = [.. OrderOfTheTrade.Where(id => Catalogue.Find(id) is { Measure: not null } entry && entry.Yields.Any(q => limited.Contains(q.Id)))];
        var rows = profile.Directions
            .SelectMany(d => profile.SpeedsCmPerS.Select(v => new Condition(d, v)))
            .Select(c => new MatrixRow(c, [.. columns.SelectMany(m => Cells(profile, job, c, m))]))
            .ToArray();
        return new DeckMatrix(columns, rows, First(columns, rows));
    }

    private static (Condition, MatrixCell)? First(string[] columns, MatrixRow[] rows)
    {
        foreach (var column in columns)
        {
            foreach (var row in rows)
            {
                if (row.Cells.FirstOrDefault(c => c.Measurement == column && c.Verdict != Verdict.Met) is { } cell)
                    return (row.Condition, cell);
            }
        }

        return null;
    }

    private static IEnumerable<MatrixCell> Cells(DeckProfile profile, JobFile job, Condition condition, string measurement)
    {
        var filed = job.Measurements
            .Where(m => m.SupersededBy is null && m.Entry.Measurement == measurement && Same(m.Entry.Condition, condition))
            .OrderBy(m => m.Entry.Mark).ThenBy(m => m.Entry.MeasuredAt).LastOrDefault();
        var why = job.Unmeasured.LastOrDefault(u => Same(u.Condition, condition) && (u.Measurement is null || u.Measurement == measurement))?.Reason;
        var entry = Catalogue.Find(measurement)!;
        var yields = entry.Yields.Select(q => q.Id).ToHashSet(StringComparer.Ordinal);
        var limits = profile.Limits.Where(l => yields.Contains(l.Quantity)).ToArray();
        var judged = filed is null ? [] : Judge.Readings(filed.Result.Readings, limits, condition);
        Channel[] channels = measurement is "playback" or "noise" or "record" or "distortion" or "bias" ? [Channel.Left, Channel.Right] : [Channel.Both];
        foreach (var channel in channels)
        {
            // What speaks of the pair speaks of each channel.
            var own = judged.Where(j => j.Reading is null || channel == Channel.Both || j.Reading.Channel == channel || j.Reading.Channel == Channel.Both).ToArray();
            var worst = own.Where(j => j.Reading is not null && j.Verdict != Verdict.NotMeasured).OrderBy(Rank).ThenBy(Nearness).FirstOrDefault();
            var verdict = worst is null ? Verdict.NotMeasured : Judge.Overall(own.Where(j => j.Reading is not null && j.Verdict != Verdict.NotMeasured).Select(j => j.Verdict));
            yield return new MatrixCell(measurement, channel, verdict, worst, filed?.Entry, filed is null ? why : null);
        }
    }

    // The quantities have different units: what share of the way to its limit is left.
    private static double Nearness(Judgement judgement)
    {
        var (min, max) = Judge.Interval(judgement.Reading!, judgement.Limit);
        var room = Math.Max(Math.Abs(min ?? 0), Math.Abs(max ?? 0));
        return judgement.Margin is { } margin && room > 0 ? margin / room : double.PositiveInfinity;
    }

    private static int Rank(Judgement judgement) => judgement.Verdict switch { Verdict.NotMet => 0, Verdict.NotProven => 1, _ => 2 };

    private static bool Same(Condition a, Condition b) => a.Direction == b.Direction && TapeSpeed.Same(a.SpeedCmPerS, b.SpeedCmPerS);
}
