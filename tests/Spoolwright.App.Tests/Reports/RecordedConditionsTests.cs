using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;
using Spoolwright.Reports.Text;

namespace Spoolwright.App.Tests.Reports;

/// <summary>Test tapes, own recordings, gauges and the interface side by side in one record.</summary>
public sealed class RecordedConditionsTests
{
    private static readonly Condition Played = new(Direction.Forward, 19.05), Recorded = Played with { TapeSetting = "normal" };

    [Fact]
    public void Measurement_TakenAgain_ReplacesTheOldOneButNotWhatReadsOtherTones()
    {
        var record = Compose(
            Filed(1, "distortion", Recorded, Read("thd", 0.9, 1000)),
            Filed(2, "distortion", Recorded, Read("thd", 0.4, 1000)),
            Filed(3, "distortion", Recorded, Read("saturation", -9, 10_000))
        );
        Assert.Equal([0.4, -9], record.Conditions.Single().Pass(Mark.AsLeft)!.Readings.Select(r => r.Value));
        Assert.Equal(1, record.SupersededMeasurements);
    }

    [Fact]
    public void Conditions_InALine_NameWhatGoesAlikeOnce()
    {
        Condition[] all =
        [
            .. from d in new[] { Direction.Forward, Direction.Reverse }
            from s in new[] { 9.525, 19.05 }
            from t in new[] { null, "normal", "high" }
            select new Condition(d, s, t),
        ];
        Assert.Equal(
            "forward and reverse, each at 9.525 cm/s and 19.05 cm/s, tape setting normal and high",
            Words.Of(all).Replace('\u00A0', ' ')
        );
        Assert.Equal(
            "forward at 9.525 cm/s and 19.05 cm/s (tape setting normal and high); reverse at 19.05 cm/s",
            Words.Of([all[0], .. all[3..6], new Condition(Direction.Reverse, 19.05)]).Replace('\u00A0', ' ')
        );
    }

    [Fact]
    public void Loopback_OfTheInterface_IsNoFigureOfTheDeck()
    {
        var record = Compose(
            Filed(1, "loopback", Played, Read("thd", 0.001, 1000)),
            Filed(2, "distortion", Recorded, Read("thd", 0.4, 1000))
        );
        Assert.Equal("loopback", Assert.Single(record.Calibrations).Entry.Measurement);
        Assert.DoesNotContain(record.Passes.SelectMany(p => p.Pass.Readings), r => r.Value.Equals(0.001));
        Assert.Contains("id=\"loopback\"", HtmlRecord.Write(record), StringComparison.Ordinal);
    }

    [Fact]
    public void Limit_OfOwnRecordings_IsNoGapWhereATestTapeWasPlayed()
    {
        var record = Compose(Filed(1, "speed", Played, Read("speed-error", 0.1)), Filed(2, "distortion", Recorded, Read("thd", 0.4, 1000)));
        Assert.Equal(["speed-error"], Limits(record, Played));
        Assert.Equal(["thd"], Limits(record, Recorded));
    }

    [Fact]
    public void Limit_NeverReadAnywhere_IsAGapEverywhere()
    {
        var record = Compose(Filed(1, "speed", Played, Read("speed-error", 0.1)));
        Assert.Equal(["speed-error", "thd"], Limits(record, Played));
    }

    [Fact]
    public void Methods_ThatDifferInANumberAlone_AreOne()
    {
        var a = Read("thd", 1) with { Method = "mean over 3.1 s within 20 Hz [BS468-4]" };
        var b = Read("thd", 1) with { Method = "mean over 2.9 s within 20 Hz [BS468-4]" };
        var c = Read("thd", 1) with { Method = "mean over 2.9 s within 20 Hz [IEC60268-3]" };
        var methods = new MethodList([a, b, c]);
        Assert.Equal(["mean over … s within 20 Hz [BS468-4]", "mean over 2.9 s within 20 Hz [IEC60268-3]"], methods.Texts);
        Assert.Equal(["m1", "m1", "m2"], new[] { a, b, c }.Select(methods.NameOf));
    }

    private static IEnumerable<string> Limits(RecordData record, Condition condition) =>
        record.Conditions.Single(c => c.Condition == condition).Pass(Mark.AsLeft)!.Judgements.Select(j => j.Limit.Quantity).Order();

    private static Reading Read(string quantity, double value, double? hertz = null) => new()
    {
        Quantity = quantity,
        Value = value,
        Unit = Quantity.Find(quantity)!.Unit,
        Uncertainty = 0.01,
        FrequencyHz = hertz,
        Method = "by hand",
    };

    private static FiledMeasurement Filed(int number, string measurement, Condition condition, params Reading[] readings)
    {
        var entry = new CaptureEntry
        {
            Id = Guid.CreateVersion7(),
            JobId = Guid.Empty,
            Capture = new Capture($"{number}.wav", new string((char)('a' + number), 64), 48_000, 2, 10),
            Condition = condition,
            Mark = Mark.AsLeft,
            Measurement = measurement,
            MeasuredAt = DateTimeOffset.UnixEpoch.AddMinutes(number),
            ProgramVersion = "0.1.0",
        };
        Limit[] limits =
        [
            new()
            {
                Quantity = "speed-error",
                Min = -1,
                Max = 1,
                Source = "invented",
            },
            new()
            {
                Quantity = "thd",
                Max = 1,
                Source = "invented",
            },
        ];
        return new FiledMeasurement(entry, new MeasurementResult(measurement, readings, [], []), [], limits);
    }

    private static RecordData Compose(params FiledMeasurement[] measurements)
    {
        var sample = SampleRecord.File();
        return RecordComposer.Compose(
            new JobFile(sample.Deck, sample.Job, measurements, []),
            Judge.Readings,
            DateTimeOffset.UnixEpoch,
            "0.1.0"
        );
    }
}
