namespace Spoolwright.Bench.Controls;

/// <summary>How a control gets from where it stands to where it is wanted, and how far a first turn goes.</summary>
internal static class TurnPlan
{
    // A first turn goes half of the way that is expected to be needed, at most a quarter and at least a hundredth of the range: far enough
    // to see, near enough to be harmless should the control do five times as much. Common practice, no source.
    private const double ShareOfTheWay = 0.5;
    private const double LongestProbe = 0.25;
    private const double ShortestProbe = 0.01;

    // Turned back past the place by the backlash and a quarter more.
    private const double Overshoot = 1.25;

    /// <summary>The turns, one after another, that end on the approach's side wherever the range has room.</summary>
    /// <param name="control">The control.</param>
    /// <param name="from">Where it stands.</param>
    /// <param name="to">Where it is wanted, within its range.</param>
    /// <param name="side">The side that it was last approached from; 0: not known.</param>
    public static IReadOnlyList<double> Legs(Control control, double from, double to, int side)
    {
        var distance = to - from;
        if (distance == 0)
            return [];
        var (way, play) = (control.Approach, control.AllowedBacklash);
        if (play <= 0 || (distance * way > 0 && (side == way || Math.Abs(distance) >= play)))
            return [distance];
        var past = Math.Clamp(to - way * Overshoot * play, control.From, control.To);
        return past == from || past == to ? [distance] : [past - from, to - past];
    }

    /// <summary>A first turn of a control, in parts of its range.</summary>
    /// <param name="adjustment">All that is known.</param>
    /// <param name="control">Which.</param>
    /// <param name="expected">What is expected of it, by target.</param>
    /// <param name="aims">Where each target should come to.</param>
    /// <param name="least">Least size, in parts of the range.</param>
    public static double Probe(Adjustment adjustment, int control, ExpectedEffect[,] expected, IReadOnlyList<double> aims, double least)
    {
        var turned = adjustment.Controls[control];
        var (wanted, vote) = (0.0, 0.0);
        for (var t = 0; t < aims.Count; t++)
        {
            if (expected[t, control].Basis == "none")
                continue;
            var missing = aims[t] - adjustment.Latest[t].Value;
            wanted = Math.Max(wanted, Math.Abs(missing) / expected[t, control].AcrossRange);
            vote += expected[t, control].Sign * missing / adjustment.Targets[t].Scale(adjustment.Latest[t].Uncertainty ?? 0);
            // Long enough that the effect stands clear of the readings' noise.
            least = Math.Max(
                least,
                5 * TurnModel.Deviation(adjustment.Targets[t], adjustment.Latest[t]) / expected[t, control].AcrossRange
            );
        }

        least = Math.Max(least, 2 * turned.AllowedBacklash / turned.Span);
        var size = Math.Clamp(ShareOfTheWay * wanted, Math.Min(Math.Max(least, ShortestProbe), LongestProbe), LongestProbe);
        var dial = adjustment.Dial(control, adjustment.Moves.Count);
        var (up, down) = ((turned.To - dial) / turned.Span, (dial - turned.From) / turned.Span);
        var way = vote != 0 ? Math.Sign(vote) : turned.Approach;
        if ((way > 0 ? up : down) < size && (way > 0 ? down : up) > (way > 0 ? up : down))
            way = -way;
        return way * Math.Min(size, way > 0 ? up : down);
    }
}
