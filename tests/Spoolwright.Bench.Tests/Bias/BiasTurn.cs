using Spoolwright.Bench.Tests.Tones;

namespace Spoolwright.Bench.Tests.Bias;

/// <summary>
/// A made-up tape and the hand at its bias control. Output over bias: xⁿ·exp(−n(x−1)), x the bias current over that of the peak: a steep
/// rise, a peak, a fall of about 2 dB a decibel, as the design's sources draw it.
/// </summary>
internal static class BiasTurn
{
    public const double Sharpness = 10;
    public const double CompanionSharpness = 3;

    /// <summary>Level at a bias of u dB past the peak, dB under the peak.</summary>
    public static double Level(double u, double sharpness = Sharpness)
    {
        var x = Math.Pow(10, u / 20);
        return 20 * sharpness * Math.Log10(x * Math.Exp(1 - x));
    }

    /// <summary>Ways a hand turns: bias (dB past the peak) over time, and how long it takes, s.</summary>
    public static (Func<double, double> Bias, double Seconds) Turn(string kind)
    {
        const double Rate = 0.12; // 15 s within half a decibel of the peak
        Func<double, double> Path(params (double T, double U)[] points) => t =>
        {
            for (var i = 1; i < points.Length; i++)
            {
                if (t < points[i].T)
                {
                    return points[i - 1].U + ((points[i].U - points[i - 1].U) * (t - points[i - 1].T) / (points[i].T - points[i - 1].T));
                }
            }

            return points[^1].U;
        };
        return kind switch
        {
            "up" => (Path((0, -3), (5.2 / Rate, 2.2)), (5.2 / Rate) + 5),
            "up, no stop at the end" => (Path((0, -3), (5.2 / Rate, 2.2)), 5.2 / Rate),
            "down" => (Path((0, 3), (6 / Rate, -3)), 6 / Rate),
            "pauses" => (Path((0, -3), (18, -0.9), (22, -0.9), (29, -0.1), (33, -0.1), (40, 0.7), (44, 0.7), (57, 2.3)), 62),
            "past and back" => (Path((0, -2), (24, 1.2), (40, -0.8), (62, 2)), 67),
            "uneven" => (t => -3 + (5.4 * Math.Pow(t / 60, 0.8)) + (0.04 * Math.Sin(t / 3)), 60),
            "very uneven" => (t => -3 + (5.4 * Math.Pow(t / 60, 0.8)) + (0.08 * Math.Sin(t / 3)), 60),
            "very uneven, the other way" => (t => -3 + (5.4 * Math.Pow(t / 60, 0.8)) - (0.08 * Math.Sin(t / 3)), 60),
            "fast" => (Path((0, -3), (13, 2.2)), 18),
            "steps" => (t => -2.4 + (0.4 * Math.Floor(t / 3)), 36),
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "No such way to turn."),
        };
    }

    /// <summary>The course as points of 50 ms, noise of that rms up to 20 Hz on it.</summary>
    public static double[] Course(string kind, double noiseDb, int seed)
    {
        var random = new Random(seed);
        var (bias, seconds) = Turn(kind);
        return [.. Enumerable.Range(0, (int)(seconds * 20)).Select(i =>
            ((Level(bias((i + 0.25) / 20)) + Level(bias((i + 0.75) / 20))) / 2) + (noiseDb * (Normal(random) + Normal(random)) / 2))];
    }

    /// <summary>Bias over time, dB past the peak, forty points a second, of a hand drawn by chance.</summary>
    public static double[] Drawn(Random random, bool rests, HandLaw? of = null)
    {
        var law = of ?? new HandLaw();
        const double Step = 1 / 40.0;
        double rate = 0.12 * Math.Exp(0.25 * ((2 * random.NextDouble()) - 1));
        bool down = random.NextDouble() < 0.3, back = random.NextDouble() < 0.15, held = random.NextDouble() < 0.6;
        double u = down ? 2.2 + (0.8 * random.NextDouble()) : -3 + random.NextDouble(), way = down ? -1 : 1;
        var goals = new List<double>();
        var end = way * (1.2 + (1.3 * random.NextDouble()));
        if (back)
        {
            goals.Add(way * (0.9 + (0.5 * random.NextDouble())));
            goals.Add(-way * (0.6 + (0.5 * random.NextDouble())));
        }

        goals.Add(end);
        var lines = Enumerable
            .Range(0, 3)
            .Select(_ =>
                (Omega: 2 * Math.PI * law.SlowestHz * Math.Pow(law.Range, random.NextDouble()), Share: random.NextDouble(), P: 6.283 * random.NextDouble())
            )
            .ToArray();
        var uneven = (law.Steadiest + ((law.Most - law.Steadiest) * random.NextDouble())) / lines.Sum(l => l.Share);
        var turned = new List<double>();
        double t = 0, rest = 0;
        foreach (var goal in goals)
        {
            for (var toward = Math.Sign(goal - u); (goal - u) * toward > 0; t += Step)
            {
                if (rest > 0)
                {
                    rest -= Step;
                }
                else
                {
                    rest = rests && random.NextDouble() < Step / law.RestEachSeconds ? 2 + (3 * random.NextDouble()) : 0;
                    u += toward * rate * Step * (1 + (uneven * lines.Sum(l => l.Share * Math.Cos((l.Omega * t) + l.P))));
                }

                turned.Add(u);
            }
        }

        turned.AddRange(Enumerable.Repeat(u, held ? (int)((3 + (6 * random.NextDouble())) / Step) : 0));
        return [.. turned];
    }

    /// <summary>The course of such a hand as points of 50 ms; of the noise that share of power as strong in every octave from 0.02 to 20
    /// Hz, the rest white.</summary>
    public static double[] Course(double[] bias, double noiseDb, double slowShare, Random random)
    {
        double[] poles = [.. Enumerable.Range(0, 10).Select(i => Math.Exp(-2 * Math.PI * 0.02 * Math.Pow(2, i) / 20))],
            states = [.. poles.Select(_ => Gauss(random))];
        return
        [
            .. Enumerable
                .Range(0, bias.Length / 2)
                .Select(i =>
                {
                    for (var k = 0; k < poles.Length; k++)
                    {
                        states[k] = (poles[k] * states[k]) + (Math.Sqrt(1 - (poles[k] * poles[k])) * Gauss(random));
                    }

                    var white = (Gauss(random) + Gauss(random)) / 2;
                    var slow = states.Sum() / Math.Sqrt(poles.Length);
                    return ((Level(bias[2 * i]) + Level(bias[(2 * i) + 1])) / 2)
                        + (noiseDb * ((Math.Sqrt(1 - slowShare) * white) + (Math.Sqrt(slowShare) * slow)));
                }),
        ];
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    /// <summary>The same as sound; the right channel lies 1 dB lower and peaks 0.4 dB of bias later. Levels in dBFS, the delay in
    /// s.</summary>
    public static MemorySound Sound(
        string kind,
        double peakDb,
        bool withCompanion,
        int seed,
        int rate = 32000,
        double hz = 10_000,
        double flutter = 0.001,
        double noiseDb = 0.3,
        double hissDb = -70,
        double delay = 0.13
    )
    {
        var random = new Random(seed);
        var (bias, seconds) = Turn(kind);
        var n = (int)(seconds * rate);
        float[] left = new float[n], right = new float[n];
        double[] a = Moves((int)(seconds * 40) + 3, noiseDb, random), b = Moves(a.Length, noiseDb, random);
        var lines = Enumerable.Range(0, 8).Select(i => (Hz: 0.7 * Math.Pow(1.9, i), P: random.NextDouble() * 6.28)).ToArray();
        var each = flutter * Math.Sqrt(2.0 / lines.Length);
        double there = 0, step = 0, l = 0, r = 0, low = 0, lowRight = 0;
        double hiss = Math.Pow(10, hissDb / 20) / Math.Sqrt(2) * Math.Sqrt(rate / 40000.0);
        for (var i = 0; i < n; i++)
        {
            var t = i / (double)rate;
            if (i % 32 == 0)
            {
                double Displaced(double at) => at + lines.Sum(x => each / (2 * Math.PI * x.Hz) * Math.Sin((2 * Math.PI * x.Hz * at) + x.P));
                there = Displaced(t);
                step = (Displaced(t + (32.0 / rate)) - there) / 32;
                var u = bias(Math.Max(0, t - delay));
                l = Math.Pow(10, (peakDb + Level(u) + At(a, t)) / 20);
                r = Math.Pow(10, (peakDb - 1 + Level(u - 0.4) + At(b, t)) / 20);
                low = withCompanion ? Math.Pow(10, (peakDb + Level(u - 2, CompanionSharpness) + At(a, t)) / 20) : 0;
                lowRight = withCompanion ? Math.Pow(10, (peakDb - 1 + Level(u - 2.4, CompanionSharpness) + At(b, t)) / 20) : 0;
            }

            var p = there + (step * (i % 32));
            double high = Math.Sin(2 * Math.PI * hz * p), beside = withCompanion ? Math.Sin(2 * Math.PI * 1000 * p) : 0;
            left[i] = (float)((l * high) + (low * beside) + (hiss * Normal(random)));
            right[i] = (float)((r * high) + (lowRight * beside) + (hiss * Normal(random)));
        }

        return new MemorySound(left, right, rate);
    }

    public static double Normal(Random random) =>
        (random.NextDouble() + random.NextDouble() + random.NextDouble() + random.NextDouble() - 2) * Math.Sqrt(3);

    // Noise of 0 to 20 Hz: independent values forty times a second, straight between.
    private static double[] Moves(int n, double rms, Random random) =>
        [.. Enumerable.Range(0, n).Select(_ => rms * Math.Sqrt(1.5) * Normal(random))];

    private static double At(double[] moves, double t)
    {
        var i = (int)(t * 40);
        var share = (t * 40) - i;
        return (moves[i] * (1 - share)) + (moves[i + 1] * share);
    }
}

/// <summary>How hands are drawn: their three swings from the slowest frequency up over a range, the pace's unevenness from the steadiest
/// hand's to the most, and how often those rest that do.</summary>
internal sealed record HandLaw(
    double SlowestHz = 0.02, double Range = 15, double Steadiest = 0, double Most = 0.28, double RestEachSeconds = 12);
