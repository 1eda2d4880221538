namespace Spoolwright.Bench.Tests.Distortion;

/// <summary>
/// Tapes whose output at 10 kHz reaches a top and falls again: five laws of output over input, each highest at an input of 1 where it is 1,
/// by its own closed form [computed]. The level is fed by the law itself, so that the sound holds the fundamental alone.
/// </summary>
internal static class SaturatingTape
{
    public static IReadOnlyList<string> Laws { get; } = ["cube", "bell", "hyperbola", "steep hyperbola", "late hyperbola"];

    /// <summary>Output over input, both over those of the top.</summary>
    public static double Output(string law, double x) => law switch
    {
        "cube" => Math.Max(0, (1.5 * x) - (0.5 * x * x * x)),
        "bell" => x * Math.Exp(0.5 * (1 - (x * x))),
        "hyperbola" => 2 * x / (1 + (x * x)),
        "steep hyperbola" => x * Math.Pow(1.8 / (0.8 + (x * x * x)), 0.6),
        "late hyperbola" => x * Math.Sqrt(2 / (1 + (x * x * x * x))),
        _ => throw new ArgumentOutOfRangeException(nameof(law), law, "No such law."),
    };

    /// <summary>
    /// A tone through such a tape: its law by the seed, its top anywhere within a step. Programs: a ramp, steps of a decibel with gaps, the
    /// same without, steps of two.
    /// </summary>
    public static (TapeSound Sound, double TrueDb) Drawn(string program, int seed, double wanderDb, double noiseDb)
    {
        var random = new Random(7919 * seed);
        var law = Laws[random.Next(Laws.Count)];
        double topDb = -5 + (2 * random.NextDouble()), level = -3 - random.NextDouble();
        var (input, seconds) = program switch
        {
            "ramp" => ((Func<double, double>)(t => -23 + (2.9 * t)), 7.6),
            "steps" => (t => t % 0.6 > 0.5 ? double.NegativeInfinity : -22 + Math.Floor(t / 0.6), 12.6),
            "joined steps" => (t => -22 + Math.Floor(t / 0.6), 12.6),
            "wide steps" => (t => t % 0.8 > 0.7 ? double.NegativeInfinity : -23 + (2 * Math.Floor(t / 0.8)), 9.6),
            _ => throw new ArgumentOutOfRangeException(nameof(program), program, "No such program."),
        };
        var full = Math.Pow(10, level / 20);
        return (new TapeSound
        {
            RateHz = 48000,
            FrequencyHz = 10000,
            Seconds = seconds,
            Cube = 0,
            Flutter = 0.001,
            NoiseDb = noiseDb,
            WanderDb = wanderDb,
            Amplitude = t => full * Output(law, Math.Pow(10, (input(t) - topDb) / 20)),
        }, level);
    }
}
