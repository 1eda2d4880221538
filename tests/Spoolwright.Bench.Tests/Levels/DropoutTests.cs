using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>Dropouts and level stability: against made-up falls, an analytic signal by SciPy, SoX's own joins, and laws.</summary>
public sealed class DropoutTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("dropouts").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Theory]
    [InlineData(44100, 1000)]
    [InlineData(48000, 3150)]
    [InlineData(96000, 10000)]
    [InlineData(192000, 3150)]
    public void Dropouts_OfKnownDepthAndLength_AreCountedByClass(int rate, double hz)
    {
        var sound = new LevelSound(rate, 12, 3).Tone(hz, -10, -12, flutter: 0.001);
        Fall(sound.Left, rate, 2, 8, 10);
        Fall(sound.Left, rate, 4, 30, 16);
        Fall(sound.Left, rate, 5, 3, 20); // too short
        Fall(sound.Left, rate, 6, 100, 4.5); // not deep enough
        Fall(sound.Left, rate, 7, 60, 25);
        sound.Hiss(-60);
        var result = DropoutMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.Equal(3, Value(result, "dropout-count", Channel.Left));
        Assert.Equal(0, Value(result, "dropout-count", Channel.Right));
        Assert.Equal(0, result.Readings.Single(r => r.Quantity == "dropout-count" && r.Channel == Channel.Left).Uncertainty);
        Assert.Equal(3 / (12 / 60.0), Value(result, "dropout-rate", Channel.Left), 0.4);
        double Class(string of) =>
            result
                .Readings.Single(r =>
                    r.Quantity == "dropout-class" && r.Channel == Channel.Left && r.Method.StartsWith(of, StringComparison.Ordinal)
                )
                .Value;
        Assert.Equal(2, Class("at least 15 dB deep for at least 5 ms"));
        Assert.Equal(1, Class("at least 20 dB deep for at least 5 ms"));
        Assert.Equal(2, Class("at least 6 dB deep for at least 20 ms"));
        Assert.Equal(1, Class("at least 6 dB deep for at least 50 ms"));
        var lengths = result.Traces.Single(t => t.Id == "dropout-length" && t.Channel == Channel.Left);
        var depths = result.Traces.Single(t => t.Id == "dropout-depth" && t.Channel == Channel.Left);
        foreach (var (i, at, ms, db) in new[] { (0, 2.0, 8.0, 10.0), (1, 4.0, 30.0, 16.0), (2, 7.0, 60.0, 25.0) })
        {
            Assert.Equal(at, lengths.X[i], 0.003);
            Assert.Equal(ms, lengths.Y[i], 1.2);
            Assert.Equal(db, depths.Y[i], db > 20 ? 2.0 : 1.0);
        }
    }

    // Hiss in the tone's band must not be counted: 30 dB over hiss in 20 kHz, two minutes would hold a million chances.
    [Fact]
    public void Dropouts_OfAToneInHiss_AreNone()
    {
        var result = DropoutMeasurement.Measure(
            new LevelSound(44100, 20, 3).Hiss(-40).Tone(3150, -10, -15, flutter: 0.001).Sound(),
            MeasurementSettings.None,
            null
        );
        Assert.All(result.Readings.Where(r => r.Quantity == "dropout-count"), r => Assert.Equal(0, r.Value));
        Assert.All(result.Readings.Where(r => r.Quantity == "level-stability"), r => Assert.InRange(r.Value, 0, 0.1));
    }

    [Fact]
    public void Dropouts_ByOtherLimits_AreCountedByThose()
    {
        var sound = new LevelSound(48000, 8, 3).Tone(3150, -10, -12);
        Fall(sound.Left, 48000, 2, 8, 10);
        Fall(sound.Left, 48000, 4, 40, 4);
        sound.Hiss(-70);
        double Count(double db, double ms) =>
            Value(
                DropoutMeasurement.Measure(sound.Sound(), new MeasurementSettings { DropoutDepthDb = db, DropoutMilliseconds = ms }, null),
                "dropout-count",
                Channel.Left
            );
        Assert.Equal(2, Count(3, 5));
        Assert.Equal(1, Count(3, 20));
        Assert.Equal(1, Count(6, 5));
        Assert.Equal(0, Count(15, 1));
    }

    // tests/references/dropouts.py: SciPy's analytic signal.
    [Fact]
    public void Dropouts_OfRandomFalls_AgreeWithSciPy()
    {
        var path = Path.Combine(_folder, "d.wav");
        var sound = new LevelSound(48000, 20, 8).Tone(3150, -10, -10, flutter: 0.0005);
        var random = new Random(5);
        for (var t = 0.7; t < 19.2; t += 0.6)
        {
            Fall(sound.Left, 48000, t, 2 + (30 * random.NextDouble()), 3 + (15 * random.NextDouble()));
        }

        for (var i = 0; i < sound.Right.Length; i++)
        {
            sound.Right[i] *= (float)(1 + (0.05 * Math.Sin(2 * Math.PI * 0.7 * i / 48000)));
        }

        sound.Hiss(-64);
        Outside.Write(path, sound, 48000);
        var theirs = Outside.Script("dropouts.py", path, "3150");
        var ours = Outside.Measured("dropouts", path);
        var count = ours.Readings.Single(r => r.Quantity == "dropout-count" && r.Channel == Channel.Left);
        Assert.InRange(theirs[0].GetProperty("count").GetInt32(), 5, 30);
        Assert.Equal(theirs[0].GetProperty("count").GetInt32(), count.Value, count.Uncertainty!.Value + 0.01);
        Assert.Equal(theirs[1].GetProperty("stability").GetDouble(), Value(ours, "level-stability", Channel.Right), 0.03);
    }

    // Law: a level that swings by a sine of ±a dB has its 5th and 95th percentile at ±a·sin(81°) = ±0.988·a.
    [Fact]
    public void LevelStability_OfASwingingLevel_FollowsTheLaw()
    {
        var sound = new LevelSound(48000, 20, 3).Tone(3150, -10, -10);
        for (var i = 0; i < sound.Left.Length; i++)
        {
            sound.Left[i] *= (float)Math.Pow(10, 0.5 / 20 * Math.Sin(2 * Math.PI * 0.4 * i / 48000));
        }

        var result = DropoutMeasurement.Measure(sound.Hiss(-64).Sound(), MeasurementSettings.None, null);
        Assert.Equal(2 * 0.5 * Math.Sin(double.DegreesToRadians(81)), Value(result, "level-stability", Channel.Left), 0.02);
    }

    [Fact]
    public void Dropouts_WhereTheTapeStops_AreNoneAndItIsSaid()
    {
        var result = DropoutMeasurement.Measure(
            new LevelSound(48000, 12, 3).Hiss(-70).Tone(3150, -10, -10, 1, 5).Tone(3150, -10, -10, 8, 11).Sound(),
            MeasurementSettings.None,
            null
        );
        Assert.All(result.Readings.Where(r => r.Quantity == "dropout-count"), r => Assert.Equal(0, r.Value));
        Assert.Contains(result.Notes, n => n.Code == "tone-lost");
    }

    [Fact]
    public void Dropouts_OfMonoOrADeadChannel_AreCountedInTheOther()
    {
        var mono = DropoutMeasurement.Measure(
            new LevelSound(48000, 4, 3).Hiss(-70).Tone(3150, -10, -10).Mono(),
            MeasurementSettings.None,
            null
        );
        Assert.All(mono.Readings, r => Assert.Equal(Channel.Left, r.Channel));
        var dead = DropoutMeasurement.Measure(
            new LevelSound(48000, 4, 3).Hiss(-70).Tone(3150, -300, -10).Sound(),
            MeasurementSettings.None,
            null
        );
        Assert.All(dead.Readings, r => Assert.Equal(Channel.Right, r.Channel));
        Assert.Contains(dead.Notes, n => n.Code == "dead-channel");
    }

    [Fact]
    public void Dropouts_WithNothingToRead_AreRefusedInOneLine()
    {
        static string Code(LevelSound sound) =>
            Assert.Throws<CannotMeasureException>(() => DropoutMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null)).Code;
        Assert.Equal("silence", Code(new LevelSound(48000, 5, 1)));
        Assert.Equal("too-short", Code(new LevelSound(48000, 1, 1).Hiss(-60).Tone(1000, -6, -6)));
        Assert.Equal("no-tone", Code(new LevelSound(48000, 5, 1).Hiss(-60)));
    }

    [Fact]
    public void LevelStability_OverSeeds_LiesWithinItsUncertainty() => Coverage(-45, 100, 3);

    [Theory]
    [InlineData(-45)]
    [InlineData(-35)]
    [Trait("Category", "Long")]
    public void LevelStability_OverAThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty(double hissDb) => Coverage(hissDb, 1000, 0);

    // Noise-like slow movement; truth is the same without hiss, by its own law over each tenth of a second.
    private static void Coverage(double hissDb, int seeds, double sigmas)
    {
        const int rate = 32000;
        var list = new List<(double Error, double Stated)>();
        for (var seed = 1; seed <= seeds; seed++)
        {
            var sound = new LevelSound(rate, 5, seed).Tone(3150, -10, -300);
            var random = new Random(seed);
            var parts = Enumerable
                .Range(0, 5)
                .Select(_ => (W: 2 * Math.PI * (0.2 + (1.3 * random.NextDouble())), P: 6.28 * random.NextDouble()))
                .ToArray();
            double Db(double t) => parts.Sum(p => 0.06 * Math.Sin((p.W * t) + p.P));
            for (var i = 0; i < sound.Left.Length; i += 16)
            {
                var gain = (float)Math.Pow(10, Db(i / (double)rate) / 20);
                for (var k = i; k < i + 16; k++)
                {
                    sound.Left[k] *= gain;
                }
            }

            var levels = Enumerable
                .Range(0, 49)
                .Select(i => Enumerable.Range(0, 10).Average(k => Db(0.002 + ((i + ((k + 0.5) / 10)) / 10))))
                .Order()
                .ToArray();
            double Quantile(double x) => levels[(int)x] + ((x - (int)x) * (levels[(int)x + 1] - levels[(int)x]));
            var truth = Quantile(0.95 * 48) - Quantile(0.05 * 48);
            var result = DropoutMeasurement.Measure(sound.Hiss(hissDb).Mono(), MeasurementSettings.None, null);
            var reading = result.Readings.Single(r => r.Quantity == "level-stability");
            list.Add((reading.Value - truth, reading.Uncertainty!.Value));
        }

        CoverageCheck.Holds("level-stability", list, seeds, sigmas);
    }

    private static double Value(MeasurementResult result, string quantity, Channel channel) =>
        result.Readings.Single(r => r.Quantity == quantity && r.Channel == channel).Value;

    private static void Fall(float[] samples, int rate, double at, double ms, double db)
    {
        var gain = (float)Math.Pow(10, -db / 20);
        for (var i = (int)(at * rate); i < (at + (ms / 1000)) * rate; i++)
        {
            samples[i] *= gain;
        }
    }
}
