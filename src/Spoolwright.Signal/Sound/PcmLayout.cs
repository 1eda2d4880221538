namespace Spoolwright.Signal.Sound;

/// <summary>Where unpacked samples lie in a file and how they are written.</summary>
/// <param name="Format">What the header says.</param>
/// <param name="BytesPerSample">Bytes that one sample takes, 1 to 4 or 8; fewer bits stand at the top.</param>
/// <param name="BigEndian">True when the highest byte comes first.</param>
/// <param name="DataStart">Place of the first sample, in bytes from the file's start.</param>
/// <param name="Frames">Whole frames there.</param>
internal sealed record PcmLayout(SoundFormat Format, int BytesPerSample, bool BigEndian, long DataStart, long Frames)
{
    /// <summary>Bytes of one frame of all channels.</summary>
    public int BytesPerFrame => BytesPerSample * Format.ChannelsInFile;

    /// <summary>
    /// Holds the bytes that a header promises against those that are there, notes what is missing,
    /// and returns the whole frames present.
    /// </summary>
    /// <param name="promisedBytes">What the header says.</param>
    /// <param name="availableBytes">What the file has from the first sample on.</param>
    /// <param name="bytesPerFrame">Bytes of one frame.</param>
    /// <param name="sampleRateHz">Frames per second.</param>
    /// <param name="notes">Takes <c>truncated</c> and <c>partial-frame</c>.</param>
    public static long FramesPresent(ulong promisedBytes, long availableBytes, int bytesPerFrame, int sampleRateHz, List<Note> notes)
    {
        var present = (long)Math.Min(promisedBytes, (ulong)availableBytes);
        var frames = present / bytesPerFrame;
        var seconds = frames / (double)sampleRateHz;
        if (promisedBytes > (ulong)availableBytes)
        {
            var missing = promisedBytes - (ulong)availableBytes;
            notes.Add(Note.Warning(
                "truncated",
                $"The file ends at {seconds:0.000} s, but its header promises {promisedBytes / (double)bytesPerFrame / sampleRateHz:0.000} s: "
                + $"{missing} bytes ({missing / (double)bytesPerFrame / sampleRateHz:0.000} s) are missing. Copy or capture it again."));
        }
        else if (present % bytesPerFrame != 0)
        {
            notes.Add(Note.Warning(
                "partial-frame",
                $"The sound ends at {seconds:0.000} s within a frame: {present % bytesPerFrame} of {bytesPerFrame} bytes, left out."));
        }

        return frames;
    }
}
