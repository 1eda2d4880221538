using Spoolwright.Bench.Controls;

namespace Spoolwright.Bench.Tests.Controls;

/// <summary>What the advice says in cases worked out by hand.</summary>
public sealed class TurnAdvisorTests
{
    private static readonly Control Trimmer = new()
    {
        Name = "trimmer",
        Unit = TurnUnit.Turn,
        From = -1,
        To = 1,
        Start = 0,
        MostBacklash = 0,
    };
    private static readonly TurnTarget Level = new()
    {
        Quantity = "tone-level",
        Unit = "dBFS",
        Min = -0.2,
        Max = 0.2,
    };

    private static Adjustment Of(Control control, TurnTarget target, params (double Turn, double Value)[] rounds) => new()
    {
        Controls = [control],
        Targets = [target],
        AsFound = [new ControlReading(rounds[0].Value, 0.02)],
        Moves = [.. rounds.Skip(1).Select(r => new TurnMove([[r.Turn]], [new ControlReading(r.Value, 0.02)]))],
    };

    [Fact]
    public void Advice_AfterTwoReadingsOfAStraightLaw_IsTheSecantStep()
    {
        // Level −4 at 0 and −3 at 0.25: 4 dB a turn, so 0.75 more. The secant step (law of the method), computed.
        var advice = TurnAdvisor.Advise(Of(Trimmer, Level, (0, -4), (0.25, -3)));
        Assert.Equal(TurnOutcome.Turn, advice.Outcome);
        Assert.Equal(0.75, advice.Turns[0].Legs.Sum(), 0.04);
        Assert.Equal(0, advice.Expected[0].Value, 0.1);
        Assert.Equal(4, advice.Effects[0].PerUnit, 0.5);
    }

    [Fact]
    public void Advice_OnASmoothLaw_ComesNearerFasterThanHalving()
    {
        // The secant method's error falls with the power 1.618 near the end (law): after four steps far less than the sixteenth that
        // halving leaves.
        static double Law(double x) => 6 * Math.Sinh(1.2 * (x - 0.31));
        var target = Level with { Min = -1e-5, Max = 1e-5 };
        var adjustment = Exact(target, Law(0));
        var x = 0.0;
        for (var move = 0; move < 4; move++)
        {
            var advice = TurnAdvisor.Advise(adjustment);
            if (advice.Outcome != TurnOutcome.Turn)
                break;
            var legs = advice.LegsFor(adjustment.Controls);
            x += legs[0].Sum();
            adjustment = adjustment.With(new TurnMove(legs, [new ControlReading(Law(x), 1e-6)]));
        }

        Assert.InRange(Math.Abs(x - 0.31), 0, 0.31 / 100);
    }

    [Fact]
    public void Advice_WhenTheTargetIsMet_IsToStop() =>
        Assert.Equal(TurnOutcome.Met, TurnAdvisor.Advise(Of(Trimmer, Level, (0, -2), (0.5, 0.1))).Outcome);

    [Fact]
    public void Advice_WhenValueHoldsButUncertaintyDoesNot_IsNotMet()
    {
        var adjustment = Of(Trimmer, Level, (0, -4), (0.25, -3), (0.75, 0.19));
        Assert.NotEqual(TurnOutcome.Met, TurnAdvisor.Advise(adjustment).Outcome);
    }

    // A dirty head leaves 10 kHz so low that no trimmer brings it up: by law the stop is where the least is missing, whatever a far place
    // might hold.
    [Theory]
    [InlineData(-6.16, 10.1)]
    [InlineData(-6.16, 9.2)]
    [InlineData(-6.9, 9.7)]
    [InlineData(-5.8, 9.0)]
    public void Advice_WhereTheStopFallsJustShort_GoesThereAndNowhereElse(double atStart, double perTurn)
    {
        var trimmer = new Control
        {
            Name = "equalization",
            Unit = TurnUnit.Turn,
            From = -0.375,
            To = 0.375,
            Start = 0.054,
            Kind = ControlKind.PlaybackEqualization,
        };
        var target = new TurnTarget
        {
            Quantity = "response",
            Unit = "dB",
            Min = -2.5,
            Max = 2.5,
            FrequencyHz = 10000,
        };
        // A trimmer whose effect tires a little towards its end.
        double Law(double at) => atStart + perTurn * (at - 0.054) - 2 * Math.Pow(at - 0.054, 2);
        var adjustment = new Adjustment { Controls = [trimmer], Targets = [target], AsFound = [new(Law(0.054), 0.004)] };
        var outcome = TurnAdvisor.Advise(adjustment);
        for (var (move, at) = (0, 0.054); move < 3 && outcome.Outcome == TurnOutcome.Turn; move++)
        {
            var before = Math.Abs(Law(at));
            at += outcome.Turns[0].Legs.Sum();
            Assert.True(Math.Abs(Law(at)) < before, $"move {move}: {outcome.Reason}, to {at}");
            adjustment = adjustment.With(new TurnMove([outcome.Turns[0].Legs], [new(Law(at), 0.004)]));
            outcome = TurnAdvisor.Advise(adjustment);
        }

        Assert.Equal(target.Holds(Law(0.375)) ? TurnOutcome.Met : TurnOutcome.EndStop, outcome.Outcome);
    }

    [Fact]
    public void Advice_WhenTurningChangesNothing_NamesTheControl()
    {
        var trimmer = Trimmer with { Kind = ControlKind.PlaybackLevel };
        var advice = TurnAdvisor.Advise(Of(trimmer, Level, (0, -4), (0.5, -4.005)));
        Assert.Equal(TurnOutcome.NoEffect, advice.Outcome);
        Assert.Contains("trimmer", advice.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Advice_WhenTheRangeEndsFirst_GoesToTheStopAndThenSaysSo()
    {
        // 1 dB a turn and 4 dB missing: the stop at 1 comes first.
        var first = TurnAdvisor.Advise(Of(Trimmer, Level, (0, -4), (0.25, -3.75)));
        Assert.Equal(TurnOutcome.Turn, first.Outcome);
        Assert.Equal(1, first.Turns[0].To, 0.01);
        var last = TurnAdvisor.Advise(Of(Trimmer, Level, (0, -4), (0.25, -3.75), (0.75, -3)));
        Assert.Equal(TurnOutcome.EndStop, last.Outcome);
    }

    [Fact]
    public void Advice_WhenReadingsAreWorseThanTheLimits_SaysThatNothingCanBeProven()
    {
        var adjustment = new Adjustment { Controls = [Trimmer], Targets = [Level], AsFound = [new ControlReading(0.1, 0.5)] };
        Assert.Equal(TurnOutcome.NoiseTooLarge, TurnAdvisor.Advise(adjustment).Outcome);
    }

    [Fact]
    public void Advice_AgainstTheApproach_TurnsPastThePlaceAndBack()
    {
        // Common practice, no source: against backlash, arrive from one side.
        var advice = TurnAdvisor.Advise(Of(Trimmer with { MostBacklash = 0.05 }, Level, (0, 1), (0.25, 2)));
        var legs = advice.Turns[0].Legs;
        Assert.Equal(2, legs.Count);
        Assert.True(legs[0] < 0 && legs[1] >= 0.05);
    }

    [Fact]
    public void Advice_WhenAStatedWayIsWrong_SaysSoAndFollowsTheReadings()
    {
        var advice = TurnAdvisor.Advise(Of(Trimmer with { Lowers = ["tone-level"] }, Level, (0, -4), (0.25, -3)));
        Assert.Contains(advice.Notes, n => n.Code == "effect-opposite");
        Assert.True(advice.Turns[0].Legs.Sum() > 0.5);
    }

    [Fact]
    public void Advice_AfterTurnsBothWays_FindsTheBacklash()
    {
        // Play of 0.08 turn lost at each reversal; 4 dB a turn.
        var control = Trimmer with { MostBacklash = 0.1 };
        var (dial, place, rounds) = (0.0, 0.0, new List<(double, double)> { (0, -1) });
        foreach (var turn in new[] { 0.3, -0.25, 0.2, -0.2, 0.3 })
        {
            dial += turn;
            place = Math.Clamp(place, dial - 0.08, dial);
            rounds.Add((turn, -1 + 4 * place));
        }

        var found = TurnAdvisor.Advise(Of(control, Level with { Min = 5, Max = 6 }, [.. rounds])).Backlash[0];
        Assert.Equal(0.08, found.Amount, Math.Max(found.Uncertainty, 0.02));
        Assert.InRange(found.Amount, 0.05, 0.1);
    }

    private static Adjustment Exact(TurnTarget target, double value) =>
        new() { Controls = [Trimmer], Targets = [target], AsFound = [new ControlReading(value, 1e-6)] };
}
