using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Tests.Browser;

/// <summary>
/// What Chromium's fake microphone plays: 32-bit floating point at 44.1 kHz, the one form that arrives bit for bit. After silence a low
/// tone, a high tone, and a speed tone; one skew, one difference of level and known flutter in all of them, a little noise.
/// </summary>
internal static class FakeMicrophone
{
    public const int Rate = 44_100;
    public const double SkewMicroseconds = 34.5;
    public const double LeadSeconds = 2, LowSeconds = 6, HighSeconds = 7, SpeedSeconds = 34;
    private const double RightDb = -0.8;

    /// <summary>Writes the whole program and, beside it, the parts that each measurement is held against.</summary>
    public static (string Whole, string Low, string Tones, string Speed) Write(string folder)
    {
        var random = new Random(7);
        (string Name, (double Hz, double Seconds)[] Parts)[] files =
        [
            ("microphone.wav", [(0, LeadSeconds), (1000, LowSeconds), (10_000, HighSeconds), (3150, SpeedSeconds)]),
            ("low.wav", [(1000, LowSeconds)]),
            ("tones.wav", [(1000, LowSeconds), (10_000, HighSeconds)]),
            ("speed.wav", [(3150, SpeedSeconds)]),
        ];
        foreach (var (name, parts) in files)
        {
            using var file = File.Create(Path.Combine(folder, name));
            using var writer = new WavWriter(file, Rate, 2, WavSamples.Float32);
            foreach (var (hz, seconds) in parts)
                Tone(writer, hz, seconds, random);
        }

        return (
            Path.Combine(folder, files[0].Name),
            Path.Combine(folder, "low.wav"),
            Path.Combine(folder, "tones.wav"),
            Path.Combine(folder, "speed.wav")
        );
    }

    private static void Tone(WavWriter writer, double hz, double seconds, Random random)
    {
        var n = (int)(seconds * Rate);
        float[] left = new float[n], right = new float[n];
        var amplitude = hz > 0 ? 0.25 : 0;
        for (var i = 0; i < n; i++)
        {
            var t = (double)i / Rate;
            left[i] = (float)((amplitude * Math.Sin(2 * Math.PI * hz * Place(t))) + Noise(random));
            right[i] = (float)(
                (amplitude * Math.Pow(10, RightDb / 20) * Math.Sin(2 * Math.PI * hz * Place(t - (SkewMicroseconds * 1e-6)))) + Noise(random)
            );
        }

        writer.Write(left, right);
    }

    // Speed 0.21 % fast, with 0.08 % peak at 7.6 Hz and 0.03 % at 2.6 Hz: the pattern of both comes again every 5 s, so that whichever 20 s
    // the page looks back over hold the same flutter as the file does. With 7.58 Hz they did not: two sigma of one span lay off that of
    // another by up to 0.8 of both uncertainties together.
    private static double Place(double t) =>
        (1.0021 * t)
        + (0.0008 / (2 * Math.PI * 7.6) * Math.Sin(2 * Math.PI * 7.6 * t))
        + (0.0003 / (2 * Math.PI * 2.6) * Math.Sin(2 * Math.PI * 2.6 * t));

    private static double Noise(Random random) =>
        5e-5 * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
