using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>The noise measurement: against SciPy and SoX on the same file, and by laws.</summary>
public sealed class NoiseMeasurementTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("noise").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    // tests/references/noise.py, SciPy's own routines.
    [Theory]
    [InlineData(44100)]
    [InlineData(96000)]
    public void Noise_WithHum_AgreesWithSciPy(int rate)
    {
        var path = Path.Combine(_folder, "noise.wav");
        var sound = new LevelSound(rate, 6, 3).Hiss(-62).Tone(50.2, -58, -70).Tone(150.6, -64, -90);
        Outside.Write(path, sound, rate);
        var theirs = Outside.Script("noise.py", path);
        var ours = Outside.Measured("noise", path);
        foreach (var (channel, c) in new[] { (Channel.Left, 0), (Channel.Right, 1) })
        {
            Assert.Equal(theirs[c].GetProperty("noiseA").GetDouble(), Value(ours, "noise-a", channel), 0.05);
            Assert.Equal(theirs[c].GetProperty("noise468").GetDouble(), Value(ours, "noise-468", channel), 0.05);
            Assert.Equal(theirs[c].GetProperty("unweighted").GetDouble(), Value(ours, "noise-unweighted", channel), 0.15);
        }

        foreach (var line in theirs[0].GetProperty("lines").EnumerateArray())
        {
            var hum = ours
                .Readings.Where(r => r.Quantity == "hum" && r.Channel == Channel.Left)
                .MinBy(r => Math.Abs(r.FrequencyHz!.Value - line[0].GetDouble()))!;
            Assert.Equal(line[0].GetDouble(), hum.FrequencyHz!.Value, 0.2);
            Assert.Equal(line[1].GetDouble(), hum.Value, 0.3);
        }

        Assert.Equal(50.2, ours.Readings.Single(r => r.Quantity == "mains-frequency").Value, 0.02);
    }

    // SoX makes the noise and states its rms; a full-scale sine is 0 dBFS, so 3.01 dB go on top.
    [Fact]
    public void Noise_MadeBySox_HasSoxsLevel()
    {
        var path = Path.Combine(_folder, "sox.wav");
        Outside.Run("sox", "sox", "-R", "-n", "-r", "44100", "-b", "24", "-c", "1", path, "synth", "10", "whitenoise", "gain", "-40");
        var stated = Outside.Run("sox", "sox", path, "-n", "stat");
        var rms = double.Parse(
            stated.Split('\n').Single(l => l.StartsWith("RMS     amplitude", StringComparison.Ordinal)).Split(':')[1],
            System.Globalization.CultureInfo.InvariantCulture
        );
        var band = 10 * Math.Log10((22050 - 22.4) / 22050);
        Assert.Equal(
            (20 * Math.Log10(rms)) + 3.0103 + band,
            Value(Outside.Measured("noise", path), "noise-unweighted", Channel.Left),
            0.05
        );
    }

    // Law: white noise is so much weaker A-weighted by the integral of the curve [computed with SciPy's quad: −2.27 dB in 22.05 kHz would
    // be; here by sums].
    [Fact]
    public void Noise_RaisedBy10Db_ReadsTenDbMoreEverywhereAndTheRatioLess()
    {
        var settings = new MeasurementSettings { ReferenceLevelLeftDb = -12, ReferenceLevelRightDb = -13 };
        var soft = NoiseMeasurement.Measure(new LevelSound(48000, 5, 9).Noise(-70).Sound(), settings, null);
        var loud = NoiseMeasurement.Measure(new LevelSound(48000, 5, 9).Noise(-60).Sound(), settings, null);
        Assert.Equal(6 + 8, soft.Readings.Count(r => r.Quantity is not "hum" and not "mains-frequency"));
        foreach (var reading in soft.Readings)
        {
            var sign = reading.Quantity.StartsWith("signal", StringComparison.Ordinal) ? -10 : 10;
            Assert.Equal(reading.Value + sign, Value(loud, reading.Quantity, reading.Channel), 0.001);
        }

        Assert.Equal(-12 - Value(soft, "noise-a", Channel.Left), Value(soft, "signal-to-noise-a", Channel.Left), 1e-9);
        Assert.Contains("-12.00 dBFS", soft.Readings.First(r => r.Quantity == "signal-to-noise-a").Method, StringComparison.Ordinal);
        Assert.Equal(-13 - Value(soft, "noise-468", Channel.Right), Value(soft, "signal-to-noise-468", Channel.Right), 1e-9);
    }

    [Theory]
    [InlineData(49.5, 0)]
    [InlineData(50.5, 0)]
    [InlineData(59.5, 0)]
    [InlineData(60.5, 0)]
    [InlineData(50.1, 59.9)]
    public void Hum_OfOneOrBothFamilies_IsFoundWhereItIs(double first, double second)
    {
        var sound = new LevelSound(48000, 12, 4).Hiss(-66);
        foreach (var mains in new[] { first, second }.Where(m => m > 0))
        {
            for (var h = 1; h <= 5; h++)
            {
                sound.Tone(h * mains, -70 - h, -62 - (2 * h), flutterSeed: h);
            }
        }

        var result = NoiseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        var found = result.Readings.Where(r => r.Quantity == "mains-frequency").Select(r => r.Value).Order().ToArray();
        Assert.Equal(second > 0 ? 2 : 1, found.Length);
        foreach (var (mains, value) in new[] { first, second }.Where(m => m > 0).Zip(found))
        {
            Assert.Equal(mains, value, 0.03);
            for (var h = 1; h <= 4; h++)
            {
                var line = result
                    .Readings.Where(r => r.Quantity == "hum" && r.Channel == Channel.Right)
                    .MinBy(r => Math.Abs(r.FrequencyHz!.Value - (h * mains)))!;
                Assert.Equal(h * mains, line.FrequencyHz!.Value, 0.3);
                Assert.Equal(-62 - (2 * h), line.Value, Math.Max(0.3, 1.5 * line.Uncertainty!.Value));
            }
        }

        // Hiss is what is left: it does not know of the lines.
        var bare = NoiseMeasurement.Measure(new LevelSound(48000, 12, 4).Hiss(-66).Sound(), MeasurementSettings.None, null);
        Assert.Equal(Value(bare, "hiss", Channel.Right), Value(result, "hiss", Channel.Right), 0.15);
        Assert.DoesNotContain(bare.Readings, r => r.Quantity is "hum" or "mains-frequency");
    }

    [Fact]
    public void Noise_WithClicks_LeavesThemOutAndSaysSo()
    {
        var sound = new LevelSound(48000, 10, 6).Hiss(-66);
        foreach (var at in new[] { 2.02, 5.5, 7.77 })
        {
            for (var i = 0; i < 100; i++)
            {
                sound.Left[(int)(at * 48000) + i] += 0.3f * (float)Math.Cos(i);
            }
        }

        var result = NoiseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        var clean = NoiseMeasurement.Measure(new LevelSound(48000, 10, 6).Hiss(-66).Sound(), MeasurementSettings.None, null);
        Assert.Contains(result.Notes, n => n.Code == "clicks" && n.Text.StartsWith("3 clicks", StringComparison.Ordinal));
        foreach (var quantity in new[] { "noise-a", "noise-468", "noise-unweighted" })
        {
            Assert.Equal(Value(clean, quantity, Channel.Left), Value(result, quantity, Channel.Left), 0.15);
        }
    }

    [Fact]
    public void Noise_WhereTheTapeStartsAndStops_CountsTheTapeAlone()
    {
        var sound = new LevelSound(48000, 12, 6).Noise(-90).Noise(-60, 2, 10);
        var result = NoiseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
        Assert.Contains(result.Notes, n => n.Code == "level-change");
        Assert.Equal(-60, Value(result, "noise-unweighted", Channel.Left), 0.5);
    }

    [Fact]
    public void Noise_WithAToneInIt_NamesIt()
    {
        var most = NoiseMeasurement.Measure(
            new LevelSound(48000, 6, 2).Hiss(-66).Tone(1000, -40, -80, flutter: 0.001).Sound(),
            MeasurementSettings.None,
            null
        );
        Assert.Contains(
            most.Notes,
            n =>
                n.Code == "tone-in-noise"
                && n.Text.Contains("1000 Hz", StringComparison.Ordinal)
                && n.Text.Contains("left", StringComparison.Ordinal)
                && n.Text.Contains("no noise", StringComparison.Ordinal)
        );
        Assert.Contains(most.Notes, n => n.Code == "tone-in-noise" && n.Text.Contains("right", StringComparison.Ordinal));
        Assert.DoesNotContain(
            NoiseMeasurement.Measure(new LevelSound(48000, 6, 2).Hiss(-66).Sound(), MeasurementSettings.None, null).Notes,
            n => n.Code == "tone-in-noise"
        );
    }

    [Theory]
    [InlineData(44100)]
    [InlineData(48000)]
    [InlineData(96000)]
    [InlineData(192000)]
    public void Noise_AtEveryRate_PrintsItsBand(int rate)
    {
        var result = NoiseMeasurement.Measure(new LevelSound(rate, 3, 2).Noise(-60).Sound(), MeasurementSettings.None, null);
        var top = Math.Min(22400, rate / 2);
        var reading = result.Readings.First(r => r.Quantity == "noise-unweighted");
        Assert.Contains($"to {top} Hz", reading.Method, StringComparison.Ordinal);
        Assert.Equal(-60 + (10 * Math.Log10((top - 22.4) / (rate / 2.0))), reading.Value, 0.15);
    }

    [Fact]
    public void Noise_OfOneChannelOrADeadOne_IsReadFromTheOther()
    {
        var mono = NoiseMeasurement.Measure(new LevelSound(48000, 3, 2).Noise(-60).Mono(), MeasurementSettings.None, null);
        Assert.All(mono.Readings, r => Assert.NotEqual(Channel.Right, r.Channel));
        var dead = NoiseMeasurement.Measure(new LevelSound(48000, 3, 2).Noise(-60, right: false).Sound(), MeasurementSettings.None, null);
        Assert.DoesNotContain(dead.Readings, r => r.Channel == Channel.Right);
        Assert.Contains(dead.Notes, n => n.Code == "dead-channel" && n.Severity == NoteSeverity.Error);
        Assert.Equal(Value(mono, "noise-a", Channel.Left), Value(dead, "noise-a", Channel.Left), 1e-6);
    }

    [Fact]
    public void Noise_OfSilenceOrTooShort_IsRefusedInOneLine()
    {
        Assert.Equal(
            "silence",
            Assert
                .Throws<CannotMeasureException>(() =>
                    NoiseMeasurement.Measure(new LevelSound(48000, 3, 2).Sound(), MeasurementSettings.None, null)
                )
                .Code
        );
        Assert.Equal(
            "too-short",
            Assert
                .Throws<CannotMeasureException>(() =>
                    NoiseMeasurement.Measure(new LevelSound(48000, 1.5, 2).Noise(-60).Sound(), MeasurementSettings.None, null)
                )
                .Code
        );
    }

    private static double Value(MeasurementResult result, string quantity, Channel channel) =>
        result.Readings.Single(r => r.Quantity == quantity && r.Channel == channel).Value;
}
