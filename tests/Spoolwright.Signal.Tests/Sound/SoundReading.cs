using Spoolwright.Signal.Sound;

namespace Spoolwright.Signal.Tests.Sound;

/// <summary>Reads whole sources for the tests.</summary>
internal static class SoundReading
{
    public static SoundFileReader Open(byte[] file, ChannelPair? channels = null) => SoundFile.Open(new MemoryStream(file), channels);

    /// <summary>Reads to the end in blocks of the given sizes, over and over.</summary>
    public static (float[] Left, float[] Right) All(SoundSource source, params int[] blocks)
    {
        List<float> left = [], right = [];
        blocks = blocks.Length == 0 ? [4096] : blocks;
        for (var turn = 0; ; turn++)
        {
            var l = new float[blocks[turn % blocks.Length]];
            var r = source.Channels == 2 ? new float[l.Length] : [];
            var frames = source.Read(l, r);
            if (frames == 0 && l.Length > 0)
                return ([.. left], [.. right]);
            left.AddRange(l.AsSpan(0, frames));
            right.AddRange(r.AsSpan(0, source.Channels == 2 ? frames : 0));
        }
    }

    /// <summary>Every n-th sample from a place on, an integer at the top of 32 bits, as a fraction of full scale.</summary>
    public static float[] Channel(int[] interleaved, int channels, int channel, int bits = 32) =>
        [.. interleaved.Where((_, i) => i % channels == channel).Select(s => (float)((s >> (32 - bits)) / Math.Pow(2, bits - 1)))];

    public static string CodeOf(Action action)
    {
        try
        {
            action();
        }
        catch (CannotMeasureException e)
        {
            return e.Code;
        }

        return "none";
    }
}
