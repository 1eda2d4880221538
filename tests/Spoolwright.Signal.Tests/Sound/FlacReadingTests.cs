using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;
using static Spoolwright.Signal.Tests.Sound.SoundReading;
using Kind = Spoolwright.Signal.Tests.Sound.FlacBytes.Kind;

namespace Spoolwright.Signal.Tests.Sound;

/// <summary>FLAC against files written in the test by code of its own; [RFC9639:2024] says what the bits mean.</summary>
public class FlacReadingTests
{
    public static TheoryData<int, string> BitsAndKinds
    {
        get
        {
            var data = new TheoryData<int, string>();
            foreach (var bits in (int[])[4, 5, 8, 13, 16, 20, 24, 27, 31, 32])
            {
                foreach (var kind in Enum.GetValues<Kind>())
                    data.Add(bits, kind.ToString());
            }

            return data;
        }
    }

    [Theory]
    [MemberData(nameof(BitsAndKinds))]
    public void Flac_OfEverySubframeAndStereoCoding_IsBitExact(int bits, string kindName)
    {
        var kind = Enum.Parse<Kind>(kindName);
        foreach (var assignment in (int[])[-1, 8, 9, 10])
        {
            foreach (var order in kind == Kind.Linear ? (int[])[1, 4, 7, 9, 32] : kind >= Kind.Fixed ? [0, 1, 2, 3, 4] : [0])
            {
                foreach (var wasted in bits > 4 ? (int[])[0, 2] : [0])
                {
                    // Louder sound would leave residuals over 32 bits behind these plain predictors.
                    var peak = bits >= 27 && kind >= Kind.Fixed ? Math.Pow(2, 25) : Math.Pow(2, bits - 1) - 1;
                    // The middle of two samples with idle bits has one fewer.
                    var channels = Sound(2, 150, bits, peak, wasted == 0 ? 0 : wasted + 1, isConstant: kind == Kind.Constant);
                    using var reader = Open(FlacBytes.File(channels, bits, 44100, 64, kind, order, assignment, wasted));
                    var (left, right) = All(reader, 50, 7);
                    Assert.Equal(Scaled(channels[0], bits), left);
                    Assert.Equal(Scaled(channels[1], bits), right);
                    Assert.Empty(reader.Notes);
                }
            }
        }
    }

    [Theory]
    [InlineData(8)]
    [InlineData(9)]
    [InlineData(10)]
    public void Flac_Of32BitsAtFullRange_KeepsItsDifferenceOf33(int assignment)
    {
        long[][] channels = [[int.MinValue, int.MaxValue, -1, 0, int.MinValue], [int.MaxValue, int.MinValue, 0, -1, int.MinValue]];
        using var reader = Open(FlacBytes.File(channels, 32, 96000, 16, Kind.Verbatim, assignment: assignment));
        var (left, right) = All(reader);
        Assert.Equal(Scaled(channels[0], 32), left);
        Assert.Equal(Scaled(channels[1], 32), right);
        Assert.Empty(reader.Notes);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(8)]
    public void Flac_OfAnyChannels_DeliversThoseChosen(int count)
    {
        var channels = Sound(count, 200, 16, 30000, 0, isConstant: false);
        var file = FlacBytes.File(channels, 16, 48000, 64, Kind.Fixed);
        for (var i = 0; i < count; i++)
        {
            using var reader = Open(file, ChannelPair.Single(i + 1));
            Assert.Equal(Scaled(channels[i], 16), All(reader).Left);
        }
    }

    [Theory]
    [InlineData(false, 0)]
    [InlineData(true, 0)]
    [InlineData(false, 0x7F)]
    [InlineData(false, 0x7FFFFFF0)]
    [InlineData(true, 0xF_FFFF_0000)]
    public void Flac_WhoseBlocksCountInEitherWay_IsRead(bool isVariable, long firstNumber)
    {
        var channels = Sound(2, 400, 16, 30000, 0, isConstant: false);
        using var reader = Open(FlacBytes.File(channels, 16, 48000, 64, Kind.Fixed, isVariable: isVariable, firstNumber: firstNumber));
        Assert.Equal(Scaled(channels[0], 16), All(reader).Left);
    }

    [Fact]
    public void Flac_BehindATagAndBeforeOne_IsRead()
    {
        var channels = Sound(2, 400, 16, 30000, 0, isConstant: false);
        byte[] tag = [(byte)'I', (byte)'D', (byte)'3', 4, 0, 0, 0, 0, 1, 2, .. new byte[130]];
        byte[] last = [.. "TAG"u8, .. new byte[125]];
        foreach (var frames in (long?[])[null, 0])
        {
            using var reader = Open(Join(tag, FlacBytes.File(channels, 16, 48000, 64, Kind.Fixed, frames: frames), last));
            Assert.Equal(Scaled(channels[0], 16), All(reader).Left);
            Assert.Empty(reader.Notes);
        }
    }

    [Fact]
    public void Flac_CutShort_SaysWhereAndHowMuchIsMissing()
    {
        var channels = Sound(2, 64 * 750, 16, 30000, 0, isConstant: false);
        var file = FlacBytes.File(channels, 16, 48000, 64 * 50, Kind.Verbatim);
        using var reader = Open(file[..(file.Length / 2)]);
        var (left, _) = All(reader);
        Assert.Equal(Scaled(channels[0], 16)[..left.Length], left);
        Assert.Equal(64 * 350, left.Length);
        var note = Assert.Single(reader.Notes);
        Assert.Equal("truncated", note.Code);
        Assert.Contains("ends at 0.467 s, but its header promises 1.000 s: 0.533 s are missing", note.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Flac_WithOneBitFlippedInABlock_IsRefusedWithItsPlace()
    {
        var channels = Sound(2, 4800, 16, 30000, 0, isConstant: false);
        var file = FlacBytes.File(channels, 16, 48000, 480, Kind.Verbatim);
        file[file.Length / 2] ^= 4;
        using var reader = Open(file);
        var e = Assert.Throws<CannotMeasureException>(() => All(reader));
        Assert.Equal("damaged", e.Code);
        Assert.Contains("at 0.040 s: the checksum of a block is wrong", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Flac_WithABlockLeftOut_IsRefused()
    {
        var channels = Sound(2, 960, 16, 30000, 0, isConstant: false);
        var file = FlacBytes.File(channels, 16, 48000, 96, Kind.Verbatim);
        var block = FlacBytes.File([channels[0][..96], channels[1][..96]], 16, 48000, 96, Kind.Verbatim).Length - 51;
        byte[] without = [.. file[..(51 + (3 * block))], .. file[(51 + (4 * block))..]];
        using var reader = Open(without);
        Assert.Contains(
            "block 4 follows where 3 must",
            Assert.Throws<CannotMeasureException>(() => All(reader)).Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Flac_WhoseDigestIsOfOtherSound_SaysSo()
    {
        var channels = Sound(2, 960, 16, 30000, 0, isConstant: false);
        var file = FlacBytes.File(channels, 16, 48000, 96, Kind.Verbatim);
        file[4 + 4 + 18] ^= 1;
        using var reader = Open(file);
        All(reader);
        Assert.Equal("checksum", Assert.Single(reader.Notes).Code);
    }

    private static float[] Scaled(long[] samples, int bits) => [.. samples.Select(s => (float)(s / Math.Pow(2, bits - 1)))];

    private static long[][] Sound(int channels, int frames, int seed, double peak, int wasted, bool isConstant)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, channels).Select(c => Enumerable.Range(0, frames).Select(i =>
        {
            var tone = isConstant ? 0.7 * (c + 1) / channels : (0.9 * Math.Sin((0.1 * i) + c)) + (0.1 * ((2 * random.NextDouble()) - 1));
            return (long)(tone * peak) >> wasted << wasted;
        }).ToArray())];
    }
}
