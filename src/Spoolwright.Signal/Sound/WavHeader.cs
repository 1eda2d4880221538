using System.Buffers.Binary;

namespace Spoolwright.Signal.Sound;

/// <summary>Reads the chunks of RIFF, RF64 [EBU3306:2009] and BW64 [BS2088:2019] WAVE files up to the samples, and doubts every
/// size.</summary>
internal static class WavHeader
{
    /// <summary>More chunks than any program writes; a file with more is garbage.</summary>
    private const int MostChunks = 10_000;

    /// <summary>Tags that programs hang on behind the outer size stay under this.</summary>
    private const long MostTrailingBytes = 64 * 1024;

    /// <summary>Size that a writer leaves when it could not go back to fill in the true one.</summary>
    private const uint Unknown = 0xFFFF_FFFF;

    /// <summary>From here to 2^31 lie the sizes that writers into a pipe put down for the same reason.</summary>
    private const uint PipedFrom = 0x7FFF_0000;

    public static PcmLayout Read(SoundStream source, List<Note> notes)
    {
        Span<byte> head = stackalloc byte[12];
        source.ReadAt(0, head);
        var container = head[0] == 'B' ? SoundContainer.Bw64 : head[1] == 'F' ? SoundContainer.Rf64 : SoundContainer.Wav;
        var riffSize = (ulong)BinaryPrimitives.ReadUInt32LittleEndian(head[4..]);

        WavFormatChunk? format = null;
        ulong? longDataSize = null;
        (long Start, uint Size)? data = null;
        Span<byte> chunk = stackalloc byte[8];
        Span<byte> sizes = stackalloc byte[24];
        var position = 12L;
        for (var count = 0; count < MostChunks && (format is null || data is null); count++)
        {
            if (source.ReadAt(position, chunk) < 8)
                break;
            var size = BinaryPrimitives.ReadUInt32LittleEndian(chunk[4..]);
            var body = position + 8;
            var length = (long)size;
            if (chunk.StartsWith("fmt "u8) && format is null)
            {
                format = WavFormatChunk.Read(source, body, size, notes);
            }
            else if (chunk.StartsWith("ds64"u8) && container != SoundContainer.Wav && source.ReadAt(body, sizes) >= 16)
            {
                riffSize = BinaryPrimitives.ReadUInt64LittleEndian(sizes);
                longDataSize = BinaryPrimitives.ReadUInt64LittleEndian(sizes[8..]);
            }
            else if (chunk.StartsWith("data"u8) && data is null)
            {
                data = (body, size);
                if (size == Unknown && longDataSize is { } whole)
                    length = (long)Math.Min(whole, long.MaxValue / 2);
            }

            position = body + length + (length & 1);
        }

        if (format is null)
            throw new CannotMeasureException(
                "header", "The WAV file has no format chunk that can be found, so its samples cannot be told. Export it again.");
        if (data is not { } found)
            throw new CannotMeasureException("no-data", "The WAV file has no data chunk: a header without sound. Capture it again.");

        var available = source.Length - found.Start;
        var promised = found.Size == Unknown && longDataSize is { } size64 ? size64 : found.Size;
        if (IsOpenEnded(promised, available, riffSize, found.Start, source.Length, container))
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
        else if (riffSize + 8 < (ulong)found.Start + Math.Min(promised, (ulong)available))
        {
            notes.Add(
                Note.Hint(
                    "header-size",
                    $"The file's outer size says {riffSize + 8} bytes, less than its data chunk needs; the data chunk is believed."
                )
            );
        }

        var end = Math.Max(riffSize + 8, (ulong)found.Start + Math.Min(promised, (ulong)available));
        if (end + MostTrailingBytes < (ulong)source.Length)
        {
            var beyond = (ulong)source.Length - end;
            notes.Add(Note.Warning(
                "trailing-data",
                $"The file goes on for {beyond} bytes (as sound {beyond / (double)format.BytesPerFrame / format.SampleRateHz:0.000} s) behind the end "
                + "that its header gives; they are left out. A recorder that went past 4 GiB leaves such a header: export the file as RF64."));
        }

        var frames = PcmLayout.FramesPresent(promised, available, format.BytesPerFrame, format.SampleRateHz, notes);
        if (frames == 0)
            throw SoundFile.NoSound("The data chunk holds no whole frame");
        var sound = new SoundFormat(container, format.Encoding, format.Bits, format.SampleRateHz, format.Channels, frames);
        return new PcmLayout(sound, format.BytesPerSample, BigEndian: false, found.Start, frames);
    }

    private static bool IsOpenEnded(
        ulong promised, long available, ulong riffSize, long dataStart, long fileLength, SoundContainer container) => promised switch
        {
            // An empty data chunk inside an outer size that fits the file is meant so.
            0 => riffSize + 8 < (ulong)fileLength || riffSize >= PipedFrom,
            Unknown => container == SoundContainer.Wav || (ulong)available < promised,
            ulong.MaxValue => true,
            _ => promised is >= PipedFrom and <= 0x8000_0000
                && promised > (ulong)available
                && riffSize + 8 > (ulong)dataStart + (ulong)available,
        };
}
