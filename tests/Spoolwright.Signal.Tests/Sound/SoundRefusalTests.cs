using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;
using static Spoolwright.Signal.Tests.Sound.SoundReading;

namespace Spoolwright.Signal.Tests.Sound;

public class SoundRefusalTests
{
    private static readonly byte[] s_data = new byte[240];

    public static TheoryData<string, string, byte[]> Files => new()
    {
        { "empty-file", "0 bytes", [] },
        { "not-sound", "text", Ascii("Dear customer, the deck is ready.\r\n") },
        { "not-sound", "none of WAV", [1, 2, 3, 4, 5] },
        { "not-sound", "no WAVE", Join(Ascii("RIFF"), Le(100, 4), Ascii("AVI "), s_data) },
        { "not-sound", "no WAVE", Ascii("RIFF") },
        { "compressed", "Ogg", Join(Ascii("OggS"), s_data) },
        { "compressed", "MPEG", Join([0xFF, 0xFB, 0x90, 0x00], s_data) },
        { "compressed", "MPEG", Join(Ascii("ID3"), [4, 0, 0, 0, 0, 0, 10], s_data) },
        { "header", "no format chunk", Join(Ascii("RIFF"), Le(100, 4), Ascii("WAVE"), Chunk("data", s_data)) },
        { "header", "format chunk has 8 bytes", Wav(new byte[8], s_data) },
        { "header", "needs 40", Wav(Format(0xFFFE, 2, 48000, 16), s_data) },
        { "no-data", "no data chunk", Join(Ascii("RIFF"), Le(100, 4), Ascii("WAVE"), Chunk("fmt ", Format(1, 2, 48000, 16))) },
        { "no-sound", "no sound", Wav(Format(1, 2, 48000, 16), []) },
        { "no-sound", "no sound", Wav(Format(1, 2, 48000, 16), [1, 2]) },
        { "channels", "0 channels", Wav(Format(1, 0, 48000, 16), s_data) },
        { "channels", "65 channels", Wav(Format(1, 65, 48000, 16), s_data) },
        { "sample-rate", " 0 Hz", Wav(Format(1, 2, 0, 16), s_data) },
        { "sample-rate", "31999 Hz", Wav(Format(1, 2, 31999, 16), s_data) },
        { "sample-rate", "192001 Hz", Wav(Format(1, 2, 192001, 16), s_data) },
        { "compressed", "ADPCM (format tag 0x0011)", Wav(Format(0x11, 2, 48000, 4), s_data) },
        { "compressed", "mu-law (format tag 0x0007)", Wav(Format(7, 1, 48000, 8), s_data) },
        { "compressed", "0x0055", Wav(Format(0x55, 2, 48000, 0), s_data) },
        { "compressed", "0x0007", Wav(Extensible(7, 2, 48000, 8, 8), s_data) },
        { "block-align", "says 8", Wav(Format(1, 2, 48000, 24, blockAlign: 8), s_data) },
        { "encoding", "64 bits", Wav(Format(1, 2, 48000, 64), s_data) },
        { "encoding", "16 bits", Wav(Format(3, 2, 48000, 16), s_data) },
        { "header", "24 valid bits in samples of 16", Wav(Extensible(1, 2, 48000, 16, 24), s_data) },
        { "header", "no common chunk", Join(Ascii("FORM"), Be(100, 4), Ascii("AIFF"), BigChunk("SSND", s_data)) },
        { "compressed", "'ima4'", Aiff(2, 48000, 16, s_data, "ima4") },
        { "compressed", "'ulaw'", Aiff(2, 48000, 16, s_data, "ulaw") },
        { "sample-rate", " 0 Hz", Aiff(2, 0, 16, s_data) },
        { "sample-rate", "8000 Hz", Aiff(2, 8000, 16, s_data) },
        { "channels", "0 channels", Aiff(0, 48000, 16, s_data, frames: 3) },
        { "encoding", "40 bits", Aiff(2, 48000, 40, s_data) },
        { "header", "metadata has no end", Ascii("fLaC") },
        { "header", "stream information", Join(Ascii("fLaC"), [0x84, 0, 0, 40], s_data) },
        { "sample-rate", " 0 Hz", Join(Ascii("fLaC"), [0x80, 0, 0, 34], new byte[34], s_data) },
    };

    [Theory]
    [MemberData(nameof(Files), DisableDiscoveryEnumeration = true)]
    public void File_ThatCannotBeRead_IsRefusedInOneClearLine(string code, string says, byte[] file)
    {
        var e = Assert.Throws<CannotMeasureException>(() => Open(file));
        Assert.Equal(code, e.Code);
        Assert.Contains(says, e.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', e.Message);
        Assert.EndsWith(".", e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(32000)]
    [InlineData(192000)]
    public void File_AtTheEndsOfTheRates_IsRead(int rate)
    {
        using var reader = Open(Wav(Format(1, 2, rate, 16), s_data));
        Assert.Equal(rate, reader.SampleRateHz);
    }

    [Fact]
    public void Channels_ChosenFromMany_AreDelivered()
    {
        var samples = Noise(6 * 100, 4);
        var file = Wav(Format(1, 6, 48000, 32), Integers(samples, 4));
        using var pair = Open(file, new ChannelPair(6, 3));
        var (left, right) = All(pair);
        Assert.Equal(Channel(samples, 6, 5), left);
        Assert.Equal(Channel(samples, 6, 2), right);
        using var single = Open(file, ChannelPair.Single(4));
        Assert.Equal(1, single.Channels);
        Assert.Equal(Channel(samples, 6, 3), All(single).Left);
    }

    [Fact]
    public void Channels_Swapped_AreDeliveredSwapped()
    {
        foreach (var bytes in (int[])[1, 2, 3, 4])
        {
            var samples = Noise(2 * 133, bytes).Select(s => s >> (32 - (8 * bytes)) << (32 - (8 * bytes))).ToArray();
            using var reader = Open(
                Wav(Format(1, 2, 48000, 8 * bytes), Integers(samples, bytes, isUnsigned: bytes == 1)),
                new ChannelPair(2, 1)
            );
            var (left, right) = All(reader);
            Assert.Equal(Channel(samples, 2, 1, 8 * bytes), left);
            Assert.Equal(Channel(samples, 2, 0, 8 * bytes), right);
        }
    }

    [Fact]
    public void Channels_NotInTheFile_AreNamed()
    {
        var mono = Wav(Format(1, 1, 48000, 16), s_data);
        var e = Assert.Throws<ArgumentOutOfRangeException>(() => Open(mono, new ChannelPair(1, 2)));
        Assert.Equal("channels", e.ParamName);
        Assert.Equal(2, e.ActualValue);
        Assert.Throws<ArgumentOutOfRangeException>(() => new ChannelPair(0, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => ChannelPair.Single(-3));
        Assert.Throws<ArgumentOutOfRangeException>(() => Open(mono, default(ChannelPair)));
    }

    [Fact]
    public void Stream_ThatFailsWhileRead_IsSaidToBeUnreadable()
    {
        var file = Wav(Format(1, 2, 48000, 16), new byte[4 * 300_000]);
        using var reader = SoundFile.Open(new FailingStream(file, failsFrom: 500_000));
        Assert.Equal("unreadable", CodeOf(() => All(reader)));
    }

    [Fact]
    public void Stream_IsDisposedWithItsReaderUnlessLeftOpen()
    {
        var file = Wav(Format(1, 2, 48000, 16), s_data);
        MemoryStream kept = new(file), given = new(file), refused = new([1, 2, 3]);
        SoundFile.Open(kept, leaveOpen: true).Dispose();
        SoundFile.Open(given).Dispose();
        Assert.Throws<CannotMeasureException>(() => SoundFile.Open(refused));
        Assert.True(kept.CanRead);
        Assert.False(given.CanRead);
        Assert.False(refused.CanRead);
    }

    private sealed class FailingStream(byte[] data, long failsFrom) : MemoryStream(data)
    {
        public override int Read(Span<byte> buffer) =>
            Position + buffer.Length > failsFrom ? throw new IOException("The disk is gone.") : base.Read(buffer);
    }
}
