using Spoolwright.Signal.Sound;
using static Spoolwright.Signal.Tests.Sound.SoundBytes;

namespace Spoolwright.Signal.Tests.Sound;

/// <summary>Files past 4 GiB, whose bytes are made while they are read.</summary>
public class SparseSoundTests
{
    /// <summary>One hour and 47 minutes at 192 kHz, stereo, floats: 9.9 GB.</summary>
    private const long Frames = 1_230_000_000;

    [Theory]
    [InlineData("RF64")]
    [InlineData("BW64")]
    public void Wav64_PastFourGiB_IsReadToItsLastFrame(string id)
    {
        var header = Header(id, (ulong)Frames * 8);
        using var stream = new MadeStream(header, header.Length + (Frames * 8), size: 8);
        using var reader = SoundFile.Open(stream);
        Assert.Equal(Frames, reader.Frames);
        Assert.Empty(reader.Notes);

        // Reading 10 GB takes seconds: the frames about 4 GiB and at the end are looked at through a stream that jumps.
        float[] left = new float[1 << 16], right = new float[1 << 16];
        var at = 0L;
        foreach (var stop in (long[])[0, (4L << 30) / 8, Frames - 500_000])
        {
            stream.Skip = (stop - at) * 8 / 65536 * 65536;
            var skipped = stream.Skip / 8;
            var read = reader.Read(left, right);
            Assert.Equal(left.Length, read);
            at += read;
            // What was buffered before the jump is delivered first.
            while (stream.Skip > 0)
                at += reader.Read(left, right);
            at += skipped;
            for (var block = 0; block < 4; block++)
            {
                at += reader.Read(left, right);
                Assert.All(right, r => Assert.Equal(0.25f, r));
            }

            Assert.True(left[^1] > left[0]);
        }
    }

    [Fact]
    public void Wav64_PastFourGiBButCutShort_SaysHowMuchIsMissing()
    {
        var header = Header("RF64", (ulong)Frames * 8);
        using var reader = SoundFile.Open(new MadeStream(header, header.Length + ((Frames - 192_000 * 60) * 8), size: 8));
        var note = Assert.Single(reader.Notes);
        Assert.Equal("truncated", note.Code);
        Assert.Contains("92160000 bytes (60.000 s) are missing", note.Text, StringComparison.Ordinal);
        Assert.Equal(Frames - (192_000 * 60), reader.Frames);
    }

    [Fact]
    public void Wav64_WithAbsurdSizes_IsReadToItsEnd()
    {
        foreach (var size in (ulong[])[ulong.MaxValue, ulong.MaxValue - 5, 1UL << 63, long.MaxValue])
        {
            var file = Join(Header("RF64", size), new byte[800]);
            using var reader = SoundFile.Open(new MemoryStream(file));
            Assert.Contains(reader.Notes, n => n.Code is "streamed" or "truncated");
            Assert.Equal(100, SoundReading.All(reader).Left.Length);
        }
    }

    [Fact]
    public void Writer_PastFourGiB_BecomesRf64ThatReadsBack()
    {
        using var stream = new CountingStream();
        var writer = new WavWriter(stream, 192_000, 1, WavSamples.Float32, leaveOpen: true);
        var block = new float[1 << 20];
        for (var i = 0; i < 1025; i++)
            writer.Write(block, default);
        writer.Dispose();
        var frames = 1025L << 20;
        Assert.True(stream.Length > uint.MaxValue);
        using var reader = SoundFile.Open(new MadeStream(stream.Head, stream.Length, size: 8));
        Assert.Equal(new SoundFormat(SoundContainer.Rf64, SampleEncoding.Float, 32, 192_000, 1, frames), reader.Format);
        Assert.Empty(reader.Notes);
    }

    private static byte[] Header(string id, ulong dataSize) => Join(
        Ascii(id), Le(uint.MaxValue, 4), Ascii("WAVE"),
        Chunk("ds64", Join(Le(dataSize + 72, 8), Le(dataSize, 8), Le(dataSize / 8, 8), Le(0, 4))),
        Chunk("fmt ", Format(3, 2, 192_000, 32)), Ascii("data"), Le(uint.MaxValue, 4));

    /// <summary>A header, then frames whose left sample is their number over 2^31 and whose right one is a quarter.</summary>
    private sealed class MadeStream(byte[] header, long length, int size) : Stream
    {
        /// <summary>Bytes that the next read leaps over.</summary>
        public long Skip { get; set; }

        public override bool CanRead => true;

        public override bool CanSeek => true;

        public override bool CanWrite => false;

        public override long Length => length;

        public override long Position { get; set; }

        public override int Read(Span<byte> buffer)
        {
            Position += Skip;
            Skip = 0;
            buffer = buffer[..(int)Math.Min(buffer.Length, Math.Max(0, length - Position))];
            for (var i = 0; i < buffer.Length; i++)
            {
                var at = Position + i;
                if (at < header.Length)
                {
                    buffer[i] = header[at];
                    continue;
                }

                at -= header.Length;
                var bits =
                    at % size < 4 ? BitConverter.SingleToUInt32Bits(at / size / 2147483648f) : BitConverter.SingleToUInt32Bits(0.25f);
                buffer[i] = (byte)(bits >> (int)(8 * (at % 4)));
            }

            Position += buffer.Length;
            return buffer.Length;
        }

        public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

        public override void Flush()
        {
        }
    }

    /// <summary>Keeps a file's first bytes and counts the rest.</summary>
    private sealed class CountingStream : Stream
    {
        private long _length;

        public byte[] Head { get; } = new byte[100];

        public override bool CanRead => false;

        public override bool CanSeek => true;

        public override bool CanWrite => true;

        public override long Length => _length;

        public override long Position { get; set; }

        public override void Write(byte[] buffer, int offset, int count)
        {
            for (var i = 0; i < count && Position + i < Head.Length; i++)
                Head[Position + i] = buffer[offset + i];
            Position += count;
            _length = Math.Max(_length, Position);
        }

        public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Flush()
        {
        }
    }
}
