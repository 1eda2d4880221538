namespace Spoolwright.Bench.Controls;

/// <summary>
/// The drop past a peak goes with the square of the way past it, whatever the bias curve: its root, with the sign of the side, is nearly a
/// straight line in the turn of the bias control, straight through the peak as well. The model works on the root; people read the drop.
/// </summary>
internal static class DropScale
{
    /// <summary>Whether the quantity is a drop from a peak.</summary>
    public static bool Holds(TurnTarget target) => target.Quantity == Quantity.Overbias.Id;

    /// <summary>The adjustment with drops by their roots.</summary>
    public static Adjustment Straightened(Adjustment adjustment)
    {
        if (!adjustment.Targets.Any(Holds))
            return adjustment;
        IReadOnlyList<ControlReading> Straight(IReadOnlyList<ControlReading> readings) =>
            [.. readings.Select((r, t) => Holds(adjustment.Targets[t]) ? Root(r) : r)];
        return adjustment with
        {
            Targets =
            [
                .. adjustment.Targets.Select(t => Holds(t) ? t with { Min = Root(t.Min), Max = Root(t.Max), Aim = Root(t.Aim) } : t),
            ],
            AsFound = Straight(adjustment.AsFound),
            Moves = [.. adjustment.Moves.Select(m => m with { After = Straight(m.After) })],
        };
    }

    /// <summary>A value of the model back as people read it, with its spread.</summary>
    public static (double Value, double Spread) Back(TurnTarget target, double value, double spread) =>
        Holds(target) ? (value * Math.Abs(value), 2 * Math.Abs(value) * spread + spread * spread) : (value, spread);

    /// <summary>Factor from a change of the model's value to one of the value read, at a reading.</summary>
    public static double Slope(TurnTarget target, ControlReading reading) => Holds(target) ? 2 * Math.Sqrt(Math.Abs(reading.Value)) : 1;

    private static double? Root(double? value) => value is { } v ? Math.Sign(v) * Math.Sqrt(Math.Abs(v)) : null;

    // Close to the peak the root is known no better than the root of the uncertainty.
    private static ControlReading Root(ControlReading reading) =>
        new(
            Root((double?)reading.Value)!.Value,
            reading.Uncertainty is { } u && u > 0 ? u / (2 * Math.Sqrt(Math.Max(Math.Abs(reading.Value), u / 2))) : reading.Uncertainty
        );
}
