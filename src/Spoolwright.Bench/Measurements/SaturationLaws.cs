using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Instruments;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// Where steps alone do not show whether the output falls again: laws whose slope turns from 1 to 1 − q, C + b·(u − q/p·ln(1 + e^(p(u −
/// v)))), laid through all steps, with q of 1 for a tape that never falls and above it for one that does. How sharp the turn is and how
/// far it goes nobody knows: each of a grid is weighed by its likelihood, and what they differ by is in the uncertainty. Where steps
/// lie off the best of them by more than their noise the law is another, and all are held for as much less certain.
/// </summary>
internal static class SaturationLaws
{
    // A law's input goes down so far under the last one, dB: below it the output runs with the input and tells nothing of the law.
    private const double DownDb = 16;

    // From a turn over two decades down to one that is nearly a corner; p of 2 is x/√(1 + x²).
    private static readonly double[] Sharpnesses = [.. Enumerable.Range(0, 13).Select(i => Math.Pow(2, 0.25 * i))];

    // 1: it goes to a ceiling. What falls does so by q − 1 at last.
    private static readonly double[] Turns = [1, 1.1, 1.25, 1.5, 2, 3, 5, 10, 30];

    // That it never falls counts beforehand as much as that it does.
    private static readonly double OddsOfCeiling = Turns.Length - 1;

    // What lies beyond the last level hangs on the law, and a law may be none of these: half more or less of it, as of a rectangle. The
    // fundamental of x/√(1 + x²) goes to its ceiling as ln x/x², and lay 0.05 dB off where without this 0.027 were stated.
    private const double OtherShare = 0.5;

    // Constant, scale and place of each law.
    private const int Numbers = 3;
    private const int Rounds = 12;

    /// <summary>Level of the top, noise and what else is open, both k = 2, and what the last decibel of input brought.</summary>
    public readonly record struct Found(double LevelDb, double NoiseDb, double OpenDb, double Slope);

    private readonly record struct Law(double LogWeight, double Squares, double Level, double Variance, double Beyond, double Slope);

    /// <summary>The top that the laws say, or null where there are too few steps for them.</summary>
    /// <param name="inputDb">The steps' input, dB over the last one's, in turn.</param>
    /// <param name="outputDb">Their levels.</param>
    /// <param name="means">The same with their covariance, as each strength of the noise has it.</param>
    public static Found? Of(double[] inputDb, double[] outputDb, IReadOnlyList<WanderingLevel.Answer> means)
    {
        var n = inputDb.Length;
        var freedom = n - Numbers - 2;
        if (freedom < 1)
        {
            return null;
        }

        var covariance = new double[n * n];
        foreach (var answer in means)
        {
            for (var i = 0; i < covariance.Length; i++)
            {
                covariance[i] += answer.Weight * answer.Covariance[i];
            }
        }

        var factor = new LowerFactor(covariance, n);
        var laws = new List<(double Prior, Law Law)>();
        foreach (var turn in Turns)
        {
            foreach (var sharp in Sharpnesses)
            {
                if (Fitted(inputDb, outputDb, factor, sharp * Math.Log(10) / 20, turn) is { } law)
                {
                    laws.Add((turn == 1 ? Math.Log(OddsOfCeiling) : 0, law));
                }
            }
        }

        if (laws.Count == 0)
        {
            return null;
        }

        var least = laws.Min(l => l.Law.Squares);
        var scale = Math.Max(1, least / freedom);
        double[] weights = [.. laws.Select(l => l.Prior + l.Law.LogWeight - (l.Law.Squares / (2 * scale)))];
        var most = weights.Max();
        weights = [.. weights.Select(w => Math.Exp(w - most))];
        var sum = weights.Sum();
        weights = [.. weights.Select(w => w / sum)];
        double Mean(Func<Law, double> of) => weights.Zip(laws, (w, l) => w * of(l.Law)).Sum();
        var mean = Mean(l => l.Level);

        // Where it is known by the steps' own scatter, it is known by so many of them.
        var own = scale > 1 ? scale * Math.Pow(Confidence.Factor(freedom) / 2, 2) : 1;
        var half = NormalMixture.HalfWidth([.. laws.Select((l, i) => (weights[i], l.Law.Level - mean, (own * l.Law.Variance) + l.Law.Beyond))]);
        var noise = Math.Min(half, 2 * Math.Sqrt(own * Mean(l => l.Variance)));
        return new Found(mean, noise, Math.Sqrt((half * half) - (noise * noise)), Mean(l => l.Slope));
    }

    /// <summary>How many of the last steps the laws go through.</summary>
    /// <param name="stepDb">Size of a step, dB.</param>
    public static int Count(double stepDb) => 1 + (int)(DownDb / stepDb);

    // Least squares by Gauss and Newton: constant and scale are linear, the place nearly so.
    private static Law? Fitted(double[] input, double[] output, LowerFactor factor, double sharp, double turn)
    {
        static double Grown(double x) => x > 30 ? x : Math.Log(1 + Math.Exp(x));
        double Value(double u, double place) => u - (turn / sharp * Grown(sharp * (u - place)));
        double Lean(double u, double place) => turn / (1 + Math.Exp(-sharp * (u - place)));
        var (n, place, scale) = (input.Length, -4.0, 1.0);
        double[] numbers = [];
        var normal = new double[Numbers * Numbers];
        double squares = 0;
        for (var round = 0; ; round++)
        {
            double[] value = [.. input.Select(u => Value(u, place))];
            double[] lean = [.. input.Select(u => scale * Lean(u, place))];
            var even = factor.Even([[.. Enumerable.Repeat(1.0, n)], value, lean, output]);
            for (var a = 0; a < Numbers; a++)
            {
                for (var b = 0; b < Numbers; b++)
                {
                    normal[(a * Numbers) + b] = LowerFactor.Dot(even[a], even[b]);
                }
            }

            if (!Definite(normal))
            {
                return null;
            }

            var inner = new LowerFactor(normal, Numbers);
            numbers = [.. Enumerable.Range(0, Numbers).Select(a => LowerFactor.Dot(even[a], even[Numbers]))];
            inner.Solve(numbers);
            if (round == Rounds)
            {
                // Without the move of the place that is still asked for: it is next to nothing.
                for (var k = 0; k < n; k++)
                {
                    var left = even[Numbers][k] - (numbers[0] * even[0][k]) - (numbers[1] * even[1][k]);
                    squares += left * left;
                }

                // The slope goes through 0 where the turn has taken all of it.
                var top = turn > 1 ? place - (Math.Log(turn - 1) / sharp) : double.PositiveInfinity;
                var highest = turn > 1 ? Value(top, place) : place;
                double[] gradient = [1, highest, numbers[1]];
                var inverse = inner.Inverse();
                double variance = 0;
                for (var a = 0; a < Numbers; a++)
                {
                    for (var b = 0; b < Numbers; b++)
                    {
                        variance += gradient[a] * gradient[b] * inverse[(a * Numbers) + b];
                    }
                }

                var beyond = numbers[1] * Math.Max(0, highest - Value(input[^1], place)) * (top < input[^1] ? 0 : OtherShare);
                return new Law(
                    -0.5 * inner.LogDeterminant, squares, numbers[0] + (numbers[1] * highest), variance, beyond * beyond / 3,
                    numbers[1] * (Value(input[^1], place) - Value(input[^1] - 1, place)));
            }

            place = Math.Clamp(place + Math.Clamp(numbers[2], -2, 2), input[0], input[^1] + DownDb);
            scale = Math.Clamp(numbers[1], 0.5, 2);
        }
    }

    private static bool Definite(double[] m)
    {
        double a = m[0], b = (m[0] * m[4]) - (m[1] * m[3]);
        var c = (m[0] * ((m[4] * m[8]) - (m[5] * m[7]))) - (m[1] * ((m[3] * m[8]) - (m[5] * m[6]))) + (m[2] * ((m[3] * m[7]) - (m[4] * m[6])));
        return a > 0 && b > 1e-12 * m[0] * m[4] && c > 1e-12 * m[0] * m[4] * m[8];
    }
}
