using System.Buffers.Binary;

namespace Spoolwright.Signal.Sound.Flac;

/// <summary>What a FLAC file says of itself before its frames [RFC9639:2024] 8.2.</summary>
/// <param name="MostBlockFrames">Frames in the longest block, 16 to 65535.</param>
/// <param name="SampleRateHz">Frames per second.</param>
/// <param name="Channels">1 to 8.</param>
/// <param name="Bits">Bits per sample, 4 to 32.</param>
/// <param name="Frames">Frames in all; 0 when not known.</param>
/// <param name="Md5">Digest of the samples as little-endian bytes; all zero when not known.</param>
internal sealed record FlacStreamInfo(int MostBlockFrames, int SampleRateHz, int Channels, int Bits, long Frames, byte[] Md5)
{
    private const int Length = 34;

    /// <summary>More metadata blocks than any program writes.</summary>
    private const int MostBlocks = 10_000;

    /// <summary>Bytes that no sensible block exceeds: all samples plain, and some for the heads.</summary>
    public long MostBlockBytes => ((long)MostBlockFrames * Channels * (Bits + 1) / 8) + (64 * Channels);

    /// <summary>True when the digest is there to be checked.</summary>
    public bool HasMd5 => Md5.AsSpan().ContainsAnyExcept((byte)0);

    /// <summary>Reads the metadata; leaves the place of the first frame.</summary>
    /// <param name="source">The file.</param>
    /// <param name="start">Place of the marker "fLaC".</param>
    /// <param name="firstFrame">Place of the first frame.</param>
    public static FlacStreamInfo Read(SoundStream source, long start, out long firstFrame)
    {
        Span<byte> header = stackalloc byte[4];
        Span<byte> body = stackalloc byte[Length];
        FlacStreamInfo? info = null;
        var position = start + 4;
        for (var count = 0; count < MostBlocks; count++)
        {
            if (source.ReadAt(position, header) < 4)
                throw Broken("its metadata has no end");
            var type = header[0] & 0x7F;
            var size = (header[1] << 16) | (header[2] << 8) | header[3];
            position += 4;
            if (count == 0)
            {
                if (type != 0 || size != Length || source.ReadAt(position, body) < Length)
                    throw Broken("it does not begin with its stream information");
                info = Parse(body);
            }
            else if (type == 127)
            {
                throw Broken("a metadata block has the forbidden type 127");
            }

            position += size;
            if ((header[0] & 0x80) != 0)
            {
                firstFrame = position;
                return info!;
            }
        }

        throw Broken($"it has over {MostBlocks} metadata blocks");
    }

    private static FlacStreamInfo Parse(ReadOnlySpan<byte> body)
    {
        var least = BinaryPrimitives.ReadUInt16BigEndian(body);
        var most = BinaryPrimitives.ReadUInt16BigEndian(body[2..]);
        var packed = BinaryPrimitives.ReadUInt64BigEndian(body[10..]);
        var rate = (int)(packed >> 44);
        var channels = (int)(packed >> 41 & 7) + 1;
        var bits = (int)(packed >> 36 & 31) + 1;
        SoundFile.MustBeMeasurable(rate, channels);
        if (most < 16 || least > most)
            throw Broken($"its blocks are said to have {least} to {most} frames");
        if (bits < 4)
            throw Broken($"its samples are said to have {bits} bits");
        return new FlacStreamInfo(most, rate, channels, bits, (long)(packed & 0xF_FFFF_FFFF), body[18..].ToArray());
    }

    private static CannotMeasureException Broken(string what) =>
        new("header", $"The FLAC file's header is broken: {what}. Copy it or pack it again.");
}
