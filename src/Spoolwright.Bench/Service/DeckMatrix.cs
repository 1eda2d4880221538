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
public sealed record MatrixCell(string Measurement, Channel Channel, Verdict Verdict, Judgement? Worst, CaptureEntry? From, string? Why)
{
    /// <summary>What was adjusted since, that may have changed it; null: nothing.</summary>
    public Adjusted? Doubt { get; init; }

    /// <summary>Whether something is left to do here: not met, or in doubt.</summary>
    public bool IsOpen => Verdict != Verdict.Met || Doubt is not null;
}

/// <summary>One condition with its cells, in the order of the columns; null where no limit speaks of that condition.</summary>
public sealed record MatrixRow(Condition Condition, IReadOnlyList<MatrixCell?> Cells);

/// <summary>How far a row's condition goes.</summary>
public enum MatrixScope
{
    /// <summary>Read from gauge and stopwatch, once for all speeds: rows are directions.</summary>
    Gauges,

    /// <summary>Played: rows are directions and speeds.</summary>
    Playback,

    /// <summary>Recorded: rows are directions, speeds and tape settings.</summary>
    Record,
}

/// <summary>A column: a measurement, of one channel or of both.</summary>
public sealed record MatrixColumn(string Measurement, Channel Channel);

/// <summary>The part of the matrix whose rows go equally far.</summary>
public sealed record MatrixPart(MatrixScope Scope, IReadOnlyList<MatrixColumn> Columns, IReadOnlyList<MatrixRow> Rows);

/// <summary>
/// What has and what has not been proven of a deck: every condition it can work in against every measurement its limits speak of, with the
/// margin to the limit.
/// </summary>
/// <param name="Parts">Gauges, playback, record; those without a column left out.</param>
/// <param name="Next">The first cell in the order of the trade that is open; null: none is.</param>
public sealed record DeckMatrix(IReadOnlyList<MatrixPart> Parts, (Condition Condition, MatrixCell Cell)? Next)
{
    // Tensions come before flutter, flutter and path before azimuth, playback before record. Common practice, no source.
    private static readonly (string Measurement, MatrixScope Scope)[] OrderOfTheTrade =
    [
        ("tension", MatrixScope.Gauges),
        ("torque", MatrixScope.Gauges),
        ("brakes", MatrixScope.Gauges),
        ("wind-time", MatrixScope.Gauges),
        ("pinch-force", MatrixScope.Gauges),
        ("speed", MatrixScope.Playback),
        ("azimuth", MatrixScope.Playback),
        ("playback", MatrixScope.Playback),
        ("bias", MatrixScope.Record),
        ("record", MatrixScope.Record),
        ("distortion", MatrixScope.Record),
        ("noise", MatrixScope.Record),
        ("crosstalk", MatrixScope.Record),
        ("erase", MatrixScope.Record),
        ("dropouts", MatrixScope.Record),
    ];

    private static readonly HashSet<string> EachChannel = new(StringComparer.Ordinal)
    {
        "playback",
        "noise",
        "record",
        "distortion",
        "bias",
    };

    /// <summary>Measurements that belong to a tape setting.</summary>
    public static bool IsOfTapeSetting(string measurement) =>
        OrderOfTheTrade.Any(o => o.Measurement == measurement && o.Scope == MatrixScope.Record);

    /// <summary>Lays the matrix out.</summary>
    /// <param name="profile">The deck's kind: conditions and limits.</param>
    /// <param name="job">What was filed.</param>
    /// <param name="adjusted">What was turned on the deck, for what it puts in doubt.</param>
    public static DeckMatrix Of(DeckProfile profile, JobFile job, IReadOnlyList<Adjusted> adjusted)
    {
        ArgumentNullException.ThrowIfNull(profile);
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(adjusted);
        var parts = Enum.GetValues<MatrixScope>().Select(s => Part(profile, job, adjusted, s)).Where(p => p.Columns.Count > 0).ToArray();
        return new DeckMatrix(parts, First(parts));
    }

    private static MatrixPart Part(DeckProfile profile, JobFile job, IReadOnlyList<Adjusted> adjusted, MatrixScope scope)
    {
        var limited = profile.Limits.Select(l => l.Quantity).ToHashSet(StringComparer.Ordinal);
        var measurements = new List<string>();
        foreach (var (measurement, _) in OrderOfTheTrade.Where(o => o.Scope == scope))
        {
            var asked = Catalogue.Find(measurement)!.Yields.Select(q => q.Id).Where(limited.Contains).ToArray();
            if (asked.Length > 0)
                measurements.Add(measurement);
            // A torque tells tensions too: what one gauge has answered no other one is asked for.
            if (scope == MatrixScope.Gauges)
                limited.ExceptWith(asked);
        }

        MatrixColumn[] columns =
        [
            .. measurements.SelectMany(m =>
                EachChannel.Contains(m)
                    ? new[] { new MatrixColumn(m, Channel.Left), new MatrixColumn(m, Channel.Right) }
                    : [new MatrixColumn(m, Channel.Both)]
            ),
        ];
        var conditions = profile.Directions.SelectMany(d =>
            scope switch
            {
                MatrixScope.Gauges => [new Condition(d, profile.SpeedsCmPerS[^1])],
                MatrixScope.Playback => profile.SpeedsCmPerS.Select(v => new Condition(d, v)),
                _ => profile.SpeedsCmPerS.SelectMany(v =>
                    (profile.TapeSettings.Count > 0 ? profile.TapeSettings : [null!]).Select(s => new Condition(d, v, s))
                ),
            }
        );
        return new MatrixPart(
            scope,
            columns,
            [.. conditions.Select(c => new MatrixRow(c, [.. measurements.SelectMany(m => Cells(profile, job, adjusted, c, m, scope))]))]
        );
    }

    private static (Condition, MatrixCell)? First(MatrixPart[] parts)
    {
        foreach (var part in parts)
        {
            for (var i = 0; i < part.Columns.Count; i++)
            {
                foreach (var row in part.Rows)
                {
                    if (row.Cells[i] is { IsOpen: true } cell)
                        return (row.Condition, cell);
                }
            }
        }

        return null;
    }

    private static IEnumerable<MatrixCell?> Cells(
        DeckProfile profile,
        JobFile job,
        IReadOnlyList<Adjusted> adjusted,
        Condition condition,
        string measurement,
        MatrixScope scope
    )
    {
        Channel[] channels = EachChannel.Contains(measurement) ? [Channel.Left, Channel.Right] : [Channel.Both];
        var yields = Catalogue.Find(measurement)!.Yields.Select(q => q.Id).ToHashSet(StringComparer.Ordinal);
        var limits = profile.Limits.Where(l => yields.Contains(l.Quantity) && Speaks(l, condition, scope)).ToArray();
        if (limits.Length == 0)
            return channels.Select(_ => (MatrixCell?)null);
        FiledMeasurement[] all =
        [
            .. job
                .Measurements.Where(m => m.SupersededBy is null && m.Entry.Measurement == measurement && Same(m, condition, scope))
                .OrderBy(m => m.Entry.Mark)
                .ThenBy(m => m.Entry.MeasuredAt),
        ];
        var filed = all.LastOrDefault();
        var counting = Counting(all);
        var why = job
            .Unmeasured.LastOrDefault(u => Same(u.Condition, condition, scope) && (u.Measurement is null || u.Measurement == measurement))
            ?.Reason;
        var judged =
            filed is null ? []
            : scope == MatrixScope.Gauges
                ? SheetJudge.Readings([.. counting.Select(c => c.Reading)], limits, condition.Direction, condition.SpeedCmPerS, null)
            : Judge.Readings([.. counting.Select(c => c.Reading)], limits, condition);

        // What was read before anything was touched says how the deck was, whatever was turned since.
        var doubt =
            filed is null || filed.Entry.Mark == Mark.AsFound
                ? null
                : Doubt.Of(measurement, condition, counting.Select(c => c.Filed.Entry.MeasuredAt).Append(filed.Entry.MeasuredAt).Min(), adjusted);
        return channels.Select(channel =>
        {
            // What speaks of the pair speaks of each channel.
            var own = judged
                .Where(j =>
                    j.Reading is not null
                    && j.Verdict != Verdict.NotMeasured
                    && (channel == Channel.Both || j.Reading.Channel == channel || j.Reading.Channel == Channel.Both)
                    // A sheet holds both directions.
                    && (j.Reading.Direction ?? condition.Direction) == condition.Direction
                )
                .ToArray();
            var worst = own.OrderBy(Rank).ThenBy(Nearness).FirstOrDefault();
            var verdict = worst is null ? Verdict.NotMeasured : Judge.Overall(own.Select(j => j.Verdict));
            var from = counting.FirstOrDefault(c => ReferenceEquals(c.Reading, worst?.Reading)).Filed ?? filed;
            return new MatrixCell(measurement, channel, verdict, worst, from?.Entry, filed is null ? why : null) { Doubt = doubt };
        });
    }

    // A measurement may take several captures (a ramp at 1 kHz and one at 10 kHz, a pair of sides and the other direction): of those at the
    // last point of the job the newest that reads a quantity counts for it. Newest first.
    private static List<(FiledMeasurement Filed, Reading Reading)> Counting(FiledMeasurement[] filed)
    {
        var counting = new List<(FiledMeasurement Filed, Reading Reading)>();
        var taken = new HashSet<(string, Channel, Direction?)>();
        foreach (var one in filed.Where(m => m.Entry.Mark == filed[^1].Entry.Mark).Reverse())
        {
            var own = one.Result.Readings.Where(r => !taken.Contains((r.Quantity, r.Channel, r.Direction))).ToList();
            counting.AddRange(own.Select(r => (one, r)));
            taken.UnionWith(own.Select(r => (r.Quantity, r.Channel, r.Direction)));
        }

        return counting;
    }

    // A limit of one tape setting speaks of rows of that setting alone; of gauges, whatever the speed.
    private static bool Speaks(Limit limit, Condition condition, MatrixScope scope) =>
        (limit.Direction is not { } d || d == condition.Direction)
        && (scope == MatrixScope.Gauges || limit.SpeedCmPerS is not { } v || TapeSpeed.Same(v, condition.SpeedCmPerS))
        && (
            limit.TapeSetting is not { } s
            || scope != MatrixScope.Record
            || string.Equals(s, condition.TapeSetting, StringComparison.Ordinal)
        );

    // The quantities have different units: what share of the way to its limit is left.
    private static double Nearness(Judgement judgement)
    {
        var (min, max) = Judge.Interval(judgement.Reading!, judgement.Limit);
        var room = Math.Max(Math.Abs(min ?? 0), Math.Abs(max ?? 0));
        return judgement.Margin is { } margin && room > 0 ? margin / room : double.PositiveInfinity;
    }

    private static int Rank(Judgement judgement) => judgement.Verdict switch { Verdict.NotMet => 0, Verdict.NotProven => 1, _ => 2 };

    // A sheet may hold both directions; then its readings say which.
    private static bool Same(FiledMeasurement filed, Condition condition, MatrixScope scope) =>
        scope == MatrixScope.Gauges && filed.Result.Readings.Any(r => r.Direction is not null)
            ? filed.Result.Readings.Any(r => r.Direction == condition.Direction)
            : Same(filed.Entry.Condition, condition, scope);

    private static bool Same(Condition a, Condition b, MatrixScope scope) =>
        a.Direction == b.Direction
        && (scope == MatrixScope.Gauges || TapeSpeed.Same(a.SpeedCmPerS, b.SpeedCmPerS))
        && (
            scope != MatrixScope.Record
            || a.TapeSetting is null
            || b.TapeSetting is null
            || string.Equals(a.TapeSetting, b.TapeSetting, StringComparison.Ordinal)
        );
}
