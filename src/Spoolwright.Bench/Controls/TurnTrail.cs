using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Controls;

/// <summary>One round of readings on the way.</summary>
/// <param name="Move">0: as found.</param>
/// <param name="Dials">Where each control stood.</param>
/// <param name="Readings">What was read, for each target.</param>
/// <param name="Verdicts">What that says of the limits.</param>
public sealed record TrailPoint(
    int Move,
    IReadOnlyList<double> Dials,
    IReadOnlyList<ControlReading> Readings,
    IReadOnlyList<Verdict> Verdicts
);

/// <summary>Where the targets have been, move by move: what a page draws over the band between the limits.</summary>
public static class TurnTrail
{
    /// <summary>The rounds in their order, as found first.</summary>
    public static IReadOnlyList<TrailPoint> Of(Adjustment adjustment)
    {
        ArgumentNullException.ThrowIfNull(adjustment);
        Adjustment.Check(adjustment);
        return
        [
            .. Enumerable
                .Range(0, adjustment.Moves.Count + 1)
                .Select(i =>
                {
                    var readings = i == 0 ? adjustment.AsFound : adjustment.Moves[i - 1].After;
                    return new TrailPoint(
                        i,
                        [.. adjustment.Controls.Select((_, c) => adjustment.Dial(c, i))],
                        readings,
                        [.. readings.Select((r, t) => adjustment.Targets[t].Judged(r))]
                    );
                }),
        ];
    }
}
