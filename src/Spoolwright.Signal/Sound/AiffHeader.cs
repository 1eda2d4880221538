using System.Buffers.Binary;
using System.Text;

namespace Spoolwright.Signal.Sound;

/// <summary>Reads the chunks of AIFF [AIFF:1989] and AIFC [AIFC:1991] files up to the samples, and doubts every size.</summary>
internal static class AiffHeader
{
    private const int MostChunks = 10_000;

    /// <summary>Sizes from here on that overrun the file are those of a writer into a pipe.</summary>
    private const uint PipedFrom = 0x7F00_0000;

    public static PcmLayout Read(SoundStream source, List<Note> notes)
    {
        Span<byte> head = stackalloc byte[12];
        source.ReadAt(0, head);
        var isAifc = head[11] == 'C';
        Common? common = null;
        (long Start, uint Size)? data = null;
        Span<byte> chunk = stackalloc byte[16];
        var position = 12L;
        for (var count = 0; count < MostChunks && (common is null || data is null); count++)
        {
            var read = source.ReadAt(position, chunk);
            if (read < 8)
                break;
            var size = BinaryPrimitives.ReadUInt32BigEndian(chunk[4..]);
            var body = position + 8;
            if (chunk.StartsWith("COMM"u8) && common is null)
                common = ReadCommon(source, body, size, isAifc);
            else if (chunk.StartsWith("SSND"u8) && data is null && read == 16)
                data = (body + 8L + BinaryPrimitives.ReadUInt32BigEndian(chunk[8..]), size);
            position = body + size + (size & 1);
        }

        if (common is null)
            throw new CannotMeasureException(
                "header",
                "The AIFF file has no common chunk, so its samples cannot be told. Export it again."
            );
        if (data is not { } found)
            throw new CannotMeasureException("no-data", "The AIFF file has no sound chunk: a header without sound. Capture it again.");

        var bytesPerFrame = common.BytesPerSample * common.Channels;
        var available = Math.Max(0, source.Length - found.Start);
        var promised = (ulong)common.Frames * (ulong)bytesPerFrame;
        if ((common.Frames == 0 || promised > (ulong)available) && (found.Size >= PipedFrom || (found.Size <= 8 && common.Frames == 0)))
        {
            if (available > 0)
                notes.Add(
                    Note.Hint(
                        "streamed",
                        "The header never got the length of the sound (written into a pipe, or cut off while recording); read to the file's end."
                    )
                );
            promised = (ulong)available;
        }

        var frames = PcmLayout.FramesPresent(promised, available, bytesPerFrame, common.SampleRateHz, notes);
        if (frames == 0)
            throw SoundFile.NoSound("The sound chunk holds no whole frame");
        var format = new SoundFormat(
            isAifc ? SoundContainer.Aifc : SoundContainer.Aiff, common.Encoding, common.Bits, common.SampleRateHz, common.Channels, frames);
        return new PcmLayout(format, common.BytesPerSample, common.BigEndian, found.Start, frames);
    }

    private static Common ReadCommon(SoundStream source, long position, uint size, bool isAifc)
    {
        Span<byte> chunk = stackalloc byte[22];
        chunk = chunk[..(int)Math.Min(size, 22)];
        chunk = chunk[..source.ReadAt(position, chunk)];
        var needed = isAifc ? 22 : 18;
        if (chunk.Length < needed)
            throw new CannotMeasureException(
                "header",
                $"The AIFF file's common chunk has {chunk.Length} bytes and needs {needed}. Export it again."
            );
        var channels = (int)BinaryPrimitives.ReadUInt16BigEndian(chunk);
        var frames = BinaryPrimitives.ReadUInt32BigEndian(chunk[2..]);
        var bits = (int)BinaryPrimitives.ReadUInt16BigEndian(chunk[6..]);
        var rate = ReadExtended(chunk[8..18]);
        var coding = isAifc ? Encoding.Latin1.GetString(chunk[18..22]) : "NONE";
        var (encoding, bigEndian) = coding switch
        {
            "NONE" or "twos" or "in24" or "in32" => (SampleEncoding.SignedInteger, true),
            "sowt" => (SampleEncoding.SignedInteger, false),
            "raw " => (SampleEncoding.UnsignedInteger, true),
            "fl32" or "FL32" or "fl64" or "FL64" => (SampleEncoding.Float, true),
            _ => throw new CannotMeasureException(
                "compressed",
                $"The AIFC file holds the coding '{Printable(coding)}'; plain integer or floating-point samples can be measured. Export it as such."
            ),
        };
        // Writers are known to leave the size field of a named float coding at another value: the name decides.
        bits = coding switch { "fl32" or "FL32" => 32, "fl64" or "FL64" => 64, "in24" => 24, "in32" => 32, _ => bits };
        SoundFile.MustBeMeasurable(rate, channels);
        if (rate != Math.Floor(rate))
            throw new CannotMeasureException(
                "sample-rate",
                $"The header says a sample rate of {rate:R} Hz; a whole number is needed. Export it again."
            );
        if (encoding != SampleEncoding.Float && (bits is < 8 or > 32 || (encoding == SampleEncoding.UnsignedInteger && bits != 8)))
            throw new CannotMeasureException(
                "encoding",
                $"The AIFF file's samples are integers of {bits} bits; 8 to 32 can be read. Export it again."
            );
        return new Common(channels, frames, bits, (int)rate, encoding, bigEndian);
    }

    /// <summary>Reads a number of 80 bits: sign and 15 bits of exponent, then 64 of significand with its leading one.</summary>
    private static double ReadExtended(ReadOnlySpan<byte> bytes)
    {
        var head = BinaryPrimitives.ReadUInt16BigEndian(bytes);
        var significand = (double)BinaryPrimitives.ReadUInt64BigEndian(bytes[2..]);
        // Outside this range of exponents the rate is absurd (or no number) and is refused by its size.
        var exponent = Math.Clamp((head & 0x7FFF) - 16383 - 63, -200, 200);
        return ((head & 0x8000) != 0 ? -1 : 1) * Math.ScaleB(significand, exponent);
    }

    private static string Printable(string coding) => string.Concat(coding.Select(c => c is >= ' ' and < (char)0x7F ? c : '?'));

    private sealed record Common(int Channels, long Frames, int Bits, int SampleRateHz, SampleEncoding Encoding, bool BigEndian)
    {
        public int BytesPerSample => (Bits + 7) / 8;
    }
}
