using Spoolwright.Signal;

namespace Spoolwright.Bench.Controls;

/// <summary>What to do next.</summary>
public enum TurnOutcome
{
    /// <summary>Turn as said, then measure.</summary>
    Turn,

    /// <summary>Stop: every target is met, its uncertainty included.</summary>
    Met,

    /// <summary>Leave the controls alone and measure again, longer: the values lie within the limits, their uncertainty does not.</summary>
    MeasureAgain,

    /// <summary>Stop: the range ends before the target.</summary>
    EndStop,

    /// <summary>Stop: turning does nothing. Wrong screw, loose screw, or a control that is out of circuit.</summary>
    NoEffect,

    /// <summary>Stop: the readings are too uncertain for these limits; no turning can prove them.</summary>
    NoiseTooLarge,
}

/// <summary>How to turn one control.</summary>
/// <param name="Control">Which.</param>
/// <param name="Legs">Its turns one after another, in its unit; the last one goes the way of its approach wherever the range has
/// room.</param>
/// <param name="From">Where it stands now.</param>
/// <param name="To">Where it stands afterwards; it never leaves its range on the way.</param>
public sealed record ControlTurn(Control Control, IReadOnlyList<double> Legs, double From, double To);

/// <summary>What a target should read after the turn.</summary>
/// <param name="Target">Which.</param>
/// <param name="Value">Expected value.</param>
/// <param name="Spread">The true value then lies within this of it in 95 % of cases or more (97 to 100 % on simulated decks); the next
/// reading's own uncertainty comes on top.</param>
public sealed record TurnExpectation(TurnTarget Target, double Value, double Spread);

/// <summary>What a control does to a target where they stand now.</summary>
/// <param name="Control">The control.</param>
/// <param name="Target">The target.</param>
/// <param name="PerUnit">Change of the target for one unit of turning clockwise (up).</param>
/// <param name="Uncertainty">k = 2.</param>
/// <param name="Found">True where readings say so; false where it is only expected beforehand.</param>
public sealed record ControlEffect(Control Control, TurnTarget Target, double PerUnit, double Uncertainty, bool Found);

/// <summary>What a change of direction loses.</summary>
/// <param name="Control">The control.</param>
/// <param name="Amount">In its unit.</param>
/// <param name="Uncertainty">k = 2.</param>
public sealed record BacklashEstimate(Control Control, double Amount, double Uncertainty);

/// <summary>The advice after the readings so far.</summary>
public sealed record TurnAdvice
{
    /// <summary>What to do.</summary>
    public required TurnOutcome Outcome { get; init; }

    /// <summary>One plain sentence: why.</summary>
    public required string Reason { get; init; }

    /// <summary>True where the turn is there to learn what the control does rather than to arrive.</summary>
    public bool IsProbe { get; init; }

    /// <summary>How to turn, controls left alone left out; empty unless <see cref="Outcome"/> is <see cref="TurnOutcome.Turn"/>.</summary>
    public IReadOnlyList<ControlTurn> Turns { get; init; } = [];

    /// <summary>What to expect after the turn, for each target; empty where nothing is turned.</summary>
    public IReadOnlyList<TurnExpectation> Expected { get; init; } = [];

    /// <summary>Effects as known so far.</summary>
    public required IReadOnlyList<ControlEffect> Effects { get; init; }

    /// <summary>Backlash of the controls that were turned.</summary>
    public required IReadOnlyList<BacklashEstimate> Backlash { get; init; }

    /// <summary>What else the person should know.</summary>
    public IReadOnlyList<Note> Notes { get; init; } = [];

    /// <summary>The advice as a move, to be read after; controls left alone have no legs.</summary>
    /// <exception cref="InvalidOperationException">The advice is not to turn.</exception>
    public IReadOnlyList<IReadOnlyList<double>> LegsFor(IReadOnlyList<Control> controls)
    {
        ArgumentNullException.ThrowIfNull(controls);
        if (Outcome != TurnOutcome.Turn)
            throw new InvalidOperationException($"the advice is {Outcome}: there is nothing to turn");
        return [.. controls.Select(c => Turns.FirstOrDefault(t => ReferenceEquals(t.Control, c))?.Legs ?? [])];
    }
}
