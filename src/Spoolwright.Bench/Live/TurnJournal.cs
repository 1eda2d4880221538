using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Live;

/// <summary>Keeps what was turned at the bench and what was read after it, and asks the adviser what to turn next.</summary>
public sealed class TurnJournal
{
    private readonly Control _control;
    private readonly List<double> _pending = [];
    private Adjustment? _adjustment;

    /// <param name="control">What is turned.</param>
    /// <param name="quantity">What it is turned for.</param>
    public TurnJournal(Control control, Quantity quantity)
    {
        ArgumentNullException.ThrowIfNull(control);
        ArgumentNullException.ThrowIfNull(quantity);
        (_control, Quantity) = (control, quantity);
    }

    /// <summary>The quantity the control is turned for.</summary>
    public Quantity Quantity { get; }

    /// <summary>Moves read so far.</summary>
    public int Moves => _adjustment?.Moves.Count ?? 0;

    /// <summary>Whether something was turned and not read yet.</summary>
    public bool IsPending => _pending.Count > 0;

    /// <summary>The advice; null before the first reading.</summary>
    public TurnAdvice? Advice { get; private set; }

    /// <summary>Takes the reading from which everything starts.</summary>
    /// <param name="reading">The reading with its limit: without one there is no target.</param>
    /// <returns>Whether there is a target.</returns>
    public bool Begin(LiveReading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        _pending.Clear();
        if (reading is { Min: null, Max: null } || reading.Judgement is null)
        {
            (_adjustment, Advice) = (null, null);
            return false;
        }

        var magnitude = LimitSenses.Of(reading.Reading.Quantity) == LimitSense.Magnitude;
        _adjustment = new Adjustment
        {
            Controls = [_control],
            Targets = [new TurnTarget { Quantity = reading.Reading.Quantity, Unit = reading.Reading.Unit, Min = reading.Min ?? (magnitude ? -reading.Max : null), Max = reading.Max }],
            AsFound = [Figure(reading)],
        };
        Advice = TurnAdvisor.Advise(_adjustment);
        return true;
    }

    /// <summary>Notes a turn; positive: clockwise.</summary>
    public void Turned(double amount)
    {
        if (amount != 0 && double.IsFinite(amount))
            _pending.Add(amount);
    }

    /// <summary>Takes the reading after what was turned.</summary>
    public void ReadAfter(LiveReading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        if (_adjustment is not { } before || _pending.Count == 0)
            return;
        var kept = before.Moves.Count == Adjustment.MostMoves ? before with { Moves = [] } : before;
        _adjustment = kept.With(new TurnMove([[.. _pending]], [Figure(reading)]));
        _pending.Clear();
        try
        {
            Advice = TurnAdvisor.Advise(_adjustment);
        }
        catch (ArgumentException)
        {
            // Turned beyond the range that was stated: from here on the present place is the start.
            _adjustment = before with { AsFound = [Figure(reading)], Moves = [] };
            Advice = TurnAdvisor.Advise(_adjustment);
        }
    }

    private static ControlReading Figure(LiveReading reading) => new(reading.Reading.Value, reading.Reading.Uncertainty);
}
