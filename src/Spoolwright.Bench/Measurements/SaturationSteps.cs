using Spoolwright.Bench.Instruments;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// A level that rises in steps of equal size and length: within a step it only scatters, so the curve goes through the steps' means and not through time.
/// The top is that of the cubic through the four steps nearest to it; what the parabola through three says otherwise shows how much hangs on that.
/// </summary>
/// <param name="steps">Mean level and number of pieces of every step in turn, the rising way.</param>
/// <param name="sigma">Scatter of one piece within its step, dB.</param>
/// <param name="freedom">Degrees of freedom that it is known by.</param>
/// <param name="stepDb">Size of a step at low level, dB.</param>
internal sealed class SaturationSteps((double LevelDb, int Count)[] steps, double sigma, int freedom, double stepDb)
{
    // Pieces in one step differ by less than this share of what a ramp would bring between them.
    private const double FlatShare = 0.25;

    // So many of the pairs of neighbours are flat where a level rises in steps.
    private const double FlatPairs = 0.4;

    // What the cubic leaves open, as a share of the parabola's distance from it (calibrated on four laws of a top, steps of one and two decibels).
    private const double CubicShare = 0.5;

    /// <summary>Finds steps, or null where the level runs evenly.</summary>
    /// <param name="points">All pieces, in time.</param>
    /// <param name="linear">Those where the level runs with the input.</param>
    /// <param name="rate">dB a second there.</param>
    public static SaturationSteps? Of(
        IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, (double Seconds, double LevelDb, double Length)[] linear, double rate)
    {
        var pairs = linear.Zip(linear.Skip(1), (a, b) => (Seconds: 0.5 * (a.Seconds + b.Seconds), Db: Math.Abs(b.LevelDb - a.LevelDb), Even: Math.Abs(rate) * (b.Seconds - a.Seconds))).ToArray();
        var jumps = pairs.Where(p => p.Db > 2 * p.Even).Select(p => p.Seconds).ToArray();
        if (jumps.Length < 3 || pairs.Count(p => p.Db < FlatShare * p.Even) < FlatPairs * pairs.Length)
        {
            return null;
        }

        // Length of a step by the line through its jumps, numbered by their usual distance.
        var usual = jumps.Zip(jumps.Skip(1), (a, b) => b - a).Order().ElementAt((jumps.Length - 1) / 2);
        double[] numbers = [.. jumps.Select(j => Math.Round((j - jumps[0]) / usual))];
        double mean = numbers.Average(), middle = jumps.Average(), spread = numbers.Sum(n => (n - mean) * (n - mean));
        var length = numbers.Zip(jumps, (n, j) => (n - mean) * (j - middle)).Sum() / spread;
        var start = middle - (mean * length);
        var groups = points.Select(p => (p.LevelDb, Number: Math.Floor((p.Seconds - start) / length), Inside: (((p.Seconds - start) / length) % 1 + 1) % 1, Half: 0.5 * p.Length / length))
            .Where(p => p.Inside > p.Half && p.Inside < 1 - p.Half).GroupBy(p => p.Number).OrderBy(g => g.Key)
            .Select(g => (g.Key, Levels: g.Select(p => p.LevelDb).ToArray())).ToArray();
        if (groups.Length < 4 || groups.Zip(groups.Skip(1), (a, b) => b.Key - a.Key).Any(d => d != 1))
        {
            return null;
        }

        var freedom = groups.Sum(g => g.Levels.Length - 1);
        var squares = groups.Sum(g => g.Levels.Sum(l => Math.Pow(l - g.Levels.Average(), 2)));
        if (freedom < 3)
        {
            return null;
        }

        var steps = groups.Select(g => (g.Levels.Average(), g.Levels.Length)).ToArray();
        return new SaturationSteps(rate > 0 ? steps : [.. steps.Reverse()], Math.Sqrt(squares / freedom), freedom, Math.Abs(rate) * length);
    }

    /// <summary>The top.</summary>
    public SaturationFit Top()
    {
        var top = Enumerable.Range(0, steps.Length).MaxBy(i => steps[i].LevelDb);
        var factor = Confidence.Factor(freedom);
        var noise = factor * sigma / Math.Sqrt(steps[top].Count);
        if (top == 0 || top == steps.Length - 1 || steps[top].LevelDb - steps[^1].LevelDb < SaturationFit.ClearFallDb + (3 * noise))
        {
            // Still rising, or nothing but the top.
            var last = top == 0 ? 0 : Math.Max(0, steps[top].LevelDb - steps[top - 1].LevelDb);
            var (highest, open) = SaturationFit.Beyond(steps[top].LevelDb, last, top < 2 ? last : steps[top - 1].LevelDb - steps[top - 2].LevelDb);
            return new SaturationFit(highest, noise, open, last / stepDb, false);
        }

        var (parabola, _, _) = Curve(top - 1, 3, top);
        var first = steps[top - 1].LevelDb > steps[top + 1].LevelDb ? top - 2 : top - 1;
        var four = first >= 0 && first + 4 <= steps.Length;
        var (level, at, variance) = four ? Curve(first, 4, top) : Curve(top - 1, 3, top);
        var before = At(at - (1 / stepDb), first, four);
        return new SaturationFit(level, factor * sigma * Math.Sqrt(variance), four ? CubicShare * Math.Abs(level - parabola) : MissingFour * stepDb * stepDb, Math.Max(0, level - before), true);

        double At(double x, int from, bool cubic) => x >= from && cubic ? Value(x, from, 4) : x >= top - 1 ? Value(x, top - 1, 3) : Between(x);
    }

    // Where a fourth step is missing, the parabola alone is off by so much for a step of one decibel, growing with its square [computed: a cube's].
    private const double MissingFour = 0.015;

    // Highest value of the curve through so many steps within one step of the top, where, and how far the pieces' scatter goes into it.
    private (double Level, double At, double Variance) Curve(int first, int count, int top)
    {
        const int Fine = 400;
        var at = Enumerable.Range(-Fine, (2 * Fine) + 1).Select(i => top + (i / (double)Fine)).Where(x => x >= first && x <= first + count - 1).MaxBy(x => Value(x, first, count));
        return (Value(at, first, count), at, Enumerable.Range(first, count).Sum(i => Math.Pow(Weight(at, i, first, count), 2) / steps[i].Count));
    }

    private double Value(double x, int first, int count) => Enumerable.Range(first, count).Sum(i => Weight(x, i, first, count) * steps[i].LevelDb);

    // Lagrange's polynomial of step i.
    private static double Weight(double x, int i, int first, int count) =>
        Enumerable.Range(first, count).Where(k => k != i).Aggregate(1.0, (product, k) => product * (x - k) / (i - k));

    private double Between(double x)
    {
        var low = Math.Clamp((int)Math.Floor(x), 0, steps.Length - 2);
        return steps[low].LevelDb + ((x - low) * (steps[low + 1].LevelDb - steps[low].LevelDb));
    }
}
