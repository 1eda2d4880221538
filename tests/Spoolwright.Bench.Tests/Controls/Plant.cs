using Spoolwright.Bench.Controls;

namespace Spoolwright.Bench.Tests.Controls;

/// <summary>
/// A deck in miniature: controls with backlash under a law of its own, unlike the estimator's, turned by a hand that errs and read with
/// noise.
/// </summary>
/// <param name="controls">Its controls.</param>
/// <param name="targets">What is to be reached.</param>
/// <param name="law">Values of all targets from where the driven parts stand, in parts of the range.</param>
/// <param name="backlash">True backlash of each control, in its unit.</param>
/// <param name="noise">Standard deviation of each target's reading.</param>
/// <param name="random">Where chance comes from.</param>
/// <param name="handError">Relative error of each turn.</param>
internal sealed class Plant(
    IReadOnlyList<Control> controls,
    IReadOnlyList<TurnTarget> targets,
    Func<double[], double[]> law,
    double[] backlash,
    double[] noise,
    Random random,
    double handError = 0.01
)
{
    private readonly double[] _dials = [.. controls.Select(c => c.Start)];
    private readonly double[] _places = [.. controls.Select((c, i) => c.Start - random.NextDouble() * backlash[i])];

    /// <summary>Truth now.</summary>
    public double[] Truth => law([.. _places.Select((p, i) => (p - controls[i].From) / (controls[i].To - controls[i].From))]);

    /// <summary>Where the dials really stand.</summary>
    public IReadOnlyList<double> Dials => _dials;

    /// <summary>How many expectations of turns meant to arrive were made, and how many held the truth within their spread.</summary>
    public (int Made, int Held) Expectations { get; private set; }

    public IReadOnlyList<ControlReading> Read() =>
        [.. Truth.Select((v, i) => new ControlReading(v + noise[i] * Gaussian(random), 2 * noise[i]))];

    /// <summary>Turns as told, each leg a little wrong, stopped by the end stops.</summary>
    public void Turn(IReadOnlyList<IReadOnlyList<double>> legs)
    {
        for (var c = 0; c < legs.Count; c++)
        {
            foreach (var leg in legs[c])
            {
                _dials[c] = Math.Clamp(_dials[c] + leg * (1 + handError * Gaussian(random)), controls[c].From, controls[c].To);
                _places[c] = Math.Clamp(_places[c], _dials[c] - backlash[c], _dials[c]);
            }
        }
    }

    /// <summary>Follows the advice until it says stop or the moves are used up.</summary>
    public (TurnAdvice Last, Adjustment Adjustment) Follow(int moves)
    {
        var adjustment = new Adjustment { Controls = controls, Targets = targets, AsFound = Read() };
        while (true)
        {
            var advice = TurnAdvisor.Advise(adjustment);
            // A person measures again where told to: no move, a new reading in the place of the last.
            for (var again = 0; again < 2 && advice.Outcome == TurnOutcome.MeasureAgain; again++)
            {
                adjustment = adjustment.Moves.Count == 0
                    ? adjustment with { AsFound = Read() }
                    : adjustment with { Moves = [.. adjustment.Moves.SkipLast(1), adjustment.Moves[^1] with { After = Read() }] };
                advice = TurnAdvisor.Advise(adjustment);
            }

            if (advice.Outcome != TurnOutcome.Turn || adjustment.Moves.Count == moves)
                return (advice, adjustment);
            StaysWithinRange(advice);
            var legs = advice.LegsFor(controls);
            Turn(legs);
            if (!advice.IsProbe)
                Expectations = (
                    Expectations.Made + targets.Count,
                    Expectations.Held + Truth.Where((v, t) => Math.Abs(v - advice.Expected[t].Value) <= advice.Expected[t].Spread).Count()
                );
            adjustment = adjustment.With(new TurnMove(legs, Read()));
        }
    }

    public static double Gaussian(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static void StaysWithinRange(TurnAdvice advice)
    {
        foreach (var turn in advice.Turns)
        {
            var dial = turn.From;
            var slack = 1e-9 * (turn.Control.To - turn.Control.From);
            foreach (var leg in turn.Legs)
            {
                dial += leg;
                Assert.InRange(dial, turn.Control.From - slack, turn.Control.To + slack);
            }
        }
    }
}
