using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;
using static Spoolwright.Signal.Tests.Sound.SoundReading;

namespace Spoolwright.Signal.Tests.Sound;

public class AiffReadingTests
{
    [Theory]
    [InlineData(8)]
    [InlineData(12)]
    [InlineData(16)]
    [InlineData(20)]
    [InlineData(24)]
    [InlineData(32)]
    public void Aiff_IntegersOfEveryWidth_AreFractionsOfFullScale(int bits)
    {
        foreach (var channels in (int[])[1, 2, 5])
        {
            var samples = Noise(1111 * channels, bits).Select(s => s >> (32 - bits) << (32 - bits)).ToArray();
            using var reader = Open(Aiff(channels, 88200, bits, Integers(samples, (bits + 7) / 8, bigEndian: true)));
            var (left, right) = All(reader);
            Assert.Equal(Channel(samples, channels, 0, bits), left);
            Assert.Equal(channels == 1 ? [] : Channel(samples, channels, 1, bits), right);
            Assert.Equal(new SoundFormat(SoundContainer.Aiff, SampleEncoding.SignedInteger, bits, 88200, channels, 1111), reader.Format);
            Assert.Empty(reader.Notes);
        }
    }

    [Theory]
    [InlineData("NONE", 16)]
    [InlineData("twos", 16)]
    [InlineData("sowt", 16)]
    [InlineData("sowt", 24)]
    [InlineData("in24", 24)]
    [InlineData("in32", 32)]
    [InlineData("raw ", 8)]
    public void Aifc_IntegerCodings_AreRead(string coding, int bits)
    {
        var samples = Noise(800, bits);
        var data = Integers(samples, bits / 8, bigEndian: coding != "sowt", isUnsigned: coding == "raw ");
        using var reader = Open(Aiff(2, 48000, bits, data, coding));
        Assert.Equal(Channel(samples, 2, 0, bits), All(reader).Left);
        Assert.Equal(SoundContainer.Aifc, reader.Format.Container);
    }

    [Theory]
    [InlineData("fl32", 32)]
    [InlineData("FL32", 32)]
    [InlineData("fl64", 64)]
    [InlineData("FL64", 64)]
    public void Aifc_FloatCodings_AreRead(string coding, int bits)
    {
        var samples = Noise(801 * 2, bits).Select(s => s * (1f / (1L << 31))).ToArray();
        var data = bits == 32 ? Floats(samples, bigEndian: true) : Doubles(samples.Select(s => (double)s), bigEndian: true);
        using var reader = Open(Aiff(2, 48000, bits, data, coding));
        var (left, right) = All(reader);
        Assert.Equal(samples.Where((_, i) => i % 2 == 0), left);
        Assert.Equal(samples.Where((_, i) => i % 2 == 1), right);
        Assert.Equal(SampleEncoding.Float, reader.Format.Encoding);
    }

    [Fact]
    public void Aiff_CutShort_SaysWhereAndHowMuchIsMissing()
    {
        var whole = Aiff(2, 32000, 16, Integers(Noise(2 * 64000, 1), 2, bigEndian: true));
        using var reader = Open(whole[..^(32000 * 4)]);
        Assert.Equal(
            "The file ends at 1.000 s, but its header promises 2.000 s: 128000 bytes (1.000 s) are missing. Copy or capture it again.",
            Assert.Single(reader.Notes).Text);
        Assert.Equal(32000, All(reader).Left.Length);
    }
}
