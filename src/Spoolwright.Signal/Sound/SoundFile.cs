using Spoolwright.Signal.Sound.Flac;

namespace Spoolwright.Signal.Sound;

/// <summary>Opens sound files of every kind that is read, known by their content and never by their name.</summary>
public static class SoundFile
{
    /// <summary>Lowest sample rate that is measured, in Hz.</summary>
    public const int LowestSampleRateHz = 32_000;

    /// <summary>Highest sample rate that is measured, in Hz.</summary>
    public const int HighestSampleRateHz = 192_000;

    /// <summary>Most channels that a file may have.</summary>
    public const int MostChannels = 64;

    /// <summary>Opens a file of WAV, RF64, BW64, AIFF, AIFC or FLAC kind.</summary>
    /// <param name="stream">The whole file, seekable; read from its first byte. The reader disposes it.</param>
    /// <param name="channels">The channels to deliver; without it the first two, or the only one.</param>
    /// <param name="leaveOpen">True to leave the stream to the caller.</param>
    /// <exception cref="ArgumentException">The stream cannot be read or sought.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A chosen channel is not in the file.</exception>
    /// <exception cref="CannotMeasureException">The file is no sound file that can be read; the code says why.</exception>
    public static SoundFileReader Open(Stream stream, ChannelPair? channels = null, bool leaveOpen = false)
    {
        ArgumentNullException.ThrowIfNull(stream);
        if (!stream.CanRead || !stream.CanSeek)
            throw new ArgumentException("The stream must be readable and seekable.", nameof(stream));
        var source = new SoundStream(stream, leaveOpen);
        try
        {
            return Open(source, channels);
        }
        catch
        {
            source.Dispose();
            throw;
        }
    }

    private static SoundFileReader Open(SoundStream source, ChannelPair? channels)
    {
        Span<byte> head = stackalloc byte[64];
        head = head[..source.ReadAt(0, head)];
        if (head.IsEmpty)
            throw new CannotMeasureException("empty-file", "The file is empty (0 bytes); capture it again.");
        var notes = new List<Note>();
        if (StartsWith(head, "ID3"u8))
        {
            var after = AfterTag(head);
            Span<byte> marker = stackalloc byte[4];
            if (source.ReadAt(after, marker) == 4 && marker.SequenceEqual("fLaC"u8))
                return FlacReader.Open(source, after, channels, notes);
        }

        if (StartsWith(head, "fLaC"u8))
            return FlacReader.Open(source, 0, channels, notes);
        var form = head.Length >= 12 ? head[8..12] : default;
        if (form.SequenceEqual("WAVE"u8) && (StartsWith(head, "RIFF"u8) || StartsWith(head, "RF64"u8) || StartsWith(head, "BW64"u8)))
            return new PcmReader(source, WavHeader.Read(source, notes), channels, notes);
        if (StartsWith(head, "FORM"u8) && (form.SequenceEqual("AIFF"u8) || form.SequenceEqual("AIFC"u8)))
            return new PcmReader(source, AiffHeader.Read(source, notes), channels, notes);
        throw NotSound(head);
    }

    /// <summary>Refuses a header whose rate or channels cannot be measured.</summary>
    internal static void MustBeMeasurable(double sampleRateHz, int channels)
    {
        if (channels is < 1 or > MostChannels)
            throw new CannotMeasureException(
                "channels",
                $"The header says {channels} channels; 1 to {MostChannels} can be read. Export the file again as mono or stereo."
            );
        if (!(sampleRateHz >= LowestSampleRateHz && sampleRateHz <= HighestSampleRateHz))
            throw new CannotMeasureException(
                "sample-rate",
                $"The header says a sample rate of {sampleRateHz:0.######} Hz; {LowestSampleRateHz} to {HighestSampleRateHz} Hz can be measured. "
                + "Capture again at 96000 Hz.");
    }

    /// <summary>Refuses a file that holds no single frame.</summary>
    internal static CannotMeasureException NoSound(string where) =>
        new("no-sound", $"{where}: the file has a header and no sound. Capture it again.");

    private static bool StartsWith(ReadOnlySpan<byte> head, ReadOnlySpan<byte> with) => head.StartsWith(with);

    /// <summary>Where an ID3v2 tag ends: its size is four bytes of seven bits, the 10-byte header (and footer) apart.</summary>
    private static long AfterTag(ReadOnlySpan<byte> head)
    {
        if (head.Length < 10)
            return head.Length;
        var size = ((head[6] & 0x7F) << 21) | ((head[7] & 0x7F) << 14) | ((head[8] & 0x7F) << 7) | (head[9] & 0x7F);
        return 10L + size + ((head[5] & 0x10) != 0 ? 10 : 0);
    }

    private static CannotMeasureException NotSound(ReadOnlySpan<byte> head)
    {
        const string Remedy = "Export it as WAV, AIFF or FLAC.";
        if (StartsWith(head, "OggS"u8))
            return new("compressed", $"The file is an Ogg stream, which is not read. {Remedy}");
        if (StartsWith(head, "ID3"u8) || (head.Length > 1 && head[0] == 0xFF && (head[1] & 0xE6) is 0xE2 or 0xE4 or 0xE6))
            return new("compressed", $"The file is an MPEG stream; lossy coding removes what is to be measured. {Remedy}");
        if (StartsWith(head, "RIFX"u8) || StartsWith(head, "RIFF"u8) || StartsWith(head, "FORM"u8) || StartsWith(head, "RF64"u8)
            || StartsWith(head, "BW64"u8))
            return new("not-sound", $"The file begins as a chunk file does but holds no WAVE, AIFF or AIFC form. {Remedy}");
        var printable = 0;
        foreach (var b in head)
            printable += b is >= 0x20 and < 0x7F or 0x09 or 0x0A or 0x0D ? 1 : 0;
        return printable == head.Length
            ? new("not-sound", $"The file is text, not sound. {Remedy}")
            : new("not-sound", $"The file is none of WAV, RF64, BW64, AIFF, AIFC or FLAC by its first bytes. {Remedy}");
    }
}
