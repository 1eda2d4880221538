using System.Globalization;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Controls;

/// <summary>Says from the readings and turns so far which control to turn next, which way and how far, what to expect, and when to
/// stop.</summary>
public static class TurnAdvisor
{
    // An unmoved control is left alone while the others bring every target this near to its aim, in half widths.
    private const double NearEnough = 0.5;

    // Expected further off than this, in half widths, a target is not expected to be met.
    private const double Inside = 0.7;

    // Two standard deviations under this, in half widths: what is expected is well known.
    private const double WellKnown = 1;

    // This near to its stop, in parts of the range, a control stands at it.
    private const double AtStop = 0.005;

    // A control whose effect is under this part of the expected one, all uncertainty included, does nothing.
    private const double Nothing = 1.0 / 8;

    // Where nothing was expected, so much of the range must have been tried before it is called nothing.
    private const double TriedEnough = 0.25;

    // Turns shorter than this part of the range change nothing that a hand could set.
    private const double Finest = 5e-4;

    /// <summary>The advice.</summary>
    /// <param name="adjustment">Controls, targets, readings and turns so far.</param>
    /// <exception cref="ArgumentException">The adjustment does not fit together.</exception>
    public static TurnAdvice Advise(Adjustment adjustment)
    {
        ArgumentNullException.ThrowIfNull(adjustment);
        Adjustment.Check(adjustment);
        var straight = DropScale.Straightened(adjustment);
        var model = TurnModel.Of(straight);
        if (Finished(adjustment) is { } finished)
            return finished with
            {
                Effects = Effects(adjustment, model),
                Backlash = BacklashOf(adjustment, model),
                Notes = TurnNotes.Of(adjustment, model),
            };
        var advice = Decide(straight, model);
        return advice with
        {
            Expected = [.. advice.Expected.Select((e, t) => e with { Target = adjustment.Targets[t] })],
            Effects = Effects(adjustment, model),
            Backlash = BacklashOf(adjustment, model),
            Notes = TurnNotes.Of(adjustment, model),
        };
    }

    private static TurnAdvice Decide(Adjustment adjustment, TurnModel model)
    {
        for (var c = 0; c < adjustment.Controls.Count; c++)
        {
            if (DoesNothing(adjustment, model, c))
                return Stop(
                    TurnOutcome.NoEffect,
                    $"turning {adjustment.Controls[c].Name} changes nothing that can be told from the readings' noise: the wrong screw, a loose one, or a control out of circuit"
                );
        }

        var search = new TurnSearch(adjustment, model);
        var moved = adjustment.Controls.Select((_, c) => adjustment.Moves.Any(m => m.Legs[c].Any(l => l != 0))).ToArray();
        var known = moved.Select((m, c) => m && EffectIsSeen(adjustment, model, c)).ToArray();
        var best = search.Best(known);
        if (!Array.TrueForAll(known, k => k) && search.Worst(best) > NearEnough)
            return Probe(adjustment, model, search, known, moved);
        // Hope is for flat places within the range; at a stop that falls short for certain, or whose value is well known, the stop is the
        // answer.
        var hopes =
            search.Worst(best) > Inside
            && Unreachable(adjustment, search, best) is null
            && !(StopOf(adjustment, best) is not null && search.Spread(best) < WellKnown);
        return Arrive(adjustment, model, search, hopes ? search.Best(known, hopeful: true) : best);
    }

    private static TurnAdvice? Finished(Adjustment adjustment)
    {
        var verdicts = adjustment.Targets.Select((t, i) => t.Judged(adjustment.Latest[i])).ToArray();
        if (Array.TrueForAll(verdicts, v => v == Verdict.Met))
            return Stop(TurnOutcome.Met, "every target is met, its uncertainty included");
        for (var t = 0; t < verdicts.Length; t++)
        {
            var (target, reading) = (adjustment.Targets[t], adjustment.Latest[t]);
            var near = Math.Abs(reading.Value - target.AimFor(reading.Uncertainty ?? 0)) <= (reading.Uncertainty ?? 0);
            if (reading.Uncertainty > target.HalfWidth && near)
                return Stop(
                    TurnOutcome.NoiseTooLarge,
                    $"{target.Quantity} is read to ±{Figure(reading.Uncertainty.Value)} {target.Unit}, and its limits are only ±{Figure(target.HalfWidth)} {target.Unit} apart from their middle: measure longer or quieter, or widen the limits"
                );
        }

        var unknown = adjustment.Latest.All(r => r.Uncertainty is null);
        return unknown && adjustment.Targets.Select((t, i) => t.Holds(adjustment.Latest[i].Value)).All(h => h)
            ? Stop(
                TurnOutcome.MeasureAgain,
                "every value lies within its limits, but no reading says how uncertain it is: that proves nothing"
            )
            : null;
    }

    private static TurnAdvice Probe(Adjustment adjustment, TurnModel model, TurnSearch search, bool[] known, bool[] moved)
    {
        // Controls that were never turned first; then those whose effect drowned in the noise, three times as far.
        var control = Array.FindIndex(moved, m => !m);
        if (control < 0)
            control = Array.FindIndex(known, k => !k);
        var turn = new double[known.Length];
        turn[control] = TurnPlan.Probe(adjustment, control, model.Expected, search.Aims, moved[control] ? 3 * model.Travel[control] : 0);
        if (Math.Abs(turn[control]) < Finest)
            return Stop(TurnOutcome.EndStop, $"{adjustment.Controls[control].Name} has no room to turn");
        var why = moved[control] ? "the effect is still lost in the readings' noise: turn further" : "a first turn, to see what it does";
        return Turn(adjustment, model, search, turn, $"{adjustment.Controls[control].Name}: {why}") with { IsProbe = true };
    }

    private static TurnAdvice Arrive(Adjustment adjustment, TurnModel model, TurnSearch search, double[] best)
    {
        var still = Array.TrueForAll(best, b => Math.Abs(b) < Finest);
        var within = adjustment.Targets.Select((t, i) => t.Holds(adjustment.Latest[i].Value)).All(h => h);
        if (within && (still || search.Worst(new double[best.Length]) < 0.25))
            return Stop(
                TurnOutcome.MeasureAgain,
                "the values lie as near the middle of their limits as turning can bring them; only less uncertain readings can prove more"
            );
        var tooShort = Unreachable(adjustment, search, best);
        // A hand cannot set what is left of the way to a stop.
        if (tooShort is not null && (still || Array.TrueForAll(best, b => Math.Abs(b) < AtStop)))
            return Stop(TurnOutcome.EndStop, tooShort + ": what is amiss is not set by it alone");
        if (still)
            return Stop(
                TurnOutcome.MeasureAgain,
                "no turn is expected to bring the targets nearer; measure again, and look whether the readings repeat"
            );
        return Turn(
            adjustment,
            model,
            search,
            best,
            tooShort is null ? "towards the middle of the limits" : tooShort + "; turn as far as it helps"
        );
    }

    // Why a target cannot be reached, where the best turn ends at a stop and still falls short.
    private static string? Unreachable(Adjustment adjustment, TurnSearch search, double[] best)
    {
        for (var t = 0; t < adjustment.Targets.Count; t++)
        {
            var target = adjustment.Targets[t];
            var (value, deviation) = search.After(t, best);
            if (target.Holds(value + 2 * deviation) || target.Holds(value - 2 * deviation) || target.Holds(value))
                continue;
            if (StopOf(adjustment, best) is not { } stop)
                continue;
            var (shown, spread) = DropScale.Back(target, value, 2 * deviation);
            return $"{stop.Control.Name} comes to the end of its range at {stop.Control.Unit.SayPlace(stop.At)}, where {target.Quantity} is expected at {Figure(shown)} ± {Figure(spread)} {target.Unit}, still outside its limits";
        }

        return null;
    }

    // The control that ends at a stop after the turn, and where; null: none does.
    private static (Control Control, double At)? StopOf(Adjustment adjustment, double[] turn)
    {
        for (var c = 0; c < turn.Length; c++)
        {
            var control = adjustment.Controls[c];
            var to = adjustment.Dial(c, adjustment.Moves.Count) + turn[c] * control.Span;
            if (Math.Min(to - control.From, control.To - to) < AtStop * control.Span)
                return (control, to);
        }

        return null;
    }

    private static bool EffectIsSeen(Adjustment adjustment, TurnModel model, int control)
    {
        for (var t = 0; t < adjustment.Targets.Count; t++)
        {
            var (value, deviation) = model.Gain(t, control);
            if (Math.Abs(value) > 2 * deviation || Seen(adjustment, control, t))
                return true;
        }

        return false;
    }

    private static bool DoesNothing(Adjustment adjustment, TurnModel model, int control)
    {
        if (adjustment.Moves.Count == 0 || model.Travel[control] < 0.02)
            return false;
        var asked = false;
        for (var t = 0; t < adjustment.Targets.Count; t++)
        {
            var expected = model.Expected[t, control];
            if (expected.Basis == "none")
                continue;
            asked = true;
            var (value, deviation) = model.Gain(t, control);
            var most = Math.Abs(value) + 2 * deviation;
            var kind = adjustment.Controls[control].Kind != ControlKind.Other;
            if (Seen(adjustment, control, t) || most > Nothing * expected.AcrossRange || (!kind && model.Travel[control] < TriedEnough))
                return false;
        }

        return asked;
    }

    // Whether any move of this control alone changed the reading by three standard deviations.
    private static bool Seen(Adjustment adjustment, int control, int target)
    {
        var before = adjustment.AsFound[target];
        foreach (var move in adjustment.Moves)
        {
            var after = move.After[target];
            var alone = Enumerable.Range(0, move.Legs.Count).All(c => move.Legs[c].Any(l => l != 0) == (c == control));
            var noise = Math.Sqrt(
                Math.Pow(TurnModel.Deviation(adjustment.Targets[target], before), 2)
                    + Math.Pow(TurnModel.Deviation(adjustment.Targets[target], after), 2)
            );
            if (alone && Math.Abs(after.Value - before.Value) > 3 * noise)
                return true;
            before = after;
        }

        return false;
    }

    private static TurnAdvice Turn(Adjustment adjustment, TurnModel model, TurnSearch search, double[] turn, string reason)
    {
        var turns = new List<ControlTurn>();
        for (var c = 0; c < turn.Length; c++)
        {
            if (Math.Abs(turn[c]) < Finest)
                turn[c] = 0;
            var control = adjustment.Controls[c];
            var from = adjustment.Dial(c, adjustment.Moves.Count);
            var to = Math.Clamp(from + turn[c] * control.Span, control.From, control.To);
            var legs = TurnPlan.Legs(control, from, to, model.Sides[c][^1]);
            if (turn[c] != 0)
                turns.Add(new ControlTurn(control, legs, from, to));
        }

        var expected = adjustment.Targets.Select((target, t) =>
        {
            var (value, deviation) = search.After(t, turn);
            (value, var spread) = DropScale.Back(target, value, 2 * deviation);
            return new TurnExpectation(target, value, spread);
        });
        return Stop(TurnOutcome.Turn, reason) with { Turns = turns, Expected = [.. expected] };
    }

    private static TurnAdvice Stop(TurnOutcome outcome, string reason) =>
        new()
        {
            Outcome = outcome,
            Reason = reason,
            Effects = [],
            Backlash = [],
        };

    private static List<ControlEffect> Effects(Adjustment adjustment, TurnModel model)
    {
        var effects = new List<ControlEffect>();
        for (var c = 0; c < adjustment.Controls.Count; c++)
        {
            var (control, found) = (adjustment.Controls[c], adjustment.Moves.Any(m => m.Legs[c].Any(l => l != 0)));
            for (var t = 0; t < adjustment.Targets.Count; t++)
            {
                var (value, deviation) = model.Gain(t, c);
                var slope = DropScale.Slope(adjustment.Targets[t], adjustment.Latest[t]);
                effects.Add(
                    new ControlEffect(
                        control,
                        adjustment.Targets[t],
                        value * slope / control.Span,
                        2 * deviation * slope / control.Span,
                        found
                    )
                );
            }
        }

        return effects;
    }

    private static List<BacklashEstimate> BacklashOf(Adjustment adjustment, TurnModel model) =>
        [.. adjustment.Controls.Select((c, i) => (Control: c, Index: i))
            .Where(c => adjustment.Moves.Any(m => m.Legs[c.Index].Any(l => l != 0)))
            .Select(c => new BacklashEstimate(c.Control, model.Backlash[c.Index].Mean, 2 * model.Backlash[c.Index].Deviation))];

    private static string Figure(double value) => value.ToString("G3", CultureInfo.InvariantCulture);
}
