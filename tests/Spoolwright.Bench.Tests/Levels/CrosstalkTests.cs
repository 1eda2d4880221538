using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>Separation and the leak of the other direction: against made-up truth, SoX's mixer and SciPy's cross spectra.</summary>
public sealed class CrosstalkTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("crosstalk").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData(44100, 30, 45)]
    [InlineData(48000, 45, 60)]
    [InlineData(96000, 62, 70)]
    public void Crosstalk_OfOneChannelAfterTheOther_ReadsBothWays(int rate, double fromLeft, double fromRight)
    {
        var sound = new LevelSound(rate, 21, 3).Hiss(-60)
            .Tone(1004, -8, -8 - fromLeft, 0.5, 10, 0.001).Tone(1004, -9 - fromRight, -9, 11, 21, 0.001, 4);
        var result = CrosstalkMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.Equal([Channel.Left, Channel.Right], result.Readings.Select(r => r.Channel));
        Assert.Equal(fromLeft, result.Readings[0].Value, 0.5);
        Assert.Equal(fromRight, result.Readings[1].Value, 0.5);
        Assert.All(result.Readings, r => Assert.Equal(1000, r.FrequencyHz));
        Assert.All(result.Readings, r => Assert.InRange(r.Uncertainty!.Value, 0.02, 0.8));
    }

    [Theory]
    [InlineData(10.0)]
    [InlineData(10.04)]
    [InlineData(10.09)]
    [InlineData(10.13)]
    public void Crosstalk_GoingOverWithoutAGap_ReadsBothWays(double at)
    {
        // Where in a window the tone goes over must not matter.
        var sound = new LevelSound(48000, 20, 3).Hiss(-60).Tone(1000, -8, -53, 0, at).Tone(1000, -57, -8, at, 20);
        var result = CrosstalkMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.Equal(45, result.Readings.Single(r => r.Channel == Channel.Left).Value, 0.5);
        Assert.Equal(49, result.Readings.Single(r => r.Channel == Channel.Right).Value, 0.5);
    }

    [Fact]
    public void Crosstalk_OfDifferentTonesAtOnce_ReadsEachByItself()
    {
        var sound = new LevelSound(48000, 15, 3).Hiss(-60).Tone(1000, -8, -53, flutter: 0.001).Tone(1250, -62, -10, flutter: 0.001);
        var result = CrosstalkMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.Equal(45, result.Readings.Single(r => r.Channel == Channel.Left && r.FrequencyHz == 1000).Value, 0.3);
        Assert.Equal(52, result.Readings.Single(r => r.Channel == Channel.Right && r.FrequencyHz == 1250).Value, 0.3);
    }

    [Fact]
    public void Crosstalk_OfSeveralTones_ReadsEachFrequency()
    {
        var sound = new LevelSound(48000, 18, 3)
            .Hiss(-64)
            .Tone(315, -8, -40, 0, 6)
            .Tone(1000, -8, -58, 6, 12, 0.001)
            .Tone(10000, -14, -44, 12, 18, 0.001);
        var result = CrosstalkMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.Equal([315.0, 1000.0, 10000.0], result.Readings.Select(r => r.FrequencyHz!.Value));
        foreach (var (reading, truth) in result.Readings.Zip([32.0, 50, 30]))
        {
            Assert.Equal(truth, reading.Value, 0.2);
        }

        Assert.Contains(result.Notes, n => n.Code == "one-way");
    }

    [Fact]
    public void Crosstalk_BelowTheHiss_SaysAtLeast()
    {
        var result = CrosstalkMeasurement.Measure(
            new LevelSound(48000, 8, 3).Hiss(-50).Tone(1000, -8, -300, flutter: 0.001).Sound(),
            MeasurementSettings.None,
            null
        );
        var reading = Assert.Single(result.Readings);
        Assert.Null(reading.Uncertainty);
        Assert.InRange(reading.Value, 65, 95);
        Assert.Contains(result.Notes, n => n.Code == "at-least");
    }

    // SoX's mixer sets the leak: a hundredth of the left channel goes to the right one.
    [Fact]
    public void Crosstalk_MixedBySox_ReadsSoxsShare()
    {
        string mono = Path.Combine(_folder, "a.wav"), path = Path.Combine(_folder, "b.wav");
        Outside.Run("sox", "sox", "-R", "-D", "-n", "-r", "48000", "-b", "32", "-c", "1", mono, "synth", "6", "sine", "1000", "gain", "-6");
        Outside.Run("sox", "sox", "-D", mono, path, "remix", "1", "1v0.01");
        Assert.Equal(40, Assert.Single(Outside.Measured("crosstalk", path).Readings).Value, 0.02);
    }

    // tests/references/selective.py: SciPy's cross spectrum.
    [Fact]
    public void Crosstalk_WithHiss_AgreesWithSciPy()
    {
        var path = Path.Combine(_folder, "c.wav");
        Outside.Write(path, new LevelSound(48000, 20, 8).Hiss(-62).Tone(3150, -8, -60, flutter: 0.0005), 48000);
        var theirs = Outside.Script("selective.py", path, "separation", "3150", "0", "20");
        Assert.Equal(theirs[0].GetDouble(), Assert.Single(Outside.Measured("crosstalk", path).Readings).Value, 0.3);
    }

    [Fact]
    public void ReverseLeak_OfAToneOnTheOtherTracks_IsReadAgainstTheReference()
    {
        var settings = new MeasurementSettings { ReferenceLevelLeftDb = -10, ReferenceLevelRightDb = -11 };
        var sound = new LevelSound(48000, 20, 3).Hiss(-60).Tone(1012, -70, -78, flutter: 0.001);
        var result = CrosstalkMeasurement.Measure(sound.Sound(), settings, null);
        Assert.All(result.Readings, r => Assert.Equal("reverse-leak", r.Quantity));
        Assert.Equal(60, result.Readings[0].Value, 0.8);
        Assert.Equal(67, result.Readings[1].Value, 1.5);
        Assert.Contains("-10.00 dBFS", result.Readings[0].Method, StringComparison.Ordinal);
        var bare = CrosstalkMeasurement.Measure(new LevelSound(48000, 20, 3).Hiss(-60).Sound(), settings, null);
        Assert.All(bare.Readings, r => Assert.Null(r.Uncertainty));
        Assert.Contains(bare.Notes, n => n.Code == "at-least");
    }

    [Fact]
    public void Crosstalk_WithNothingToRead_IsRefusedInOneLine()
    {
        static string Code(LevelSound sound, bool mono = false) =>
            Assert
                .Throws<CannotMeasureException>(() =>
                    CrosstalkMeasurement.Measure(mono ? sound.Mono() : sound.Sound(), MeasurementSettings.None, null)
                )
                .Code;
        Assert.Equal("silence", Code(new LevelSound(48000, 5, 1)));
        Assert.Equal("too-short", Code(new LevelSound(48000, 1, 1).Hiss(-60).Tone(1000, -6, -6)));
        Assert.Equal("no-tone", Code(new LevelSound(48000, 5, 1).Hiss(-60)));
        Assert.Equal("both-channels", Code(new LevelSound(48000, 5, 1).Hiss(-60).Tone(1000, -6, -8)));
        Assert.Equal("one-channel", Code(new LevelSound(48000, 5, 1).Hiss(-60).Tone(1000, -6, -8), mono: true));
    }

    [Fact]
    public void Crosstalk_OverSeeds_LiesWithinItsUncertainty() => Coverage(100, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void Crosstalk_OverAThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => Coverage(1000, 0);

    private static void Coverage(int seeds, double sigmas)
    {
        var list = new List<(double Error, double Stated)>();
        for (var seed = 1; seed <= seeds; seed++)
        {
            var sound = new LevelSound(32000, 5, seed).Hiss(-56).Tone(1002, -8, -68, 0, 5, 0.001, seed);
            var result = CrosstalkMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
            list.AddRange(result.Readings.Where(r => r.Uncertainty is not null).Select(r => (r.Value - 60, r.Uncertainty!.Value)));
        }

        CoverageCheck.Holds("separation", list, seeds, sigmas);
    }

    [Fact]
    public void ReverseLeak_OverSeeds_LiesWithinItsUncertainty() => LeakCoverage(60, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void ReverseLeak_OverAThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => LeakCoverage(1000, 0);

    // The deck's speed moves the tone to where it must be looked for; the right channel's leak stands nearer to the noise.
    private static void LeakCoverage(int seeds, double sigmas)
    {
        var settings = new MeasurementSettings { ReferenceLevelLeftDb = -10, ReferenceLevelRightDb = -11 };
        var lists = new Dictionary<Channel, List<(double Error, double Stated)>> { [Channel.Left] = [], [Channel.Right] = [] };
        Parallel.For(1, seeds + 1, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var hz = 1000 * (1 + (0.015 * Math.Sin(seed)));
            var sound = new LevelSound(32000, 9, seed).Hiss(-60).Tone(hz, -70, -78, flutter: 0.001, flutterSeed: seed);
            var readings = CrosstalkMeasurement.Measure(sound.Sound(), settings, null).Readings.Where(r => r.Uncertainty is not null).ToArray();
            lock (lists)
            {
                foreach (var r in readings)
                    lists[r.Channel].Add((r.Value - (r.Channel == Channel.Left ? 60 : 67), r.Uncertainty!.Value));
            }
        });
        Assert.Multiple([.. lists.Select(l => (Action)(() => CoverageCheck.Holds($"reverse-leak {l.Key}", l.Value, seeds, sigmas)))]);
    }
}
