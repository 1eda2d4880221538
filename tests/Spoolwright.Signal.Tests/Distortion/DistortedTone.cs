namespace Spoolwright.Signal.Tests.Distortion;

/// <summary>A tone through a memoryless curve and a wandering tape, by plain trigonometry: harmonics of known size at n times the
/// phase.</summary>
internal sealed record DistortedTone
{
    public double RateHz { get; init; } = 48000;

    public double FrequencyHz { get; init; } = 1000;

    public double Seconds { get; init; } = 4;

    /// <summary>Peak of the fundamental.</summary>
    public double Amplitude { get; init; } = 0.3;

    /// <summary>Harmonics from the second on, as ratios to the fundamental, each with a phase of its own.</summary>
    public double[] Harmonics { get; init; } = [];

    /// <summary>Rms of the speed's deviation, spread evenly over 0.5 to 100 Hz.</summary>
    public double Flutter { get; init; }

    /// <summary>Change of the speed from start to end.</summary>
    public double Drift { get; init; }

    /// <summary>S/N in 20 kHz, dB; null: no noise.</summary>
    public double? SnrDb { get; init; }

    /// <summary>Root of the sum of squares of the harmonics below 20 kHz over the total.</summary>
    public double Thd
    {
        get
        {
            var sum = Harmonics.Where((_, i) => (i + 2) * FrequencyHz < Math.Min(20000, 0.455 * RateHz)).Sum(h => h * h);
            return Math.Sqrt(sum / (1 + sum));
        }
    }

    public float[] Make(int seed)
    {
        var random = new Random(seed);
        var n = (int)(RateHz * Seconds);
        var lines =
            Flutter == 0
                ? []
                : Enumerable
                    .Range(0, 24)
                    .Select(i =>
                        (
                            Hz: 0.5 + (99.5 * (i + random.NextDouble()) / 24),
                            A: Flutter * Math.Sqrt(2.0 / 24),
                            P: 2 * Math.PI * random.NextDouble()
                        )
                    )
                    .ToArray();
        var phases = Harmonics.Select(_ => 2 * Math.PI * random.NextDouble()).ToArray();
        var start = 2 * Math.PI * random.NextDouble();
        var noise = SnrDb is { } snr ? Amplitude / Math.Sqrt(2) * Math.Pow(10, -snr / 20) * Math.Sqrt(RateHz / 2 / 20000) : 0;
        var sound = new float[n];
        for (var i = 0; i < n; i++)
        {
            var t = i / RateHz;
            var place = t + (Drift * t * ((t / Seconds) - 1) / 2);
            foreach (var (hz, a, p) in lines)
            {
                place += a / (2 * Math.PI * hz) * Math.Sin((2 * Math.PI * hz * t) + p);
            }

            var phase = start + (2 * Math.PI * FrequencyHz * place);
            var x = Math.Cos(phase);
            for (var k = 0; k < Harmonics.Length; k++)
            {
                x += Harmonics[k] == 0 ? 0 : Harmonics[k] * Math.Cos(((k + 2) * phase) + phases[k]);
            }

            sound[i] = (float)((Amplitude * x) + (noise == 0 ? 0 : noise * Gauss(random)));
        }

        return sound;
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
