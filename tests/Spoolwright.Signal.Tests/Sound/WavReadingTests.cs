using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;
using static Spoolwright.Signal.Tests.Sound.SoundReading;

namespace Spoolwright.Signal.Tests.Sound;

public class WavReadingTests
{
    public static TheoryData<int, int> BitsAndChannels
    {
        get
        {
            var data = new TheoryData<int, int>();
            foreach (var bits in (int[])[8, 12, 16, 20, 24, 32])
            {
                foreach (var channels in (int[])[1, 2, 3, 6, 64])
                    data.Add(bits, channels);
            }

            return data;
        }
    }

    [Theory]
    [MemberData(nameof(BitsAndChannels))]
    public void Wav_IntegersOfEveryWidth_AreFractionsOfFullScale(int bits, int channels)
    {
        var bytes = (bits + 7) / 8;
        var samples = Noise(1237 * channels, seed: bits).Select(s => s >> (32 - bits) << (32 - bits)).ToArray();
        var file = Wav(Format(1, channels, 96000, bits), Integers(samples, bytes, isUnsigned: bytes == 1));

        using var reader = Open(file);
        var (left, right) = All(reader);

        Assert.Equal(Channel(samples, channels, 0, bits), left);
        Assert.Equal(channels == 1 ? [] : Channel(samples, channels, 1, bits), right);
        Assert.Empty(reader.Notes);
        Assert.Equal(
            new SoundFormat(
                SoundContainer.Wav,
                bytes == 1 ? SampleEncoding.UnsignedInteger : SampleEncoding.SignedInteger,
                bits,
                96000,
                channels,
                1237
            ),
            reader.Format
        );
        Assert.Equal(1237, reader.Frames);
    }

    [Fact]
    public void Wav_FullScale_IsExactlyOne()
    {
        var file = Wav(Format(1, 2, 48000, 24), Integers([int.MinValue, 1 << 30, 0x7FFFFF00, 1 << 8], 3));
        using var reader = Open(file);
        var (left, right) = All(reader);
        Assert.Equal([-1f, 8388607 / 8388608f], left);
        Assert.Equal([0.5f, 1 / 8388608f], right);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    public void Wav_Floats_AreRead(int channels)
    {
        var random = new Random(5);
        var samples = Enumerable.Range(0, 999 * channels).Select(_ => (random.NextDouble() * 4) - 2).ToArray();
        var singles = samples.Select(s => (float)s).ToArray();
        foreach (
            var file in (byte[][])
                [Wav(Format(3, channels, 44100, 32), Floats(singles)), Wav(Format(3, channels, 44100, 64), Doubles(samples))]
        )
        {
            using var reader = Open(file);
            var (left, right) = All(reader, 100, 7);
            Assert.Equal(singles.Where((_, i) => i % channels == 0), left);
            Assert.Equal(channels == 1 ? [] : singles.Where((_, i) => i % channels == 1), right);
            Assert.Equal(SampleEncoding.Float, reader.Format.Encoding);
            Assert.Empty(reader.Notes);
        }
    }

    [Theory]
    [InlineData(float.NaN)]
    [InlineData(float.PositiveInfinity)]
    [InlineData(float.NegativeInfinity)]
    [InlineData(1e30f)]
    public void Wav_FloatsThatAreNoSound_BecomeZeroWithANote(float bad)
    {
        for (var place = 0; place < 40; place++)
        {
            var samples = Enumerable.Repeat(0.25f, 40).ToArray();
            samples[place] = bad;
            foreach (var channels in (int[])[1, 2])
            {
                using var reader = Open(Wav(Format(3, channels, 48000, 32), Floats(samples)));
                var (left, right) = All(reader, 13);
                Assert.Equal(39, left.Concat(right).Count(s => s == 0.25f));
                Assert.Equal(0, channels == 1 || place % 2 == 0 ? left[place / channels] : right[place / 2]);
                var note = Assert.Single(reader.Notes);
                Assert.Equal("not-a-number", note.Code);
                Assert.StartsWith("1 samples", note.Text, StringComparison.Ordinal);
                Assert.Contains($"{place / channels / 48000.0:0.000000} s", note.Text, StringComparison.Ordinal);
            }
        }

        using var wide = Open(Wav(Format(3, 2, 48000, 64), Doubles([0.5, 1e300, double.NaN, -0.5])));
        var (l, r) = All(wide);
        Assert.Equal([0.5f, 0f], l);
        Assert.Equal([0f, -0.5f], r);
        Assert.StartsWith("2 samples", Assert.Single(wide.Notes).Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1, 24, 20)]
    [InlineData(1, 32, 24)]
    [InlineData(1, 16, 16)]
    [InlineData(3, 32, 32)]
    [InlineData(3, 64, 64)]
    public void Wav_ExtensibleHeader_IsKnownByItsSubFormat(int tag, int bits, int validBits)
    {
        var samples = Noise(600, 3).Select(s => s >> (32 - Math.Min(validBits, 24)) << (32 - Math.Min(validBits, 24))).ToArray();
        var data = (tag, bits) switch
        {
            (3, 32) => Floats(samples.Select(s => s * (1f / (1L << 31)))),
            (3, _) => Doubles(samples.Select(s => s / (double)(1L << 31))),
            _ => Integers(samples, bits / 8),
        };
        using var reader = Open(Wav(Extensible(tag, 2, 192000, bits, validBits), data));
        Assert.Equal(Channel(samples, 2, 1), All(reader).Right);
        Assert.Equal(validBits, reader.Format.Bits);
        Assert.Equal(192000, reader.SampleRateHz);
    }

    [Theory]
    [InlineData("RF64", SoundContainer.Rf64)]
    [InlineData("BW64", SoundContainer.Bw64)]
    public void Wav_With64BitSizes_IsRead(string id, SoundContainer container)
    {
        var samples = Noise(500, 8);
        using var reader = Open(Wav64(id, Format(1, 2, 96000, 32), Integers(samples, 4)));
        Assert.Equal(Channel(samples, 2, 0), All(reader).Left);
        Assert.Equal(container, reader.Format.Container);
        Assert.Empty(reader.Notes);
    }

    [Theory]
    [InlineData(0u, 0u)]
    [InlineData(0u, 36u)]
    [InlineData(uint.MaxValue, uint.MaxValue)]
    [InlineData(0x7FFFF000u, 0x7FFFF024u)]
    public void Wav_WhoseHeaderNeverGotItsLength_IsReadToTheEnd(uint dataSize, uint riffSize)
    {
        var samples = Noise(300, 9);
        using var reader = Open(Wav(Format(1, 2, 44100, 24), Integers(samples, 3), dataSize, riffSize));
        Assert.Equal("streamed", Assert.Single(reader.Notes).Code);
        Assert.Equal(150, reader.Frames);
        Assert.Equal(150, All(reader).Left.Length);
    }

    [Fact]
    public void Wav_CutShort_SaysWhereAndHowMuchIsMissing()
    {
        var whole = Wav(Format(1, 2, 32000, 24), Integers(Noise(2 * 64000, 1), 3));
        using var reader = Open(whole[..^(16000 * 6 + 2)]);
        var note = Assert.Single(reader.Notes);
        Assert.Equal("truncated", note.Code);
        Assert.Equal(
            "The file ends at 1.500 s, but its header promises 2.000 s: 96002 bytes (0.500 s) are missing. Copy or capture it again.",
            note.Text
        );
        Assert.Equal(47999, All(reader).Left.Length);
    }

    [Fact]
    public void Wav_WithPartOfAFrame_LeavesItOutWithANote()
    {
        using var reader = Open(Wav(Format(1, 2, 48000, 16), new byte[4 * 480 + 3]));
        Assert.Equal("partial-frame", Assert.Single(reader.Notes).Code);
        Assert.Equal(480, reader.Frames);
    }

    [Fact]
    public void Wav_WhoseFormatFollowsItsData_IsRead()
    {
        var data = Integers([1 << 30, -1 << 30], 2);
        var body = Join(Ascii("WAVE"), Chunk("data", data), Chunk("fmt ", Format(1, 1, 48000, 16)));
        using var reader = Open(Join(Ascii("RIFF"), Le((ulong)body.Length, 4), body));
        Assert.Equal([0.5f, -0.5f], All(reader).Left);
    }

    [Fact]
    public void Wav_WhoseByteRateContradictsItsRate_IsReadWithANote()
    {
        var format = Format(1, 1, 48000, 16);
        Le(88200, 4).CopyTo(format, 8);
        using var reader = Open(Wav(format, new byte[100]));
        Assert.Equal("byte-rate", Assert.Single(reader.Notes).Code);
        Assert.Contains("44100 Hz", reader.Notes[0].Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Wav_ThatGoesOnBehindItsSizes_SaysHowFar()
    {
        var file = Wav(Format(1, 2, 48000, 16), new byte[4 * 48000]);
        using var reader = Open(Join(file, new byte[4 * 24000]));
        Assert.Equal("trailing-data", Assert.Single(reader.Notes).Code);
        Assert.Contains("96000 bytes (as sound 0.500 s)", reader.Notes[0].Text, StringComparison.Ordinal);
        Assert.Equal(48000, reader.Frames);
        Assert.Empty(Open(Join(file, new byte[200])).Notes);
    }
}
