using CsCheck;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Bench.Tests.Limits;

public sealed class JudgeTests
{
    private static readonly Limit Flutter = new() { Quantity = "wow-flutter-quasi-peak", Max = 0.1, Source = "test" };
    private static readonly Limit Speed = new() { Quantity = "speed-error", Min = -0.5, Max = 0.5, Source = "test" };

    private static readonly Limit Response = new()
    {
        Quantity = "response",
        Mask = [new MaskStep(40, 250, -4, 3), new MaskStep(250, 6300, -2, 2)],
        Source = "test",
    };

    private static Reading Read(string quantity, double value, double? u, Channel channel = Channel.Both, double? hz = null) =>
        new() { Quantity = quantity, Value = value, Unit = "x", Uncertainty = u, Channel = channel, FrequencyHz = hz, Method = "test" };

    // Design section 9: met |value| + U <= limit; not met |value| - U > limit; else not proven.
    [Theory]
    [InlineData(0.05, 0.01, Verdict.Met)]
    [InlineData(0.07, 0.03, Verdict.Met)]
    [InlineData(0.09, 0.02, Verdict.NotProven)]
    [InlineData(0.11, 0.02, Verdict.NotProven)]
    [InlineData(0.12, 0.02, Verdict.NotProven)]
    [InlineData(0.13, 0.02, Verdict.NotMet)]
    [InlineData(0.1, 0.0, Verdict.Met)]
    [InlineData(0.13, null, Verdict.NotProven)]
    [InlineData(0.01, null, Verdict.NotProven)]
    public void FlutterReading_AgainstAMaximum_GetsTheVerdictOfItsInterval(double value, double? u, Verdict expected)
    {
        var judged = Judge.Reading(Read("wow-flutter-quasi-peak", value, u), Flutter);

        Assert.Equal(expected, judged.Verdict);
        Assert.Equal(0.1 - value, judged.Margin!.Value, 12);
        Assert.Equal(expected == Verdict.NotProven, judged.Reason is not null);
    }

    [Theory]
    [InlineData(-0.45, 0.02, Verdict.Met)]
    [InlineData(-0.49, 0.02, Verdict.NotProven)]
    [InlineData(-0.53, 0.02, Verdict.NotMet)]
    [InlineData(0.53, 0.02, Verdict.NotMet)]
    [InlineData(0.0, 0.6, Verdict.NotProven)]
    public void SpeedReading_AgainstPlusMinus_IsHeldOnBothSides(double value, double u, Verdict expected) =>
        Assert.Equal(expected, Judge.Reading(Read("speed-error", value, u), Speed).Verdict);

    // A bound holds downwards only: it proves a lower limit that it reaches, and nothing else.
    [Theory]
    [InlineData(76.0, 75.0, null, Verdict.Met)]
    [InlineData(75.0, 75.0, null, Verdict.Met)]
    [InlineData(74.9, 75.0, null, Verdict.NotProven)]
    [InlineData(20.0, 75.0, null, Verdict.NotProven)]
    [InlineData(76.0, 75.0, 90.0, Verdict.NotProven)]
    [InlineData(95.0, null, 90.0, Verdict.NotProven)]
    public void Bound_AgainstALimit_ProvesTheLowerOneAlone(double bound, double? min, double? max, Verdict expected)
    {
        var reading = Read("erase-depth", bound, null) with { Parts = [new UncertaintyPart(Bench.Reading.AtLeastPart, null)] };
        Assert.Equal(
            expected,
            Judge
                .Reading(
                    reading,
                    new Limit
                    {
                        Quantity = "erase-depth",
                        Min = min,
                        Max = max,
                        Source = "test",
                    }
                )
                .Verdict
        );
    }

    [Fact]
    public void FlutterLimit_WithALowerEnd_IsNotHeldAgainstIt()
    {
        var limit = Flutter with { Min = -0.1 };

        Assert.Equal(Verdict.Met, Judge.Reading(Read("wow-flutter-quasi-peak", 0.001, 0.002), limit).Verdict);
        Assert.Equal(0.099, Judge.Reading(Read("wow-flutter-quasi-peak", 0.001, 0.002), limit).Margin!.Value, 12);
    }

    [Fact]
    public void Mask_PerToneAndChannel_JudgesEachAndTellsTheWorst()
    {
        Reading[] readings =
        [
            Read("response", 0.5, 0.3, Channel.Left, 1000), Read("response", 2.5, 0.3, Channel.Right, 1000),
            Read("response", -2.1, 0.3, Channel.Left, 100), Read("response", 9, 0.3, Channel.Left, 12500),
        ];

        var judged = Judge.Readings(readings, [Response]);

        Assert.Equal([Verdict.Met, Verdict.NotMet, Verdict.Met], judged.Select(j => j.Verdict));
        var summary = Assert.Single(Judge.Summarise(judged));
        Assert.Equal(Verdict.NotMet, summary.Verdict);
        Assert.Equal((Channel.Right, 1000.0), (summary.Worst.Reading!.Channel, summary.Worst.Reading.FrequencyHz));
        Assert.Equal((3, 100.0, 1000.0), (summary.Judged, summary.JudgedFromHz, summary.JudgedToHz));
    }

    [Theory]
    [InlineData(2.5, Verdict.NotMet)]
    [InlineData(1.5, Verdict.Met)]
    [InlineData(-3, Verdict.NotMet)]
    public void Tone_WhereTwoStepsTouch_KeepsToBoth(double value, Verdict expected) =>
        Assert.Equal(expected, Judge.Reading(Read("response", value, 0.1, hz: 250), Response).Verdict);

    [Fact]
    public void Reading_ThatMustNotBeJudged_IsNotMeasuredWithItsReason()
    {
        var judged = Judge.Reading(Read("response", 9, 0.1, hz: 100) with { Judgeable = false }, Response);

        Assert.Equal(Verdict.NotMeasured, judged.Verdict);
        Assert.NotNull(judged.Reason);
        Assert.Equal(-6, judged.Margin);
    }

    [Fact]
    public void Limit_WithoutAReading_IsNotMeasuredOnce()
    {
        var judged = Judge.Readings(
            [Read("speed-error", 0, 0.01)],
            [Speed, Flutter, Response, Flutter with { Quantity = "flutter-line", FrequencyHz = 8 }]
        );

        Assert.Equal([Verdict.Met, Verdict.NotMeasured, Verdict.NotMeasured, Verdict.NotMeasured], judged.Select(j => j.Verdict));
        Assert.All(judged.Skip(1), j => Assert.Contains("no reading", j.Reason, StringComparison.Ordinal));
        // In words, since people read it in records and listings.
        Assert.StartsWith("no reading of wow and flutter, weighted", judged[1].Reason, StringComparison.Ordinal);
        Assert.Equal("no reading of flutter line at 8 Hz", judged[3].Reason);
    }

    [Fact]
    public void Limit_OfAnotherCondition_IsPassedOver()
    {
        Limit[] limits =
        [
            Speed with
            {
                SpeedCmPerS = 9.53,
            },
            Speed with
            {
                SpeedCmPerS = 19.05,
            },
            Speed with
            {
                Direction = Direction.Reverse,
            },
            Speed with
            {
                Direction = Direction.Forward,
            },
        ];

        var judged = Judge.Readings([Read("speed-error", 0, 0.01)], limits, new Condition(Direction.Forward, 9.525));

        Assert.Equal([limits[0], limits[3]], judged.Select(j => j.Limit));
        Assert.All(judged, j => Assert.Equal(Verdict.Met, j.Verdict));
    }

    [Fact]
    public void Limit_OfAConditionThatIsNotStated_IsNotMeasuredAndSaysSo()
    {
        var judged = Judge.Readings(
            [Read("speed-error", 0, 0.01)],
            [Speed with { SpeedCmPerS = 19.05 }, Speed with { TapeSetting = "high" }]
        );

        Assert.All(judged, j => Assert.Equal(Verdict.NotMeasured, j.Verdict));
        Assert.Contains("19.05 cm/s", judged[0].Reason, StringComparison.Ordinal);
        Assert.Contains("tape setting high", judged[1].Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Limit_ForOneTone_FindsThatToneOfBothChannels()
    {
        var limit = new Limit { Quantity = "phase", Min = -30, Max = 30, FrequencyHz = 10000, Source = "test" };
        Reading[] readings = [Read("phase", 5, 1, hz: 10000), Read("phase", 80, 1, hz: 12500), Read("phase", 5, 1)];

        Assert.Equal(10000, Assert.Single(Judge.Readings(readings, [limit])).Reading!.FrequencyHz);
    }

    [Fact]
    public void Verdict_OfAnyReading_AgreesWithTheRuleSaidOtherwise() =>
        Gen.Select(Gen.Double[-2, 2], Gen.Double[0, 1], Gen.Double[0.01, 1.5]).Sample(
            (value, u, limit) =>
            {
                // Ends count as inside; within a billionth of an end, rounding decides which side a point is on.
                if (Math.Abs(Math.Abs(value) + u - limit) < 1e-9 || Math.Abs(Math.Abs(value) - u - limit) < 1e-9)
                    return true;
                var judged = Judge.Reading(Read("speed-error", value, u), Speed with { Min = -limit, Max = limit }).Verdict;
                // Met and not met both ask for certainty: no point of the interval may say otherwise.
                var inside = Enumerable.Range(0, 101).Count(i => Math.Abs(value - u + 2 * u * i / 100) <= limit);
                return judged switch
                {
                    Verdict.Met => inside == 101,
                    Verdict.NotMet => inside == 0,
                    // Between the sampled points the end of a wide interval may hide by a hundredth of its width.
                    _ => Math.Abs(value) + u > limit && Math.Abs(value) - u <= limit,
                };
            },
            seed: "6bzuy-sTSga2",
            iter: 5000);

    [Theory]
    [InlineData(double.NaN, 0.1)]
    [InlineData(double.PositiveInfinity, 0.1)]
    [InlineData(0.1, double.NaN)]
    [InlineData(0.1, -0.1)]
    public void Reading_WithAFigureThatIsNone_IsTheCallersMistake(double value, double u) =>
        Assert.Throws<ArgumentException>(() => Judge.Reading(Read("speed-error", value, u), Speed));

    [Fact]
    public void Overall_OfSeveral_IsTheWorst()
    {
        Assert.Equal(Verdict.NotMeasured, Judge.Overall([]));
        Assert.Equal(Verdict.Met, Judge.Overall([Verdict.Met, Verdict.Met]));
        Assert.Equal(Verdict.NotMeasured, Judge.Overall([Verdict.Met, Verdict.NotMeasured]));
        Assert.Equal(Verdict.NotProven, Judge.Overall([Verdict.NotProven, Verdict.NotMeasured, Verdict.Met]));
        Assert.Equal(Verdict.NotMet, Judge.Overall([Verdict.NotProven, Verdict.NotMet, Verdict.NotMeasured]));
    }
}
