namespace Spoolwright.Signal.Levels;

/// <summary>Where a level stands at the end of its course: the mean of the longest stretch before it that is still, or, while it moves, a
/// bent line's end.</summary>
public static class LevelEnd
{
    private static readonly double[] Lengths = [12, 8, 6, 5, 4, 3, 2.5, 2];

    // While the level moves: as long as a hand keeps to one bend. Shorter would be noisier, and choosing by what fits would choose errors.
    private const double MovingSeconds = 5;
    private const double LeastMovingSeconds = 2;

    // Chance makes off the later half by more than so many variances of its line one time in seven.
    private const double KinkChance = 2;

    // The choice among still stretches costs a little more than the noise of the one chosen; calibrated (BiasCoverageTests).
    private const double WideningStill = 1.15;

    /// <summary>Level at the end and its noise (k = 2), dB.</summary>
    /// <param name="level">The course.</param>
    /// <param name="notBefore">Nothing before this point counts.</param>
    /// <param name="noise">Noise on it.</param>
    /// <param name="perSecond">Points a second.</param>
    public static (double LevelDb, double NoiseDb) Of(IReadOnlyList<double> level, int notBefore, LevelNoise noise, double perSecond)
    {
        var end = level.Count;
        var at = end - 0.5;
        foreach (var seconds in Lengths)
        {
            var from = end - (int)(seconds * perSecond);
            if (
                from < notBefore
                || LevelLine.Fit(level, from, end, 0) is not { } mean
                || LevelLine.Fit(level, from, end, 1) is not { } line
            )
            {
                continue;
            }

            var variance = noise.Over(end - from);

            // A slope must be no news at the end, and the last part must not lie off the rest.
            var news =
                Math.Abs(line.At(at) - mean.At(at))
                / Math.Sqrt(variance * Math.Max(1e-12, line.VarianceFactor(at) - mean.VarianceFactor(at)));
            if (news < 1.2 && LastPartAgrees(level, mean, from, end, noise))
            {
                // Over a short stretch a slow turn may hide in the noise: what the slope would make of it counts too.
                var hidden = seconds < 3 ? 2 * (line.At(at) - mean.At(at)) : 0;
                return (mean.At(at), double.Hypot(2 * WideningStill * Math.Sqrt(noise.Of(mean, at)), hidden));
            }
        }

        // A stretch with a kink in it is no bend: it is gone from only where it misfits grossly, so that nothing is chosen by its errors.
        for (var seconds = MovingSeconds; seconds >= LeastMovingSeconds; seconds -= 0.5)
        {
            var start = Math.Max(notBefore, end - (int)(seconds * perSecond));
            if (
                end - start >= LeastMovingSeconds * perSecond
                && LevelLine.Fit(level, start, end, 2) is { } bent
                && !MisfitsGrossly(level, bent, start, end, noise.Fast)
            )
            {
                return (bent.At(at), double.Hypot(2 * Math.Sqrt(noise.Of(bent, at)), Kink(level, bent, start, end, at, noise)));
            }
        }

        var last = Math.Max(notBefore, end - (int)perSecond);
        var n = Math.Max(1, end - last);
        var average = Enumerable.Range(end - n, n).Average(i => level[i]);
        var off = LevelLine.Fit(level, end - n, end, 1) is { } slope ? slope.At(at) - average : 0;
        return (average, double.Hypot(2 * Math.Sqrt(noise.Over(n) / n), off));
    }

    // A hand that rested or changed its pace within the stretch: what its later half, by itself, makes of the end beyond what noise could
    // (of nested fits the variances subtract).
    private static double Kink(IReadOnlyList<double> level, LevelLine bent, int start, int end, double at, LevelNoise noise)
    {
        var half = (start + end) / 2;
        if (LevelLine.Fit(level, half, end, 1) is not { } later)
        {
            return 0;
        }

        // A straight line does not bend: what the whole stretch's bend makes of it is taken out first.
        var bend =
            LevelLine.Fit([.. Enumerable.Range(half, end - half).Select(i => bent.At(i))], 0, end - half, 1)!.At(at - half) - bent.At(at);
        var off = later.At(at) - bend - bent.At(at);
        var chance = noise.Over(end - half) * later.VarianceFactor(at);
        return Math.Sqrt(Math.Max(0, (off * off) - (KinkChance * chance)));
    }

    // Four standard deviations of the residuals' mean square, which a stretch of one bend passes but once in some ten thousand.
    private static bool MisfitsGrossly(IReadOnlyList<double> level, LevelLine line, int from, int end, double variance)
    {
        double sum = 0;
        for (var i = from; i < end; i++)
        {
            sum += Math.Pow(level[i] - line.At(i), 2);
        }

        // The course's points hang together, two by two nearly.
        return sum > variance * (end - from) * (1 + (4 * Math.Sqrt(4.0 / (end - from))));
    }

    private static bool LastPartAgrees(IReadOnlyList<double> level, LevelLine line, int from, int end, LevelNoise noise)
    {
        foreach (var parts in (ReadOnlySpan<int>)[2, 4, 8])
        {
            var n = (end - from) / parts;
            if (n < 6)
            {
                break;
            }

            double sum = 0;
            for (var i = end - n; i < end; i++)
            {
                sum += level[i] - line.At(i);
            }

            if (Math.Abs(sum) > 2.2 * Math.Sqrt(n * noise.Over(n)))
            {
                return false;
            }
        }

        return true;
    }
}
