using CsCheck;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Signal.Tests.Sound;

public class SoundInspectorTests
{
    private const int Rate = 96000;
    private const int Quarter = Rate / 4;

    [Fact]
    public void Inspector_OfAHealthyCapture_SaysNothing()
    {
        foreach (var hz in (double[])[31.5, 1000, 3150, 10000, 24000])
            Assert.Empty(Inspect(Tone(hz, 0.5, noise: 1e-4), Tone(hz, 0.4, noise: 1e-4, seed: 2)));
    }

    [Theory]
    [InlineData(8)]
    [InlineData(16)]
    [InlineData(24)]
    public void Inspector_OfSlowTonesInSteps_TakesNoCrestForClipping(int bits)
    {
        foreach (var hz in (double[])[20, 31.5, 63, 400, 1000, 12000])
        {
            foreach (var peak in (double[])[0.02, 0.1, 0.5, 0.9])
                Assert.Empty(Inspect(Steps(Tone(hz, peak)[..Quarter], bits), Steps(Tone(hz, peak, phase: 1)[..Quarter], bits), bits));
        }
    }

    [Fact]
    public void Inspector_OfAToneOverFullScale_SaysClippedWithCountAndPlace()
    {
        var left = Tone(1000, 0.5);
        var right = Tone(1000, 0.5);
        // 1000 Hz at 96 kHz: from 0.25 s on one period of 96 samples at twice the range, its crests over full scale.
        for (var i = 24000; i < 24096; i++)
            right[i] = (float)Math.Clamp(2 * Math.Sin(2 * Math.PI * i / 96), -1, 8388607 / 8388608.0);
        var note = Assert.Single(Inspect(left, right));
        Assert.Equal("clipped", note.Code);
        // sin > 1/2 from 1/12 to 5/12 of the period, ends included: 33 samples, twice.
        Assert.Equal(
            "The right channel is clipped 2 times (66 samples), first at 0.250 s, at 0.0 dB re full scale. Lower the input level and capture it again.",
            note.Text);
    }

    [Fact]
    public void Inspector_OfFlatTopsBelowFullScale_SaysClippedAtTheirLevel()
    {
        var left = Tone(1000, 0.8, noise: 1e-3).Select(s => Math.Clamp(s, -0.5f, 0.5f)).ToArray();
        var note = Assert.Single(Inspect(left, Tone(1000, 0.45, noise: 1e-3)));
        Assert.Equal("clipped", note.Code);
        Assert.Contains("-6.0 dB", note.Text, StringComparison.Ordinal);
        Assert.StartsWith("The left channel", note.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1.0)]
    [InlineData(0.5)]
    public void Inspector_OfClippingThroughout_SaysAThousandTimesOrMore(double ceiling)
    {
        var left = Tone(1000, 1.5, noise: 1e-3).Select(s => (float)Math.Clamp(s, -ceiling, ceiling)).ToArray();
        var note = Assert.Single(Inspect(left, Tone(1000, 0.9 * ceiling, noise: 1e-3)));
        Assert.Contains("The left channel is clipped 1000 times or more, first at 0.000 s", note.Text, StringComparison.Ordinal);
        Assert.Equal(note, Assert.Single(Inspect(left, Tone(1000, 0.9 * ceiling, noise: 1e-3), blocks: [999, 7, 5000])));
    }

    [Fact]
    public void Inspector_OfSamplesOverFullScale_SaysHowFar()
    {
        var note = Assert.Single(Inspect(Tone(1000, 0.5), Tone(1000, 2)));
        Assert.Equal("over-full-scale", note.Code);
        Assert.StartsWith("The right channel reaches 6.0 dB over full scale.", note.Text, StringComparison.Ordinal);
        Assert.Empty(Inspect(Tone(1000, 0.5), Tone(1000, 0.9999)));
    }

    [Fact]
    public void Inspector_OfAnOffset_SaysHowMuch()
    {
        var note = Assert.Single(Inspect(Tone(1000, 0.5), [.. Tone(1000, 0.5, phase: 1).Select(s => s - 0.01f)]));
        Assert.Equal("dc-offset", note.Code);
        Assert.Contains("The right channel has an offset of -1.00 % of full scale (-40.0 dB)", note.Text, StringComparison.Ordinal);
        Assert.Empty(Inspect(Tone(1000, 0.5), [.. Tone(1000, 0.5, phase: 1).Select(s => s - 0.003f)]));
    }

    [Fact]
    public void Inspector_OfAShortPieceOfASlowTone_TakesNoMeanForAnOffset() =>
        Assert.Empty(Inspect(Tone(20, 0.5)[..1200], Tone(20, 0.4)[..1200]));

    [Theory]
    [InlineData(0)]
    [InlineData(1e-5)]
    public void Inspector_OfADeadChannel_NamesIt(double noise)
    {
        var note = Assert.Single(Inspect(Tone(1000, 0, noise), Tone(1000, 0.5)));
        Assert.Equal("dead-channel", note.Code);
        Assert.StartsWith("The left channel is dead", note.Text, StringComparison.Ordinal);
        Assert.Contains(noise == 0 ? "never changes" : "91 dB below", note.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Inspector_OfSilence_SaysSoOnce()
    {
        Assert.Equal("silence", Assert.Single(Inspect(new float[Rate], new float[Rate])).Code);
        Assert.Equal("silence", Assert.Single(Inspect(new float[Rate], null)).Code);
        Assert.Empty(Inspect(Tone(1000, 0, noise: 1e-5), Tone(1000, 0, noise: 1e-5, seed: 3)));
    }

    [Fact]
    public void Inspector_OfOneInputOnBothChannels_SaysIdentical()
    {
        var sound = Tone(3150, 0.5, noise: 1e-3);
        Assert.Equal("identical-channels", Assert.Single(Inspect(sound, sound)).Code);
        var almost = sound.ToArray();
        almost[^1] = MathF.BitIncrement(almost[^1]);
        Assert.Empty(Inspect(sound, almost));
        Assert.Empty(Inspect(sound, null));
    }

    [Theory]
    [InlineData(16)]
    [InlineData(17)]
    [InlineData(480)]
    [InlineData(9000)]
    public void Inspector_OfLostSamples_SaysWhere(int length)
    {
        var left = Tone(3150, 0.5, noise: 1e-3);
        Array.Clear(left, 40_001, length);
        var note = Assert.Single(Inspect(left, Tone(3150, 0.5, noise: 1e-3, seed: 4)));
        Assert.Equal("break", note.Code);
        Assert.Contains($"breaks off once at 0.417 s for {1000.0 * length / Rate:0.0} ms", note.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Inspector_OfZerosThatAreNoBreak_SaysNothing()
    {
        var quiet = Tone(3150, 0.5, noise: 1e-3, seed: 4);
        float[] Cleared(int from, int count)
        {
            var sound = Tone(3150, 0.5, noise: 1e-3);
            Array.Clear(sound, from, count);
            return sound;
        }

        Assert.Empty(Inspect(Cleared(40_000, 15), quiet));
        Assert.Empty(Inspect(Cleared(40_000, 30_000), quiet));
        Assert.Empty(Inspect(Cleared(0, 5000), quiet));
        Assert.Empty(Inspect(Cleared(90_000, 6000), quiet));
        // Between two tones of different level lies a gap of the tape.
        var step = Cleared(48_000, 5000);
        for (var i = 48_000; i < step.Length; i++)
            step[i] /= 10;
        Assert.Empty(Inspect(step, quiet));
    }

    [Fact]
    public void Inspector_OfSpeechThatFadesIntoDigitalSilence_SaysNothing()
    {
        // Made speech swells and fades, and stands at exact zero between its sounds, 20 to 60 ms at a time.
        var sound = Tone(180, 0.5);
        for (var i = 0; i < sound.Length; i++)
        {
            var swell = Math.Sin(2 * Math.PI * 6 * i / Rate);
            sound[i] = swell < 0.3 ? 0 : (float)(sound[i] * (swell - 0.3));
        }

        Assert.DoesNotContain(Inspect(sound, sound.Select(s => s * 0.9f).ToArray()), n => n.Code == "break");
    }

    [Fact]
    public void Inspector_FedInAnyBlocks_SaysTheSame()
    {
        var left = Tone(997, 0.9, noise: 1e-3).Select(s => Math.Clamp(s, -0.7f, 0.7f) + 0.02f).ToArray();
        var right = Tone(997, 1.2, noise: 1e-4).Select(s => Math.Clamp(s, -1f, 1f)).ToArray();
        foreach (var at in (int[])[5000, 5030, 5071, 30_000, 60_000])
            Array.Clear(left, at, 20 + (at / 100));
        var whole = Inspect(left, right);
        Assert.Equal(["clipped", "dc-offset", "break", "clipped"], whole.Select(n => n.Code));
        Gen.Int[1, 3000].Array[1, 8].Sample(
            blocks => Assert.Equal(whole, Inspect(left, right, blocks: blocks)), iter: 60, seed: "0000KMnkzxE3");
    }

    [Fact]
    public void Inspector_FedBlocks_AllocatesNothing()
    {
        var inspector = new SoundInspector(Rate, 2);
        var (left, right) = (Tone(1000, 2), Tone(1000, 0.5));
        Array.Clear(right, 5000, 100);
        inspector.Add(left, right);
        Assert.Equal(0, Allocated.Bytes(() =>
        {
            for (var i = 0; i < 10; i++)
                inspector.Add(left, right);
        }));
        Assert.True(inspector.HasBreak);
    }

    [Fact]
    public void Inspector_FedWhatIsNoNumber_StillSaysSomethingFinite()
    {
        var left = Tone(1000, 0.5);
        (left[100], left[5000], left[9000]) = (float.NaN, float.PositiveInfinity, float.NegativeInfinity);
        Assert.All(Inspect(left, Tone(1000, 0.001)), n => Assert.DoesNotMatch("NaN|Infinity|∞", n.Text));
        Assert.Throws<ArgumentException>(() => new SoundInspector(Rate, 2).Add(new float[3], new float[2]));
        Assert.Throws<ArgumentOutOfRangeException>(() => new SoundInspector(Rate, 3));
        Assert.Empty(new SoundInspector(Rate, 2).Notes());
    }

    private static IReadOnlyList<Note> Inspect(float[] left, float[]? right, int bits = 24, params int[] blocks)
    {
        var inspector = new SoundInspector(Rate, right is null ? 1 : 2, bits);
        for (int at = 0, turn = 0; at < left.Length; turn++)
        {
            var length = Math.Min(blocks.Length == 0 ? 4096 : blocks[turn % blocks.Length], left.Length - at);
            inspector.Add(left.AsSpan(at, length), right is null ? default : right.AsSpan(at, length));
            at += length;
        }

        return inspector.Notes();
    }

    private static float[] Tone(double hz, double peak, double noise = 0, int seed = 1, double phase = 0)
    {
        // Plain loops: the tests run unoptimized.
        var random = new Random(seed);
        var tone = new float[Rate];
        for (var i = 0; i < tone.Length; i++)
            tone[i] = (float)(
                (peak * Math.Sin((2 * Math.PI * hz * i / Rate) + phase)) + (noise * ((2 * random.NextDouble()) - 1) * Math.Sqrt(3))
            );
        return tone;
    }

    private static float[] Steps(float[] sound, int bits) =>
        [.. sound.Select(s => (float)(Math.Round(s * Math.Pow(2, bits - 1)) / Math.Pow(2, bits - 1)))];
}
