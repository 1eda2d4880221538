namespace Spoolwright.Signal.Levels;

/// <summary>The top of a level's course.</summary>
/// <param name="LevelDb">Its value, by the fit.</param>
/// <param name="NoiseDb">k = 2, of the noise on the course.</param>
/// <param name="MethodDb">k = 2, of what the fit's shape leaves open.</param>
/// <param name="Index">Where it stands, in points of the course.</param>
/// <param name="IsOfSteps">Whether it was found through levels held in steps.</param>
public readonly record struct LevelPeak(double LevelDb, double NoiseDb, double MethodDb, double Index, bool IsOfSteps)
{
    // How far down from the top a fit reaches, dB. Wide averages more noise out; narrow holds less of what a hand that turns unevenly does
    // to the shape.
    private static readonly double[] Depths = [2, 1.6, 1.3, 1, 0.8, 0.65, 0.5, 0.4, 0.32, 0.25, 0.18, 0.12];
    private const int Smoothing = 10; // half a second either way
    private const double TopDb = 0.5;
    private const int LeastPoints = 16;

    // A fourth degree, always: lower ones bend with the hand, and choosing the degree by how well it fits favours what noise happens to
    // say.
    private const int Degree = 4;

    // What an uneven hand (by up to 28 %, or with rests) leaves in such a fit of that depth, k = 2, dB; it goes with the square of the
    // depth [computed: BiasCoverageTests].
    private const double ShapeDb = 0.012;
    private const double ShapeDepthDb = 0.4;

    // Variance of a fourth-degree line in the middle of n points, times n.
    private const double MiddleFactor = 225.0 / 64;

    /// <summary>Fits the top; null where the level goes over none.</summary>
    /// <param name="level">The course, dB, 20 points a second.</param>
    /// <param name="noise">Noise on it.</param>
    public static LevelPeak? Find(IReadOnlyList<double> level, LevelNoise noise)
    {
        var smooth = Smooth(level, Smoothing);
        var top = smooth.Max();
        var fits = new List<LevelPeak>();
        var stepped = new List<LevelPeak>();
        for (var i = 0; i < smooth.Length; i++)
        {
            if (smooth[i] < top - TopDb)
            {
                continue;
            }

            // One crossing of the peak: contiguous, as the course smoothed over a second sees it.
            var end = i;
            var highest = i;
            while (end < smooth.Length && smooth[end] >= top - TopDb)
            {
                highest = smooth[end] > smooth[highest] ? end : highest;
                end++;
            }

            // Noise may cut a corner off a crossing's flank: what stands on the slope of a higher top is none of its own.
            var (from, to) = Within(smooth, highest, TopDb);
            if (smooth[from..to].Max() > smooth[highest])
            {
                i = end;
                continue;
            }

            if (OfPolynomial(level, smooth, highest, noise) is { } fit)
            {
                fits.Add(fit);
            }
            else if (LevelSteps.Peak(level, highest, noise) is { } steps)
            {
                stepped.Add(steps);
            }

            i = end;
        }

        fits = fits.Count > 0 ? fits : stepped;
        if (fits.Count == 0)
        {
            return null;
        }

        return Best(fits);
    }

    /// <summary>Of several crossings the one known best, unless it turned back below the top.</summary>
    /// <param name="fits">At least one.</param>
    public static LevelPeak Best(IReadOnlyList<LevelPeak> fits)
    {
        var highest = fits.MaxBy(f => f.LevelDb);
        return fits.Where(f => f.LevelDb > highest.LevelDb - double.Hypot(f.NoiseDb, highest.NoiseDb))
            .DefaultIfEmpty(highest)
            .MinBy(f => f.NoiseDb);
    }

    private static LevelPeak? OfPolynomial(IReadOnlyList<double> level, double[] smooth, int highest, LevelNoise noise)
    {
        // The depth is chosen beforehand, by how wide the top is: choosing it by what the fits say would choose their errors too.
        var (wideFrom, wideTo) = Within(smooth, highest, ShapeDepthDb);
        double Expected(double depth)
        {
            var points = (wideTo - wideFrom) * Math.Sqrt(depth / ShapeDepthDb);
            return (4 * noise.Fast * MiddleFactor / points) + Math.Pow(Shape(depth), 2);
        }

        var chosen = Depths.MinBy(Expected);
        return Depths
            .Where(d => d <= chosen)
            .Concat(Depths.Where(d => d > chosen).Order())
            .Select(d => Fit(level, smooth, highest, d, noise))
            .FirstOrDefault(f => f is not null);
    }

    private static double Shape(double depth) => ShapeDb * Math.Pow(depth / ShapeDepthDb, 2);

    private static (int From, int To) Within(double[] smooth, int highest, double depth)
    {
        int from = highest, to = highest + 1;
        while (from > 0 && smooth[from - 1] > smooth[highest] - depth)
        {
            from--;
        }

        while (to < smooth.Length && smooth[to] > smooth[highest] - depth)
        {
            to++;
        }

        return (from, to);
    }

    private static LevelPeak? Fit(IReadOnlyList<double> level, double[] smooth, int highest, double depth, LevelNoise noise)
    {
        var (from, to) = Within(smooth, highest, depth);
        if (
            to - from < LeastPoints
            || LevelLine.Fit(level, from, to, Degree) is not { } line
            || !IsAdequate(level, line, from, to, Degree, noise)
            || Top(line, from, to) is not { } at
        )
        {
            return null;
        }

        var sigma = Math.Sqrt(noise.Of(line, at));
        var misfit = Math.Sqrt(Math.Max(1, Misfit(level, line, from, to, Degree, noise)));
        return IsATop(line, from, to, at, noise) ? new LevelPeak(line.At(at), 2 * sigma * misfit, Shape(depth), at, false) : null;
    }

    // The fit's highest point, inside: not at either end.
    private static double? Top(LevelLine line, int from, int to)
    {
        double at = from, value = double.NegativeInfinity;
        var step = Math.Max(0.02, (to - from) / 2000.0);
        for (double i = from; i <= to - 1; i += step)
        {
            if (line.At(i) > value)
            {
                (at, value) = (i, line.At(i));
            }
        }

        return at < from + 1.5 || at > to - 2.5 ? null : at;
    }

    // On both sides the fit falls by more than noise could make it.
    private static bool IsATop(LevelLine line, int from, int to, double at, LevelNoise noise)
    {
        var value = line.At(at);
        double Falls(double end) =>
            (value - line.At(end)) / Math.Sqrt((noise.Fast * (line.VarianceFactor(at) + line.VarianceFactor(end))) + noise.Slow);
        return Falls(from) > 3.5 && Falls(to - 1) > 3.5 && value - line.At(from) > 0.05 && value - line.At(to - 1) > 0.05;
    }

    private static bool IsAdequate(IReadOnlyList<double> level, LevelLine line, int from, int to, int degree, LevelNoise noise) =>
        Misfit(level, line, from, to, degree, noise) < 1 + (1.3 * Math.Sqrt(2.0 / Free(from, to, degree)));

    private static int Parts(int from, int to, int degree) => Math.Clamp((to - from) / 8, degree + 2, 24);

    private static int Free(int from, int to, int degree) => Parts(from, to, degree) - degree - 1;

    // Means of the residuals over parts of the stretch, over what noise alone makes of them: what is more is shape that the polynomial has
    // not, such as the corners of a hand that rests. Where it is little it widens the noise, as usual where a fit misfits; where it is more
    // the fit is not taken.
    private static double Misfit(IReadOnlyList<double> level, LevelLine line, int from, int to, int degree, LevelNoise noise)
    {
        var parts = Parts(from, to, degree);
        double squares = 0;
        for (var p = 0; p < parts; p++)
        {
            int a = from + (int)((long)(to - from) * p / parts), b = from + (int)((long)(to - from) * (p + 1) / parts);
            double sum = 0;
            for (var i = a; i < b; i++)
            {
                sum += level[i] - line.At(i);
            }

            // Against a long fit slow noise stands out twice as far as against its neighbours.
            squares += sum * sum / Math.Max(1, b - a) / (noise.Fast + (2 * noise.Slow * (b - a)));
        }

        return squares / Free(from, to, degree);
    }

    /// <summary>Moving mean, shorter at the ends, even on both sides.</summary>
    public static double[] Smooth(IReadOnlyList<double> level, int reach)
    {
        var sums = new double[level.Count + 1];
        for (var i = 0; i < level.Count; i++)
        {
            sums[i + 1] = sums[i] + level[i];
        }

        return [.. Enumerable.Range(0, level.Count).Select(i =>
        {
            var side = Math.Min(reach, Math.Min(i, level.Count - 1 - i));
            return (sums[i + side + 1] - sums[i - side]) / ((2 * side) + 1);
        })];
    }
}
