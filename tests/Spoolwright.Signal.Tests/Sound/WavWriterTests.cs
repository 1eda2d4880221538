using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;

namespace Spoolwright.Signal.Tests.Sound;

public class WavWriterTests
{
    [Theory]
    [InlineData(WavSamples.Integer16, 1)]
    [InlineData(WavSamples.Integer16, 2)]
    [InlineData(WavSamples.Integer24, 1)]
    [InlineData(WavSamples.Integer24, 2)]
    [InlineData(WavSamples.Float32, 1)]
    [InlineData(WavSamples.Float32, 2)]
    public void Writer_InBlocks_MakesAFileThatReadsBackTheSame(WavSamples samples, int channels)
    {
        var bits = samples switch { WavSamples.Integer16 => 16, WavSamples.Integer24 => 24, _ => 32 };
        var left = Sound(bits, 10_001, 1);
        var right = Sound(bits, 10_001, 2);
        using var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, 88200, channels, samples, leaveOpen: true))
        {
            for (var at = 0; at < left.Length; at += 777)
                writer.Write(
                    left.AsSpan(at, Math.Min(777, left.Length - at)),
                    channels == 2 ? right.AsSpan(at, Math.Min(777, left.Length - at)) : default
                );
            Assert.Equal(10_001, writer.Frames);
            Assert.Equal(0, writer.ClippedSamples);
        }

        using var reader = SoundFile.Open(stream);
        var (l, r) = SoundReading.All(reader);
        Assert.Equal(left, l);
        Assert.Equal(channels == 2 ? right : [], r);
        Assert.Empty(reader.Notes);
        Assert.Equal(SoundContainer.Wav, reader.Format.Container);
        Assert.Equal(bits, reader.Format.Bits);
        Assert.Equal(88200, reader.SampleRateHz);
    }

    [Fact]
    public void Writer_OfTwoFrames_MakesTheseBytes()
    {
        using var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, 48000, 1, WavSamples.Integer24, leaveOpen: true))
            writer.Write([-1f, 0.5f, 1 / 8388608f], default);
        Assert.Equal(
            Join(
                Ascii("RIFF"), Le(4 + 36 + 24 + 8 + 10, 4), Ascii("WAVE"), Ascii("JUNK"), Le(28, 4), new byte[28],
                Chunk("fmt ", Format(1, 1, 48000, 24)), Chunk("data", [0, 0, 0x80, 0, 0, 0x40, 1, 0, 0])),
            stream.ToArray());
    }

    [Fact]
    public void Writer_OfSoundBeyondFullScale_ClipsAndCounts()
    {
        using var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, 48000, 1, WavSamples.Integer16, leaveOpen: true))
        {
            writer.Write([1.5f, -1.5f, 0.25f, 1f, -1f], default);
            Assert.Equal(3, writer.ClippedSamples);
        }

        stream.Position = 0;
        using var reader = SoundFile.Open(stream);
        Assert.Equal([32767 / 32768f, -1f, 0.25f, 32767 / 32768f, -1f], SoundReading.All(reader).Left);
    }

    [Fact]
    public void Writer_WithDither_LeavesAnErrorOfAQuarterStepSquaredWhateverTheSound()
    {
        foreach (var value in (double[])[0, 0.3, 0.5])
        {
            var sound = Enumerable.Repeat((float)(value / 32768), 200_000).ToArray();
            byte[] first = Write(7), again = Write(7), other = Write(8);
            Assert.Equal(first, again);
            Assert.NotEqual(first, other);
            using var reader = SoundFile.Open(new MemoryStream(first));
            var errors = SoundReading.All(reader).Left.Select(s => (s * 32768.0) - value).ToArray();
            // Triangular dither two steps wide: mean 0, variance 1/6 + 1/12 = 1/4 (computed); 5 sigma of 200,000 draws.
            Assert.InRange(errors.Average(), -0.006, 0.006);
            Assert.InRange(errors.Average(e => e * e), 0.245, 0.255);

            byte[] Write(int seed)
            {
                using var stream = new MemoryStream();
                using (var writer = new WavWriter(stream, 48000, 1, WavSamples.Integer16, ditherSeed: seed))
                    writer.Write(sound, default);
                return stream.ToArray();
            }
        }
    }

    [Fact]
    public void Writer_OfWrongCalls_Refuses()
    {
        using var stream = new MemoryStream();
        Assert.Throws<ArgumentOutOfRangeException>(() => new WavWriter(stream, 0, 1, WavSamples.Float32));
        Assert.Throws<ArgumentOutOfRangeException>(() => new WavWriter(stream, 48000, 3, WavSamples.Float32));
        Assert.Throws<ArgumentOutOfRangeException>(() => new WavWriter(stream, 48000, 2, (WavSamples)9));
        Assert.Throws<ArgumentException>(() => new WavWriter(new MemoryStream([], writable: false), 48000, 2, WavSamples.Float32));
        using var writer = new WavWriter(stream, 48000, 2, WavSamples.Float32);
        Assert.Throws<ArgumentException>(() => writer.Write(new float[2], new float[1]));
        Assert.Throws<ArgumentException>(() => writer.Write([float.NaN], [0f]));
    }

    private static float[] Sound(int bits, int count, int seed) =>
        SoundReading.Channel(Noise(count, seed), 1, 0, Math.Min(bits, 24));
}
