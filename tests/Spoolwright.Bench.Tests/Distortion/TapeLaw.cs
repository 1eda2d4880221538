namespace Spoolwright.Bench.Tests.Distortion;

/// <summary>
/// Odd curves that a tape's output may go through, slope 1 at nothing: cubes and quintics of either sign, hyperbolas from a slow to a hard
/// limit, and the functions that magnetism and valves are drawn by. Harmonics of a sine through them by quadrature, which for a smooth
/// periodic function is as good as its closed form.
/// </summary>
internal static class TapeLaw
{
    public static IReadOnlyList<string> Names { get; } =
    [
        "cube", "rising quintic", "falling quintic", "all but a quintic", "tanh", "arctan", "root", "hard root", "hardest root",
        "soft root", "softest", "langevin",
    ];

    public static double Curve(string name, double x) => name switch
    {
        "cube" => x - (0.25 * x * x * x),
        "rising quintic" => x - (0.12 * Math.Pow(x, 3)) - (0.10 * Math.Pow(x, 5)),
        "falling quintic" => x - (0.35 * Math.Pow(x, 3)) + (0.12 * Math.Pow(x, 5)),
        "all but a quintic" => x - (0.02 * Math.Pow(x, 3)) - (0.2 * Math.Pow(x, 5)),
        "tanh" => Math.Tanh(x),
        "arctan" => 2 / Math.PI * Math.Atan(Math.PI / 2 * x),
        "root" => x / Math.Sqrt(1 + (x * x)),
        "hard root" => x / Math.Pow(1 + Math.Pow(x, 4), 0.25),
        "hardest root" => x / Math.Pow(1 + Math.Pow(x, 8), 0.125),
        "soft root" => x / Math.Pow(1 + Math.Pow(Math.Abs(x), 1.5), 1 / 1.5),
        "softest" => x / (1 + Math.Abs(x)),
        "langevin" => Math.Abs(x) < 1e-3 ? x : (1 / Math.Tanh(3 * x)) - (1 / (3 * x)),
        _ => throw new ArgumentOutOfRangeException(nameof(name), name, "No such law."),
    };

    /// <summary>Input (peak) and output level of the fundamental, dB, at which the third harmonic is a share of the total below the
    /// twentieth: by bisection.</summary>
    public static (double Input, double LevelDb) Mol(string name, double share)
    {
        double low = 1e-3, high = 1e-3;
        while (Share(name, high).Third < share)
        {
            high *= 1.02;
        }

        for (var i = 0; i < 60; i++)
        {
            var middle = Math.Sqrt(low * high);
            (low, high) = Share(name, middle).Third < share ? (middle, high) : (low, middle);
        }

        return (low, 20 * Math.Log10(Share(name, low).First));
    }

    private static (double First, double Third) Share(string name, double peak)
    {
        const int Points = 4096;
        Span<double> sums = stackalloc double[20];
        for (var i = 0; i < Points; i++)
        {
            var angle = 2 * Math.PI * (i + 0.5) / Points;
            var y = Curve(name, peak * Math.Cos(angle));
            for (var n = 1; n <= 19; n += 2)
            {
                sums[n] += 2 * y * Math.Cos(n * angle) / Points;
            }
        }

        double total = 0;
        foreach (var s in sums)
        {
            total += s * s;
        }

        return (Math.Abs(sums[1]), Math.Abs(sums[3]) / Math.Sqrt(total));
    }

    /// <summary>A ramp through such a law, and the level at 3 %.</summary>
    /// <param name="law">Its name.</param>
    /// <param name="beyondDb">How far past 3 % the input goes, dB.</param>
    /// <param name="noiseDb">Hiss, dB.</param>
    /// <param name="wanderDb">The tape's slow wander, rms, dB.</param>
    public static (TapeSound Sound, double TrueDb) Ramp(string law, double beyondDb, double noiseDb, double wanderDb = 0)
    {
        const double Seconds = 5, Range = 16;
        var (input, level) = Mol(law, 0.03);
        var top = 20 * Math.Log10(input) + beyondDb;

        // So that the loudest lies 3 dB under full scale.
        var gain = Math.Pow(10, -3 / 20.0) / Math.Max(Curve(law, Math.Pow(10, top / 20)), Math.Pow(10, level / 20));
        return (new TapeSound
        {
            RateHz = 44100,
            FrequencyHz = 1000,
            Amplitude = TapeSound.Ramp(top - Range, top, Seconds),
            Seconds = Seconds,
            Curve = x => gain * Curve(law, x),
            NoiseDb = noiseDb,
            WanderDb = wanderDb,
            Flutter = 0.001,
        }, level + (20 * Math.Log10(gain)));
    }
}
