namespace Spoolwright.Signal.Levels;

/// <summary>Where a level stands at the end of its course: the longest stretch before it that is still or moves evenly.</summary>
public static class LevelEnd
{
    private static readonly double[] Lengths = [12, 8, 6, 5, 4, 3, 2.5, 2];

    // The choice among stretches costs more than the noise of the one chosen, where the level still moves above all; calibrated (BiasCoverageTests).
    private const double WideningStill = 1.1;
    private const double WideningMoving = 1.4;

    /// <summary>Level at the end and its noise (k = 2), dB.</summary>
    /// <param name="level">The course.</param>
    /// <param name="notBefore">Nothing before this point counts.</param>
    /// <param name="variance">Variance of a point.</param>
    /// <param name="perSecond">Points a second.</param>
    public static (double LevelDb, double NoiseDb) Of(IReadOnlyList<double> level, int notBefore, double variance, double perSecond)
    {
        var end = level.Count;
        foreach (var degree in (ReadOnlySpan<int>)[0, 1, 2])
        {
            foreach (var seconds in Lengths)
            {
                var from = end - (int)(seconds * perSecond);
                if (from < notBefore || LevelLine.Fit(level, from, end, degree) is not { } line || LevelLine.Fit(level, from, end, degree + 1) is not { } next)
                {
                    continue;
                }

                // What one degree more says at the end must be no news, and the last part must not lie off the rest.
                var at = end - 0.5;
                var news = Math.Abs(next.At(at) - line.At(at)) / Math.Sqrt(variance * Math.Max(1e-12, next.VarianceFactor(at) - line.VarianceFactor(at)));
                if (news > 1.2 || (degree > 0 && seconds < 3) || !LastPartAgrees(level, line, from, end, variance))
                {
                    continue;
                }

                var noise = 2 * (degree == 0 ? WideningStill : WideningMoving) * Math.Sqrt(variance * line.VarianceFactor(at));
                return (line.At(at), noise);
            }
        }

        var last = Math.Max(notBefore, end - (int)perSecond);
        var n = Math.Max(1, end - last);
        return (Enumerable.Range(end - n, n).Average(i => level[i]), 2 * Math.Sqrt(variance / n));
    }

    private static bool LastPartAgrees(IReadOnlyList<double> level, LevelLine line, int from, int end, double variance)
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

            if (Math.Abs(sum) > 2.2 * Math.Sqrt(n * variance))
            {
                return false;
            }
        }

        return true;
    }
}
