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
    // Where a level rises in steps, jumps make up so much of its rise; each is more than twice what a ramp would bring between the two pieces.
    private const double JumpShare = 0.7;
    private const double LeastJumpDb = 0.4;

    // Between steps the tone may pause: pieces so much farther apart than usual lie in two steps.
    private const double PauseSeconds = 0.08;

    // A boundary that lies so far from where it ought to, in steps, is a dropout.
    private const double MostOff = 0.2;

    private const double NearTopDb = 3;
    private const int LeastForSeries = 5;

    // What the cubic leaves open, as a share of the parabola's distance from it (calibrated on four laws of a top, steps of one and two decibels).
    private const double CubicShare = 0.5;

    /// <summary>Finds steps, or null where the level runs evenly.</summary>
    /// <param name="points">All pieces, in time.</param>
    /// <param name="linear">Those where the level runs with the input.</param>
    /// <param name="rate">dB a second there.</param>
    public static SaturationSteps? Of(
        IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, (double Seconds, double LevelDb, double Length)[] linear, double rate)
    {
        var pairs = points.Zip(points.Skip(1), (a, b) => (
            Seconds: 0.5 * (a.Seconds + b.Seconds), Apart: b.Seconds - a.Seconds, Rise: Math.Sign(rate) * (b.LevelDb - a.LevelDb), Even: Math.Abs(rate) * (b.Seconds - a.Seconds),
            Linear: a.Seconds >= linear[0].Seconds && b.Seconds <= linear[^1].Seconds)).ToArray();
        bool Jumps((double Seconds, double Apart, double Rise, double Even, bool Linear) p) => p.Rise > Math.Max(2 * p.Even, LeastJumpDb);
        var jumps = pairs.Where(p => p.Linear && Jumps(p)).ToArray();
        if (jumps.Length < 2 || jumps.Sum(p => p.Rise) < JumpShare * Math.Abs(linear[^1].LevelDb - linear[0].LevelDb))
        {
            return null;
        }

        // Length of a step by the line through all boundaries, numbered by their usual distance; what lies off it is left out.
        var apart = pairs.Select(p => p.Apart).Order().ElementAt(pairs.Length / 2);
        double[] boundaries = [.. pairs.Where(p => Jumps(p) || p.Apart > apart + PauseSeconds).Select(p => p.Seconds)];
        var usual = boundaries.Zip(boundaries.Skip(1), (a, b) => b - a).Order().ElementAt((boundaries.Length - 1) / 2);
        var (start, length) = (jumps[0].Seconds, usual);
        for (var round = 0; round < 3; round++)
        {
            double[] own = [.. boundaries.Where(b => Math.Abs(((b - start) / length) - Math.Round((b - start) / length)) < MostOff)];
            double[] numbers = [.. own.Select(b => Math.Round((b - start) / length))];
            double mean = numbers.Average(), middle = own.Average(), spread = numbers.Sum(n => (n - mean) * (n - mean));
            if (spread <= 0)
            {
                return null;
            }

            length = numbers.Zip(own, (n, b) => (n - mean) * (b - middle)).Sum() / spread;
            start = middle - (mean * length);
        }

        var groups = points.Select(p => (p.LevelDb, Number: Math.Floor((p.Seconds - start) / length), Inside: (((p.Seconds - start) / length) % 1 + 1) % 1, Half: 0.5 * p.Length / length))
            .Where(p => p.Inside > p.Half && p.Inside < 1 - p.Half).GroupBy(p => p.Number).OrderBy(g => g.Key)
            .Select(g => (g.Key, Levels: g.Select(p => p.LevelDb).ToArray())).ToArray();
        if (groups.Length < 4 || groups.Zip(groups.Skip(1), (a, b) => b.Key - a.Key).Any(d => d != 1))
        {
            return null;
        }

        // Noise weighs more at low level: the scatter is that near the top.
        var highest = groups.Max(g => g.Levels.Average());
        var near = groups.Where(g => g.Levels.Average() > highest - NearTopDb).ToArray();
        var freedom = near.Sum(g => g.Levels.Length - 1);
        var squares = near.Sum(g => g.Levels.Sum(l => Math.Pow(l - g.Levels.Average(), 2)));
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
            return Rising(top, factor, noise);
        }

        var (parabola, _, _) = Curve(top - 1, 3, top);
        var first = steps[top - 1].LevelDb > steps[top + 1].LevelDb ? top - 2 : top - 1;
        var four = first >= 0 && first + 4 <= steps.Length;
        var (level, at, variance) = four ? Curve(first, 4, top) : Curve(top - 1, 3, top);
        var before = At(at - (1 / stepDb), first, four);
        return new SaturationFit(level, factor * sigma * Math.Sqrt(variance), four ? CubicShare * Math.Abs(level - parabola) : MissingFour * stepDb * stepDb, Math.Max(0, level - before), true);

        double At(double x, int from, bool cubic) => x >= from && cubic ? Value(x, from, 4) : x >= top - 1 ? Value(x, top - 1, 3) : Between(x);
    }

    // Still rising, or nothing but the top: what rises ever less goes on as a geometric series, Y − a·gⁿ, laid through all steps near the top, for a tape's level
    // wanders from one step to the next by more than noise.
    private SaturationFit Rising(int top, double factor, double noise)
    {
        var first = Array.FindIndex(steps, s => s.LevelDb > steps[top].LevelDb - NearTopDb);
        var n = steps.Length - first;
        if (n < LeastForSeries)
        {
            var last = top == 0 ? 0 : Math.Max(0, steps[top].LevelDb - steps[top - 1].LevelDb);
            var (beyond, open) = SaturationFit.Beyond(steps[top].LevelDb, last, last / stepDb, top < 2 ? last : steps[top - 1].LevelDb - steps[top - 2].LevelDb);
            return new SaturationFit(beyond, noise, open, last / stepDb, false);
        }

        (double Squares, double Ratio, double Asymptote, double Left, double Leverage) best = (double.MaxValue, 0, 0, 0, 0);
        for (var ratio = 0.3; ratio <= SaturationFit.SlowestRatio; ratio += 0.005)
        {
            double[] x = [.. Enumerable.Range(first, n).Select(i => Math.Pow(ratio, i - (steps.Length - 1)))];
            double[] y = [.. steps.Skip(first).Select(s => s.LevelDb)];
            double mx = x.Average(), my = y.Average(), spread = x.Sum(v => (v - mx) * (v - mx));
            var slope = x.Zip(y, (u, v) => (u - mx) * (v - my)).Sum() / spread;
            var squares = x.Zip(y, (u, v) => Math.Pow(v - my - (slope * (u - mx)), 2)).Sum();
            if (squares < best.Squares)
            {
                best = (squares, ratio, my - (slope * mx), -slope, (1.0 / n) + ((1 - mx) * (1 - mx) / spread));
            }
        }

        var left = Math.Max(0, best.Left);
        var scatter = Math.Max(Math.Sqrt(best.Squares / (n - 3)), noise / factor);
        var bySlope = left * ((1 / best.Ratio) - 1) / stepDb;
        var (level, width) = SaturationFit.Beyond(best.Asymptote - best.Left, left * ((1 / best.Ratio) - 1), bySlope, left * ((1 / best.Ratio) - 1) / best.Ratio);
        return new SaturationFit(level, Confidence.Factor(n - 3) * scatter * Math.Sqrt(best.Leverage), width, bySlope, false);
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
