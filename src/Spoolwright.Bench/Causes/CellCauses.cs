using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Causes;

/// <summary>Of all causes those that move one cell of the matrix: a measurement of one channel under one condition.</summary>
public static class CellCauses
{
    // A cause that moves nothing there by as much as sound decks spread is no answer to why the cell missed.
    private const double LeastMove = 1;

    /// <summary>The findings that move the cell, likelier than not first, then by how far they move it.</summary>
    /// <param name="explanation">What the readings say.</param>
    /// <param name="measurement">Catalogue id of the cell.</param>
    /// <param name="condition">Its condition.</param>
    /// <param name="channel">Its channel; both: any.</param>
    public static IReadOnlyList<CauseFinding> Of(Explanation explanation, string measurement, Condition condition, Channel channel)
    {
        ArgumentNullException.ThrowIfNull(explanation);
        ArgumentNullException.ThrowIfNull(measurement);
        ArgumentNullException.ThrowIfNull(condition);
        bool Here(Observation figure) => figure.Of.Name.StartsWith(measurement + "/", StringComparison.Ordinal)
            && (figure.Place.Direction ?? condition.Direction) == condition.Direction
            && (figure.Place.SpeedCmPerS is not { } speed || TapeSpeed.Same(speed, condition.SpeedCmPerS))
            && (condition.TapeSetting is null || figure.Place.Setting is null || figure.Place.Setting == condition.TapeSetting)
            && (channel == Channel.Both || figure.Place.Channel is null || figure.Place.Channel == channel);
        return
        [
            .. explanation
                .Findings.Select(f =>
                    (Finding: f, Move: f.Fitted.Where(x => Here(x.Figure)).Select(x => Math.Abs(x.Law) / x.Spread).DefaultIfEmpty(0).Max())
                )
                .Where(x => x.Move >= LeastMove)
                .OrderByDescending(x => x.Finding.Probability >= Explainer.Named)
                .ThenByDescending(x => x.Finding.Probability * x.Move)
                .Select(x => x.Finding),
        ];
    }
}
