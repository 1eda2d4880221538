using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Tones;
using Spoolwright.Signal;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Tests.Bias;

/// <summary>Bias from sound. Truth computed from the made-up tape's own curve.</summary>
public sealed class BiasTests
{
    [Theory]
    [InlineData("up", true)]
    [InlineData("up", false)]
    [InlineData("pauses", true)]
    [InlineData("past and back", true)]
    public void Peak_TurnedByHandUnderLevelNoise_IsWithinItsBound(string kind, bool withCompanion)
    {
        var result = Measure(BiasTurn.Sound(kind, -30, withCompanion, 3));
        var (bias, seconds) = BiasTurn.Turn(kind);
        foreach (var (channel, peak, shift) in new[] { (Channel.Left, -30.0, 0.0), (Channel.Right, -31.0, 0.4) })
        {
            Assert.Equal(peak, One(result, "bias-peak", channel).Value, 0.06);
            Assert.Equal(-BiasTurn.Level(bias(seconds) - shift), One(result, "overbias", channel).Value, 0.12);
        }

        Assert.Equal(!withCompanion, result.Notes.Any(n => n.Code == "side-unknown"));
        Assert.DoesNotContain(result.Notes, n => n.Code == "under-biased");
    }

    [Fact]
    public void Peak_TurnedDownOnTheUnderSide_SaysUnderBiasedAndNoOverbias()
    {
        var result = Measure(BiasTurn.Sound("down", -30, true, 5));
        Assert.Equal(-30, One(result, "bias-peak", Channel.Left).Value, 0.06);
        Assert.Contains(result.Notes, n => n.Code == "under-biased");
        var drop = One(result, "overbias", Channel.Left);
        Assert.Equal(("under", false), (drop.Class, drop.Judgeable));
        Assert.True(drop.Value > 0);
        Assert.DoesNotContain(result.Readings, r => r.Quantity == "overbias-error");
    }

    // Somebody else's file: 10 kHz alone, its level in dB a parabola up by 3 dB and down by 4, no noise. The other channel: the same,
    // silent, or nothing but dither.
    [Theory]
    [InlineData("same", 48000)]
    [InlineData("silent", 44100)]
    [InlineData("hiss", 96000)]
    public void PlainTone_RisesThreeAndFallsFour_ReadsPeakAndDropWithTheSideUnknown(string other, int rate)
    {
        double start = Math.Sqrt(3), end = Math.Sqrt(4);
        var n = 30 * rate;
        var random = new Random(5);
        float[] left = new float[n], right = new float[n];
        for (var i = 0; i < n; i++)
        {
            var u = -start + ((start + end) * Math.Min(1, i / (double)rate / 25));
            left[i] = (float)(Math.Pow(10, (-20 - (u * u)) / 20) * Math.Sin(2 * Math.PI * 10_000 * i / rate));
            right[i] = other == "same" ? left[i] : other == "hiss" ? (float)(1e-5 * BiasTurn.Normal(random)) : 0;
        }

        var result = Measure(new MemorySound(left, right, rate));
        var channels = other == "same" ? new[] { Channel.Left, Channel.Right } : [Channel.Left];
        foreach (var channel in channels)
        {
            Assert.Equal(-20, One(result, "bias-peak", channel).Value, 0.03);
            var drop = One(result, "overbias", channel);
            Assert.Equal(4, drop.Value, drop.Uncertainty!.Value);
            Assert.Equal(4, drop.Value, 0.05);
            Assert.Equal("side-unknown", drop.Class);
        }

        Assert.Equal(2 * channels.Length, result.Readings.Count);
        Assert.Contains(result.Notes, note => note.Code == "side-unknown");
        Assert.Equal(other != "same", result.Notes.Any(note => note.Code == "dead-channel"));
    }

    /// <summary>A capture that is stopped within the program's end marker: what is heard of it is no bias.</summary>
    [Theory]
    [InlineData(0.5)]
    [InlineData(1.1)]
    [InlineData(1.7)]
    public void Capture_CutWithinTheEndMarker_ReadsTheToneAlone(double markerSeconds)
    {
        const int rate = 48_000;
        int tone = 24 * rate, marker = (int)((SignalProgram.PauseSeconds + markerSeconds) * rate);
        var sound = new ProgramSound(ProgramList.Make(ProgramList.Find("bias")!), rate, -12);
        float[] left = new float[tone + marker], right = new float[tone + marker];
        Assert.Equal(marker, sound.Read(left.AsSpan(tone, marker), right.AsSpan(tone, marker)));
        var random = new Random(5);
        for (var i = 0; i < left.Length; i++)
        {
            if (i < tone)
            {
                var u = -1.7 + (3.7 * Math.Min(1, i / (20.0 * rate)));
                left[i] = right[i] = (float)(Math.Pow(10, (-20 - (u * u)) / 20) * Math.Sin(2 * Math.PI * 10_000 * i / rate));
            }

            (left[i], right[i]) = (left[i] + (float)(1e-4 * BiasTurn.Normal(random)), right[i] + (float)(1e-4 * BiasTurn.Normal(random)));
        }

        var result = Measure(new MemorySound(left, right, rate));
        foreach (var channel in new[] { Channel.Left, Channel.Right })
        {
            Assert.Equal(-20, One(result, "bias-peak", channel).Value, 0.03);
            Assert.Equal(4, One(result, "overbias", channel).Value, 0.03);
        }
    }

    /// <summary>Turned so far over the peak that the tone goes 40 dB under for eight seconds, and back to a drop of 4 dB: the end counts,
    /// not the fall.</summary>
    [Fact]
    public void Control_TurnedFarOverThePeakAndBack_ReadsTheDropAtTheEnd()
    {
        const int rate = 48_000;
        var random = new Random(11);
        float[] left = new float[44 * rate], right = new float[44 * rate];
        for (var i = 0; i < left.Length; i++)
        {
            var t = i / (double)rate;
            var drop = t < 20 ? Math.Pow((t - 14) / 7, 2) : t < 28 ? 40 : 4;
            left[i] = right[i] = (float)(Math.Pow(10, (-30 - drop) / 20) * Math.Sin(2 * Math.PI * 10_000 * t));
            (left[i], right[i]) = (left[i] + (float)(1e-4 * BiasTurn.Normal(random)), right[i] + (float)(1e-4 * BiasTurn.Normal(random)));
        }

        var result = Measure(new MemorySound(left, right, rate));
        foreach (var channel in new[] { Channel.Left, Channel.Right })
        {
            Assert.Equal(-30, One(result, "bias-peak", channel).Value, 0.03);
            Assert.Equal(4, One(result, "overbias", channel).Value, 0.03);
        }
    }

    // The capture ends a second into the end marker, which so cannot be read: what its sweeps leave in the tone's band is no bias.
    [Theory]
    [InlineData(10_000)]
    [InlineData(5_000)]
    public void Capture_CutWithinItsEndMarker_EndsWithTheTone(double hz)
    {
        using var program = new ProgramSound(ProgramList.Make(ProgramList.Find("bias")!, hz, 40), 48_000, -12);
        var n = (int)program.Frames!.Value;
        float[] left = new float[n], right = new float[n];
        for (int at = 0, got; (got = program.Read(left.AsSpan(at), right.AsSpan(at))) > 0; at += got)
        {
        }

        // From −3 dB of bias over the peak to 2.2 dB past it in 35 s, held for 5. The tone stands from 2.91 s on.
        var random = new Random(4);
        double Bias(double t) => Math.Min(-3 + (5.2 * (t - 2.91) / 35), 2.2);
        for (var i = 0; i < n; i++)
        {
            var t = i / 48_000.0;
            var gain = t is > 2.7 and < 43.1 ? (float)Math.Pow(10, BiasTurn.Level(Bias(t)) / 20) : 1;
            left[i] = (gain * left[i]) + (float)(1e-4 * BiasTurn.Normal(random));
            right[i] = (gain * right[i]) + (float)(1e-4 * BiasTurn.Normal(random));
        }

        var cut = (int)(44.4 * 48_000);
        var result = Measure(new MemorySound(left[..cut], right[..cut], 48_000));
        foreach (var channel in new[] { Channel.Left, Channel.Right })
        {
            Assert.Equal(-32, One(result, "bias-peak", channel).Value, 0.05);
            Assert.Equal(-BiasTurn.Level(2.2), One(result, "overbias", channel).Value, 0.05);
        }
    }

    // Truth: the lines added, by trigonometry. At 48 kHz it is said that nothing was looked for.
    [Fact]
    public void Leak_OfTheBiasItself_IsReadWhereTheRateShowsIt()
    {
        var sound = BiasTurn.Sound("fast", -20, true, 3, rate: 192_000, noiseDb: 0.1);
        var plain = Measure(sound);
        Assert.DoesNotContain(plain.Readings, r => r.Quantity == "bias-leak");
        Assert.Contains(plain.Notes, n => n.Code == "no-bias-leak");
        float[] left = [.. sound.LeftSamples], right = [.. sound.RightSamples];
        for (var i = 0; i < left.Length; i++)
        {
            var x = Math.Sin(2 * Math.PI * 80_250.0 * i / 192_000);
            left[i] += (float)(Math.Pow(10, -15 / 20.0) * x);
            right[i] += (float)(Math.Pow(10, -52 / 20.0) * x);
        }

        var result = Measure(new MemorySound(left, right, 192_000));
        foreach (var (channel, level) in new[] { (Channel.Left, -15.0), (Channel.Right, -52) })
        {
            var leak = One(result, "bias-leak", channel);
            Assert.InRange(Math.Abs(leak.Value - level), 0, leak.Uncertainty!.Value);
            Assert.Equal(80_250, leak.FrequencyHz!.Value, 20.0);
            Assert.True(leak.Uncertainty < 0.2, $"{leak.Uncertainty}");
        }

        Assert.Equal(One(plain, "bias-peak", Channel.Left).Value, One(result, "bias-peak", Channel.Left).Value, 0.01);
        var low = Measure(BiasTurn.Sound("fast", -20, true, 3, rate: 48_000, noiseDb: 0.1));
        Assert.DoesNotContain(low.Readings, r => r.Quantity == "bias-leak");
        Assert.Contains("24 kHz", low.Notes.Single(n => n.Code == "bias-leak-not-measured").Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Peak_TurnedInSteps_IsFittedThroughThem()
    {
        var result = Measure(BiasTurn.Sound("steps", -30, true, 2, noiseDb: 0.05));
        Assert.Equal(-30, One(result, "bias-peak", Channel.Left).Value, 0.06);
        Assert.Equal(-BiasTurn.Level(2), One(result, "overbias", Channel.Left).Value, 0.1);
    }

    [Fact]
    public void WantedDrop_Given_IsFoundInTimeLessTheMonitorDelay()
    {
        var result = BiasMeasurement.Measure(
            BiasTurn.Sound("up", -30, true, 7, delay: 0.2),
            new() { WantedDropDb = 1, MonitorDelayMs = 200 },
            null
        );
        var (bias, _) = BiasTurn.Turn("up");
        var truth = Enumerable.Range(0, 6000).Select(i => i / 100.0).First(t => bias(t) > 0 && BiasTurn.Level(bias(t)) < -1);
        var at = One(result, "wanted-drop-time", Channel.Left);
        Assert.Equal(truth, at.Value, 1.0);
        Assert.Equal(-BiasTurn.Level(2.2) - 1, One(result, "overbias-error", Channel.Left).Value, 0.12);
        Assert.Equal(1, One(result, "overbias-wanted", Channel.Right).Value);
    }

    [Theory]
    [InlineData(19.05, 10_000, "[TAPE-SHEET-2006]")]
    [InlineData(9.53, 6_300, "[memory]")]
    public void WantedDrop_NotGiven_ShowsWhatIsKnownAndOnWhatItRests(double speed, double hz, string mark)
    {
        var settings = new MeasurementSettings { Condition = new(Direction.Forward, speed) };
        var result = BiasMeasurement.Measure(BiasTurn.Sound("up", -30, false, 7, hz: hz), settings, null);
        Assert.Contains(mark, result.Notes.Single(n => n.Code == "wanted-drop-unknown").Text, StringComparison.Ordinal);
        Assert.DoesNotContain(result.Readings, r => r.Quantity == "overbias-wanted");
    }

    [Fact]
    public void Capture_NothingToFit_IsRefusedInOneLine()
    {
        Assert.Equal(
            "silence",
            Assert.Throws<CannotMeasureException>(() => Measure(new MemorySound(new float[200_000], new float[200_000], 32000))).Code
        );
        Assert.Equal(
            "too-short",
            Assert.Throws<CannotMeasureException>(() => Measure(new MemorySound(new float[3000], new float[3000], 32000))).Code
        );
        var up = BiasTurn.Sound("up", -30, false, 1);
        var rising = new MemorySound(up.LeftSamples[..(32000 * 14)], up.RightSamples[..(32000 * 14)], 32000);
        Assert.Contains("still rises", Assert.Throws<CannotMeasureException>(() => Measure(rising)).Message, StringComparison.Ordinal);
        var random = new Random(1);
        float[] steady =
        [
            .. Enumerable
                .Range(0, 320_000)
                .Select(i => (float)((0.1 * Math.Sin(i * 2 * Math.PI * 10_000 / 32000)) + (0.0003 * BiasTurn.Normal(random)))),
        ];
        Assert.Contains(
            "hardly changes",
            Assert.Throws<CannotMeasureException>(() => Measure(new MemorySound(steady, [], 32000, channels: 1))).Message,
            StringComparison.Ordinal
        );
        float[] noise = [.. Enumerable.Range(0, 320_000).Select(_ => (float)(0.1 * BiasTurn.Normal(random)))];
        Assert.Throws<CannotMeasureException>(() => Measure(new MemorySound(noise, [], 32000, channels: 1)));
    }

    [Fact]
    public void DeadChannel_IsNamedAndTheOtherRead()
    {
        var up = BiasTurn.Sound("up", -30, false, 1);
        var result = Measure(new MemorySound(up.LeftSamples, new float[up.LeftSamples.Length], 32000));
        Assert.Contains(result.Notes, n => n.Code == "dead-channel" && n.Text.Contains("right", StringComparison.Ordinal));
        Assert.All(result.Readings, r => Assert.Equal(Channel.Left, r.Channel));
    }

    private static Reading One(MeasurementResult result, string quantity, Channel channel) =>
        result.Readings.Single(r => r.Quantity == quantity && r.Channel == channel);

    private static MeasurementResult Measure(MemorySound sound) => BiasMeasurement.Measure(sound, MeasurementSettings.None, null);
}
