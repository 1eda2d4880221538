using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Tones;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Tests.Bias;

/// <summary>Captures of bias that went wrong somewhere: the answer is true, or refused in one line. Truth: the made-up tape's own
/// curve.</summary>
public sealed class BiasTroubleTests
{
    private const int Rate = 48_000;

    // At 10 kHz and 48 kHz a half wave has 2.4 samples: the tone is clipped without a flat top of three. Before, the peak read 0.2 dB
    // (alone) to 0.7 dB (with 1 kHz) too low, stated 0.03.
    [Theory]
    [InlineData(true, -3)]
    [InlineData(false, 0.7)]
    public void Tone_ClippedOnThePeak_IsRefusedWithWhereAndWhatToDo(bool withCompanion, double peakDb)
    {
        var loud = BiasTurn.Sound("up", peakDb, withCompanion, 3, Rate);
        var clipped = new MemorySound(Clipped(loud.LeftSamples, 1), Clipped(loud.RightSamples, 1), Rate);
        var refused = Assert.Throws<CannotMeasureException>(() => Measure(clipped));
        Assert.Equal("clipped", refused.Code);
        Assert.Matches(@"between \d+\.\d and \d+\.\d s", refused.Message);
        Assert.Contains("Lower the input level", refused.Message, StringComparison.Ordinal);
    }

    // Sixteen bits end short of 1; one channel alone is spoilt, the other is read.
    [Fact]
    public void Tone_ClippedInOneChannelAtSixteenBits_LeavesTheOther()
    {
        var sound = BiasTurn.Sound("up", -30, false, 3, Rate);
        float[] left = [.. sound.LeftSamples.Select(x => MathF.Round(x * 37 * 32768) / 32768)];
        var result = Measure(new MemorySound(Clipped(left, 32767 / 32768f), sound.RightSamples, Rate));
        Assert.Contains(result.Notes, n => n.Code == "clipped" && n.Text.StartsWith("Left", StringComparison.Ordinal));
        Assert.All(result.Readings, r => Assert.Equal(Channel.Right, r.Channel));
        Assert.Equal(-31, One(result, "bias-peak", Channel.Right).Value, 0.06);
    }

    // As loud as it may be, and a click at full scale: nothing is cut off the tone.
    [Fact]
    public void Tone_ThatReachesFullScaleInAClick_IsRead()
    {
        var sound = BiasTurn.Sound("up", -2, false, 3, Rate);
        float[] left = [.. sound.LeftSamples], right = [.. sound.RightSamples];
        Array.Fill(left, 1f, 10 * Rate, 20);
        var result = Measure(new MemorySound(left, right, Rate));
        Assert.Equal(-2, One(result, "bias-peak", Channel.Left).Value, 0.06);
    }

    // A dropout takes both tones down, so by the mean of its last second 1 kHz had fallen with the bias: before, the end past the peak was
    // said to lie short of it.
    [Theory]
    [InlineData("up", 0.3, "over")]
    [InlineData("up", 1.0, "over")]
    [InlineData("down", 0.3, "under")]
    public void Dropout_NearTheEnd_DoesNotChangeTheSide(string kind, double beforeEndSeconds, string side)
    {
        var sound = BiasTurn.Sound(kind, -30, true, 3, Rate);
        var from = sound.LeftSamples.Length - (int)(beforeEndSeconds * Rate);
        var result = Measure(Dropped(sound, from, 0.3, 20));
        foreach (var channel in new[] { Channel.Left, Channel.Right })
        {
            Assert.Equal(side, One(result, "overbias", channel).Class);
        }
    }

    // On the peak: 0.05 to 0.6 s, 20 dB. And hum twenty decibels over the tone.
    [Theory]
    [InlineData(0.05, 0)]
    [InlineData(0.3, 0)]
    [InlineData(0.6, 0)]
    [InlineData(0, 0.1)]
    public void DropoutOnThePeakOrHum_LeavesTheTruthWithinItsUncertainty(double dropoutSeconds, double hum)
    {
        var sound = BiasTurn.Sound("up", -30, true, 3, Rate);
        for (var i = 0; i < sound.LeftSamples.Length; i++)
        {
            var h = (float)(hum * (Math.Sin(2 * Math.PI * 50 * i / Rate) + (0.5 * Math.Sin(2 * Math.PI * 250 * i / Rate))));
            (sound.LeftSamples[i], sound.RightSamples[i]) = (sound.LeftSamples[i] + h, sound.RightSamples[i] + h);
        }

        var result = Measure(Dropped(sound, 25 * Rate, dropoutSeconds, 20));
        var (bias, seconds) = BiasTurn.Turn("up");
        foreach (var (channel, peak, shift) in new[] { (Channel.Left, -30.0, 0.0), (Channel.Right, -31.0, 0.4) })
        {
            var found = One(result, "bias-peak", channel);
            Assert.InRange(Math.Abs(found.Value - peak), 0, found.Uncertainty!.Value);
            Assert.InRange(found.Uncertainty!.Value, 0, 0.2);
            var drop = One(result, "overbias", channel);
            Assert.InRange(Math.Abs(drop.Value + BiasTurn.Level(bias(seconds) - shift)), 0, drop.Uncertainty!.Value);
            Assert.Equal("over", drop.Class);
        }
    }

    // Eight seconds without a tone just on the left channel's peak; the right one's comes later.
    [Fact]
    public void Tone_GoneOnThePeak_SaysThatThePeakIsHardlyKnown()
    {
        var result = Measure(Dropped(BiasTurn.Sound("up", -30, true, 3, Rate), 21 * Rate, 8, 30));
        var peak = One(result, "bias-peak", Channel.Left);
        Assert.InRange(Math.Abs(peak.Value + 30), 0, peak.Uncertainty!.Value);
        Assert.True(peak.Uncertainty > 0.3, $"{peak.Uncertainty}");
        Assert.Contains(result.Notes, n => n.Code == "peak-uncertain" && n.Text.Contains("The left channel's peak", StringComparison.Ordinal));
        Assert.Equal(-31, One(result, "bias-peak", Channel.Right).Value, 0.06);
    }

    // Steps of the control under the tape's level noise: true, and said to be known less well than a slow turn would.
    [Fact]
    public void Steps_UnderLevelNoise_AreTrueAndSaidToBeKnownBadly()
    {
        var result = Measure(BiasTurn.Sound("steps", -30, true, 3, Rate));
        foreach (var (channel, peak, shift) in new[] { (Channel.Left, -30.0, 0.0), (Channel.Right, -31.0, 0.4) })
        {
            var found = One(result, "bias-peak", channel);
            Assert.InRange(Math.Abs(found.Value - peak), 0, found.Uncertainty!.Value);
            var drop = One(result, "overbias", channel);
            Assert.InRange(Math.Abs(drop.Value + BiasTurn.Level(2 - shift)), 0, drop.Uncertainty!.Value);
        }

        Assert.Contains(result.Notes, n => n.Code == "level-wanders" && n.Text.Contains("goes in steps or", StringComparison.Ordinal));
    }

    // Past the peak from the start on: refused; back over the peak and short of it at the end: read.
    [Fact]
    public void Capture_ThatBeginsPastThePeak_IsRefusedUnlessItComesBackOverIt()
    {
        var down = BiasTurn.Sound("down", -30, true, 5, Rate);
        var (bias, seconds) = BiasTurn.Turn("down");
        var result = Measure(Cut(down, 12, seconds));
        Assert.Equal(-30, One(result, "bias-peak", Channel.Left).Value, 0.06);
        Assert.Equal("under", One(result, "overbias", Channel.Left).Class);
        Assert.True(bias(12) > 1);
        var refused = Assert.Throws<CannotMeasureException>(() => Measure(Cut(BiasTurn.Sound("up", -30, true, 5, Rate), 30, 48)));
        Assert.Equal("no-peak", refused.Code);
        Assert.Contains("falls from the start on", refused.Message, StringComparison.Ordinal);
    }

    private static float[] Clipped(float[] sound, float at) => [.. sound.Select(x => Math.Clamp(x, -at, at))];

    private static MemorySound Dropped(MemorySound sound, int from, double seconds, double db)
    {
        var gain = (float)Math.Pow(10, -db / 20);
        float[] Down(float[] of) => [.. of.Select((x, i) => i >= from && i < from + (seconds * Rate) ? gain * x : x)];
        return new(Down(sound.LeftSamples), Down(sound.RightSamples), Rate);
    }

    private static MemorySound Cut(MemorySound sound, double from, double to) =>
        new(
            sound.LeftSamples[(int)(from * Rate)..(int)(to * Rate)], sound.RightSamples[(int)(from * Rate)..(int)(to * Rate)],
            Rate);

    private static Reading One(MeasurementResult result, string quantity, Channel channel) =>
        result.Readings.Single(r => r.Quantity == quantity && r.Channel == channel);

    private static MeasurementResult Measure(MemorySound sound) => BiasMeasurement.Measure(sound, MeasurementSettings.None, null);
}
