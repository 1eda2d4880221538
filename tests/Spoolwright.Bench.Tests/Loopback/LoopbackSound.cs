using Spoolwright.Bench.Tests.Distortion;

namespace Spoolwright.Bench.Tests.Loopback;

/// <summary>An interface wired to itself: tones in a row or at once, with a response, a delay of the right channel and white
/// noise.</summary>
internal sealed record LoopbackSound
{
    public int RateHz { get; init; } = 48000;

    public double[] Hz { get; init; } = [20, 63, 200, 1000, 3150, 10000, 18000];

    /// <summary>Length of each tone in a row, s; of all where they sound at once.</summary>
    public double Seconds { get; init; } = 1.2;

    public double GapSeconds { get; init; } = 0.2;

    public bool AtOnce { get; init; }

    public double LevelDb { get; init; } = -12;

    /// <summary>x_R(t) = x_L(t − τ), µs.</summary>
    public double SkewMicroseconds { get; init; } = 1.5;

    /// <summary>Noise in 20 kHz, dB re full scale.</summary>
    public double NoiseDb { get; init; } = -100;

    public double RightDb { get; init; } = -0.3;

    /// <summary>What the interface does to a tone, dB.</summary>
    public Func<double, double> Response { get; init; } = hz => -0.2 * Math.Pow(hz / 20000, 2) - (10 * Math.Log10(1 + Math.Pow(3 / hz, 2)));

    /// <summary>Third harmonic, as a ratio.</summary>
    public double Third { get; init; }

    public HeldSound Make(int seed)
    {
        var random = new Random(seed);
        double a = Math.Pow(10, LevelDb / 20) / (AtOnce ? Hz.Length : 1), b = Math.Pow(10, RightDb / 20);
        var step = Seconds + GapSeconds;
        var n = (int)((AtOnce ? Seconds : step * Hz.Length) * RateHz);
        var noise = Math.Pow(10, NoiseDb / 20) / Math.Sqrt(2) * Math.Sqrt(RateHz / 2 / 20000.0);
        var (left, right) = (new float[n], new float[n]);
        var phases = Hz.Select(_ => 2 * Math.PI * random.NextDouble()).ToArray();
        for (var i = 0; i < n; i++)
        {
            var t = i / (double)RateHz;
            double l = 0, r = 0;
            var from = AtOnce ? 0 : (int)(t / step);
            for (var k = from; k < (AtOnce ? Hz.Length : Math.Min(from + 1, Hz.Length)); k++)
            {
                if (!AtOnce && t - (k * step) > Seconds)
                {
                    continue;
                }

                var gain = a * Math.Pow(10, Response(Hz[k]) / 20);
                double at = (2 * Math.PI * Hz[k] * t) + phases[k], late = at - (2e-6 * Math.PI * Hz[k] * SkewMicroseconds);
                l += gain * (Math.Cos(at) + (Third * Math.Cos(3 * at)));
                r += b * gain * (Math.Cos(late) + (Third * Math.Cos(3 * late)));
            }

            left[i] = (float)(l + (noise * Gauss(random)));
            right[i] = (float)(r + (noise * Gauss(random)));
        }

        return new HeldSound(RateHz, left, right);
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
