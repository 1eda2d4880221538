using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Live;

/// <summary>Keeps what was turned at the bench and what was read after it, and asks the adviser what to turn next.</summary>
public sealed class TurnJournal
{
    // An uncertainty under this part of the last one's is worth weighing anew; nearer ones would pick whichever looks smallest.
    private const double MuchLess = 0.6;
    private readonly Control _control;
    private readonly Reading _of;
    private readonly List<double> _pending = [];
    private Adjustment? _adjustment;

    /// <param name="control">What is turned.</param>
    /// <param name="of">What it is turned for: quantity, channel and tone of this reading.</param>
    public TurnJournal(Control control, Reading of)
    {
        ArgumentNullException.ThrowIfNull(control);
        ArgumentNullException.ThrowIfNull(of);
        (_control, _of) = (control, of);
    }

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
        if (Target(reading) is not { } target)
        {
            (_adjustment, Advice) = (null, null);
            return false;
        }

        _adjustment = new Adjustment { Controls = [_control], Targets = [target], AsFound = [Figure(reading)] };
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
        var kept =
            before.Moves.Count == Adjustment.MostMoves
                ? before with
                {
                    Moves = [],
                    AsFound = before.Latest,
                    Controls = [At(before)],
                }
                : before;
        Weigh(
            kept.With(
                new TurnMove(
                    [
                        [.. _pending],
                    ],
                    [Figure(reading)]
                )
            ),
            reading
        );
        _pending.Clear();
    }

    /// <summary>
    /// The same place read again: another control's turn may have moved it, or it is known far better by now. What differs beyond doubt,
    /// and what is much less uncertain, takes the last reading's place.
    /// </summary>
    public void ReadAgain(LiveReading reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        if (_adjustment is not { } before || _pending.Count > 0)
            return;
        var (now, last) = (Figure(reading), before.Latest[0]);
        var isBetter = now.Uncertainty < MuchLess * last.Uncertainty;
        if (!isBetter && Math.Abs(now.Value - last.Value) <= double.Hypot(now.Uncertainty ?? 0, last.Uncertainty ?? 0))
            return;
        Weigh(
            before.Moves.Count == 0
                ? before with
                {
                    AsFound = [now],
                }
                : before with
                {
                    Moves = [.. before.Moves.SkipLast(1), before.Moves[^1] with { After = [now] }],
                },
            reading
        );
    }

    private void Weigh(Adjustment adjustment, LiveReading reading)
    {
        // The tone may be another one by now, and the limits with it.
        adjustment = Target(reading) is { } target ? adjustment with { Targets = [target] } : adjustment;
        try
        {
            Advice = TurnAdvisor.Advise(adjustment);
            _adjustment = adjustment;
        }
        catch (ArgumentException)
        {
            // Turned beyond the range that was stated: from here on the present place is the start.
            _adjustment = adjustment with
            {
                Controls = [_control with { Start = Math.Clamp(_control.Start, _control.From, _control.To) }],
                AsFound = [Figure(reading)],
                Moves = [],
            };
            Advice = TurnAdvisor.Advise(_adjustment);
        }
    }

    private Control At(Adjustment adjustment) =>
        _control with
        {
            Start = Math.Clamp(adjustment.Dial(0, adjustment.Moves.Count), _control.From, _control.To),
        };

    private TurnTarget? Target(LiveReading reading)
    {
        if (reading is { Min: null, Max: null } || reading.Judgement is null)
            return null;
        var magnitude = LimitSenses.Of(reading.Reading.Quantity) == LimitSense.Magnitude;
        return new TurnTarget
        {
            Quantity = reading.Reading.Quantity,
            Unit = reading.Reading.Unit,
            Min = reading.Min ?? (magnitude ? -reading.Max : null),
            Max = reading.Max,
            Channel = _of.Channel,
            FrequencyHz = reading.Reading.FrequencyHz,
        };
    }

    private static ControlReading Figure(LiveReading reading) => new(reading.Reading.Value, reading.Reading.Uncertainty);
}
