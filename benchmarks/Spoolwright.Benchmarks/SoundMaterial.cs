using Spoolwright.Signal.Sound;

namespace Spoolwright.Benchmarks;

/// <summary>Captures made for the benchmarks of sound: a 3150 Hz tone with hiss 50 dB below.</summary>
internal static class SoundMaterial
{
    public const int SampleRateHz = 96_000;

    public static (float[] Left, float[] Right) Tone(int seconds, double peak)
    {
        var random = new Random(1);
        var left = new float[seconds * SampleRateHz];
        var right = new float[left.Length];
        for (var i = 0; i < left.Length; i++)
        {
            var phase = 2 * Math.PI * 3150 * i / SampleRateHz;
            left[i] = (float)Math.Clamp((peak * Math.Sin(phase)) + (0.003 * random.NextDouble()), -1, 1);
            right[i] = (float)Math.Clamp((peak * Math.Sin(phase + 0.1)) + (0.003 * random.NextDouble()), -1, 1);
        }

        return (left, right);
    }

    public static byte[] Wav(int seconds, WavSamples samples)
    {
        var (left, right) = Tone(seconds, 0.5);
        using var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, SampleRateHz, 2, samples, leaveOpen: true))
            writer.Write(left, right);
        return stream.ToArray();
    }

    public static long ReadAll(SoundSource source, float[] left, float[] right)
    {
        long total = 0;
        for (int frames; (frames = source.Read(left, right)) > 0;)
            total += frames;
        return total;
    }
}
