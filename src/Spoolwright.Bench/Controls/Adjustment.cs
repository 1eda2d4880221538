using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Controls;

/// <summary>What a quantity must come to.</summary>
public sealed record TurnTarget
{
    /// <summary>Quantity id, from <see cref="Quantity"/>, or the person's own word.</summary>
    public required string Quantity { get; init; }

    /// <summary>Its unit as printed.</summary>
    public required string Unit { get; init; }

    /// <summary>Lower limit, included; null: open.</summary>
    public double? Min { get; init; }

    /// <summary>Upper limit, included; null: open. One of the two is given.</summary>
    public double? Max { get; init; }

    /// <summary>The channel it speaks of.</summary>
    public Channel Channel { get; init; }

    /// <summary>The tone it speaks of, Hz; null where none applies.</summary>
    public double? FrequencyHz { get; init; }

    /// <summary>Where to aim within the limits; null: their middle, or clear of the only one.</summary>
    public double? Aim { get; init; }

    /// <summary>Half the width between the limits; infinite where one side is open.</summary>
    public double HalfWidth => Min is { } min && Max is { } max ? (max - min) / 2 : double.PositiveInfinity;

    /// <summary>The value to aim at, for readings of that uncertainty (k = 2).</summary>
    public double AimFor(double uncertainty) =>
        Aim
        ?? (
            Min is { } min && Max is { } max ? (min + max) / 2
            : Min is { } only ? only + Clear(uncertainty)
            : Max!.Value - Clear(uncertainty)
        );

    /// <summary>What one reading says of the limits, its uncertainty weighed as <see cref="Judge"/> weighs it.</summary>
    public Verdict Judged(ControlReading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        if (reading.Uncertainty is not { } u)
            return Verdict.NotProven;
        if (!(reading.Value - u < Min) && !(reading.Value + u > Max))
            return Verdict.Met;
        return reading.Value + u < Min || reading.Value - u > Max ? Verdict.NotMet : Verdict.NotProven;
    }

    /// <summary>Whether the value itself lies within the limits.</summary>
    public bool Holds(double value) => !(value < Min) && !(value > Max);

    /// <summary>How far off counts as much as the half width of a two-sided target: the measure in which targets are weighed against one
    /// another.</summary>
    internal double Scale(double uncertainty) => double.IsFinite(HalfWidth) ? Math.Max(HalfWidth, 1e-12) : Clear(uncertainty);

    // One-sided: aim beyond the limit by two uncertainties, so that the next reading proves it.
    private static double Clear(double uncertainty) => Math.Max(2 * uncertainty, 1e-9);
}

/// <summary>A value read for one target.</summary>
/// <param name="Value">Finite, in the target's unit.</param>
/// <param name="Uncertainty">Expanded (k = 2), 0 or more; null where not known.</param>
public sealed record ControlReading(double Value, double? Uncertainty);

/// <summary>What was turned between two rounds of readings, and what was read after it.</summary>
/// <param name="Legs">For each control, in order, its turns one after another (positive: clockwise or up); empty where it was left
/// alone.</param>
/// <param name="After">A reading for each target, in order.</param>
public sealed record TurnMove(IReadOnlyList<IReadOnlyList<double>> Legs, IReadOnlyList<ControlReading> After);

/// <summary>Controls, what they are to reach, and all that was turned and read so far.</summary>
public sealed record Adjustment
{
    /// <summary>One to four controls.</summary>
    public required IReadOnlyList<Control> Controls { get; init; }

    /// <summary>One to eight targets.</summary>
    public required IReadOnlyList<TurnTarget> Targets { get; init; }

    /// <summary>What was read before anything was turned, for each target.</summary>
    public required IReadOnlyList<ControlReading> AsFound { get; init; }

    /// <summary>The moves, in their order.</summary>
    public IReadOnlyList<TurnMove> Moves { get; init; } = [];

    /// <summary>Most controls at once: beyond four, nobody knows any more what did what.</summary>
    public const int MostControls = 4;

    /// <summary>Most targets at once.</summary>
    public const int MostTargets = 8;

    /// <summary>Most moves that are looked at.</summary>
    public const int MostMoves = 40;

    /// <summary>The readings after the last move.</summary>
    public IReadOnlyList<ControlReading> Latest => Moves.Count > 0 ? Moves[^1].After : AsFound;

    /// <summary>Where a control stands after a number of moves, in its unit.</summary>
    public double Dial(int control, int afterMoves) => Controls[control].Start + Moves.Take(afterMoves).Sum(m => m.Legs[control].Sum());

    /// <summary>This with one more move.</summary>
    public Adjustment With(TurnMove move) => this with { Moves = [.. Moves, move] };

    /// <summary>Holds that everything fits together.</summary>
    /// <exception cref="ArgumentException">A count does not fit, a figure is not finite, or a control was turned beyond its
    /// range.</exception>
    internal static void Check(Adjustment adjustment)
    {
        var (controls, targets, moves) = (adjustment.Controls, adjustment.Targets, adjustment.Moves);
        if (controls.Count is < 1 or > MostControls)
            throw new ArgumentOutOfRangeException(nameof(adjustment), controls.Count, $"expected 1 to {MostControls} controls");
        if (targets.Count is < 1 or > MostTargets)
            throw new ArgumentOutOfRangeException(nameof(adjustment), targets.Count, $"expected 1 to {MostTargets} targets");
        if (moves.Count > MostMoves)
            throw new ArgumentOutOfRangeException(nameof(adjustment), moves.Count, $"expected at most {MostMoves} moves");
        foreach (var control in controls)
            Control.Check(control);
        foreach (var target in targets)
        {
            if ((target.Min is null && target.Max is null) || !(target.HalfWidth >= 0))
                throw new ArgumentException(
                    $"{target.Quantity}: the limits must have a figure, and min must not lie above max",
                    nameof(adjustment)
                );
        }

        foreach (var readings in moves.Select(m => m.After).Prepend(adjustment.AsFound))
        {
            if (readings.Count != targets.Count)
                throw new ArgumentException($"there are {readings.Count} readings for {targets.Count} targets", nameof(adjustment));
            if (readings.Any(r => !double.IsFinite(r.Value) || r.Uncertainty is { } u && !(double.IsFinite(u) && u >= 0)))
                throw new ArgumentException(
                    "a reading or its uncertainty is not finite, or an uncertainty is negative",
                    nameof(adjustment)
                );
        }

        if (moves.Any(m => m.Legs.Count != controls.Count || m.Legs.Any(l => l.Any(x => !double.IsFinite(x)))))
            throw new ArgumentException("a move must say for each control how far it was turned, in finite figures", nameof(adjustment));
    }
}
