using System.Buffers.Binary;

namespace Spoolwright.Signal.Sound;

/// <summary>The format chunk of a WAVE file, checked against itself.</summary>
internal sealed record WavFormatChunk(SampleEncoding Encoding, int Bits, int BytesPerSample, int Channels, int SampleRateHz)
{
    private const ushort Pcm = 1;
    private const ushort IeeeFloat = 3;
    private const ushort Extensible = 0xFFFE;

    /// <summary>Bytes of one frame of all channels.</summary>
    public int BytesPerFrame => BytesPerSample * Channels;

    /// <summary>All of an extensible sub-format but the two bytes of its tag.</summary>
    private static ReadOnlySpan<byte> SubFormatTail => [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];

    public static WavFormatChunk Read(SoundStream source, long position, uint size, List<Note> notes)
    {
        Span<byte> chunk = stackalloc byte[40];
        chunk = chunk[..(int)Math.Min(size, 40)];
        chunk = chunk[..source.ReadAt(position, chunk)];
        if (chunk.Length < 16)
            throw new CannotMeasureException(
                "header", $"The WAV file's format chunk has {chunk.Length} bytes and needs 16 or more. Export it again.");
        var tag = BinaryPrimitives.ReadUInt16LittleEndian(chunk);
        var channels = (int)BinaryPrimitives.ReadUInt16LittleEndian(chunk[2..]);
        var rate = BinaryPrimitives.ReadUInt32LittleEndian(chunk[4..]);
        var byteRate = BinaryPrimitives.ReadUInt32LittleEndian(chunk[8..]);
        var blockAlign = (int)BinaryPrimitives.ReadUInt16LittleEndian(chunk[12..]);
        var stored = (int)BinaryPrimitives.ReadUInt16LittleEndian(chunk[14..]);
        var valid = stored;
        if (tag == Extensible)
        {
            if (chunk.Length < 40)
                throw new CannotMeasureException(
                    "header", $"The WAV file's extensible format chunk has {chunk.Length} bytes and needs 40. Export it again.");
            valid = BinaryPrimitives.ReadUInt16LittleEndian(chunk[18..]);
            valid = valid == 0 ? stored : valid;
            tag = BinaryPrimitives.ReadUInt16LittleEndian(chunk[24..]);
            if (!chunk[26..40].SequenceEqual(SubFormatTail))
                throw Compressed("an unknown extensible sub-format", tag);
        }

        if (tag is not (Pcm or IeeeFloat))
            throw Compressed(NameOf(tag), tag);
        SoundFile.MustBeMeasurable(rate, channels);

        var isFloat = tag == IeeeFloat;
        var bytes = (stored + 7) / 8;
        if (isFloat ? stored is not (32 or 64) : stored is < 8 or > 32)
            throw new CannotMeasureException(
                "encoding", $"The WAV file's samples are {(isFloat ? "floating point" : "integers")} of {stored} bits; "
                + $"{(isFloat ? "32 or 64" : "8 to 32")} can be read. Export it again.");
        if (valid > stored || (isFloat && valid != stored))
            throw new CannotMeasureException(
                "header", $"The WAV file's header contradicts itself: {valid} valid bits in samples of {stored}. Export it again.");
        if (blockAlign != bytes * channels)
            throw new CannotMeasureException(
                "block-align",
                $"The WAV file's header contradicts itself: {channels} channels of {stored} bits make {bytes * channels} bytes a frame, "
                    + $"it says {blockAlign}. Export it again."
            );
        if (byteRate != (ulong)rate * (uint)blockAlign)
            notes.Add(
                Note.Warning(
                    "byte-rate",
                    $"The header says {rate} Hz but also {byteRate} bytes a second, which would be {byteRate / (double)blockAlign:0.###} Hz; "
                        + "check the speed against a known tone."
                )
            );

        var encoding = isFloat ? SampleEncoding.Float : bytes == 1 ? SampleEncoding.UnsignedInteger : SampleEncoding.SignedInteger;
        return new WavFormatChunk(encoding, valid, bytes, channels, (int)rate);
    }

    private static CannotMeasureException Compressed(string name, ushort tag) =>
        new(
            "compressed",
            $"The WAV file holds {name} (format tag 0x{tag:X4}); plain integer or floating-point samples can be measured. Export it as such."
        );

    private static string NameOf(ushort tag) => tag switch
    {
        0x0002 or 0x0011 or 0x0010 or 0x0014 or 0x0020 => "ADPCM",
        0x0006 => "A-law",
        0x0007 => "mu-law",
        0x0031 => "GSM speech coding",
        0x0050 or 0x0055 => "MPEG audio",
        0x00FF or 0x1600 or 0x1601 or 0x1610 => "AAC",
        _ => "an unknown coding",
    };
}
