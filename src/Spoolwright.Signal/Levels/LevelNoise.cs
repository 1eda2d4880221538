namespace Spoolwright.Signal.Levels;

/// <summary>
/// Variance of the noise on a level's course, as independent noise of the same effect on means would have it: from short straight pieces, the
/// slow course taken out with each, neighbours' likeness counted in.
/// </summary>
public static class LevelNoise
{
    private const int Piece = 40;
    private const int Lags = 2;

    // The mean of what is left when the upper tenth is left out, over the mean of all, for normal noise [computed].
    private const double TrimmedShare = 0.885;
    private static readonly System.Collections.Concurrent.ConcurrentDictionary<int, double> KeptShares = new();


    /// <summary>Variance of one point, dB²; the floor is a tenth of a thousandth of a decibel.</summary>
    /// <param name="level">The course.</param>
    /// <param name="from">First point looked at.</param>
    /// <param name="to">Point after the last.</param>
    public static double Variance(IReadOnlyList<double> level, int from, int to)
    {
        var piece = Math.Min(Piece, Math.Max(8, (to - from) / 2));
        var all = new List<double>();
        for (var start = from; start + piece <= to; start += piece)
        {
            // Parabolas, so that the top itself is not taken for noise.
            if (LevelLine.Fit(level, start, start + piece, 2) is not { } line)
            {
                continue;
            }

            var covariance = new double[Lags + 1];
            for (var i = start; i < start + piece; i++)
            {
                var r = level[i] - line.At(i);
                for (var lag = 0; lag <= Lags && i + lag < start + piece; lag++)
                {
                    covariance[lag] += r * (level[i + lag] - line.At(i + lag));
                }
            }

            var sum = covariance[0];
            for (var lag = 1; lag <= Lags; lag++)
            {
                sum += 2 * covariance[lag];
            }

            all.Add(piece >= 24 ? sum / piece / KeptShares.GetOrAdd(piece, Kept) : covariance[0] / (piece - 3));
        }

        if (all.Count == 0)
        {
            return 1e-8;
        }

        // A piece with a jump in it is no noise: where there are enough, the mean leaves the upper tenth out.
        all.Sort();
        var counted = all.Count >= 10 ? (int)Math.Ceiling(all.Count * 0.9) : all.Count;
        var mean = 0.0;
        for (var i = 0; i < counted; i++)
        {
            mean += all[i] / counted;
        }

        return Math.Max(1e-8, mean / (counted < all.Count ? TrimmedShare : 1));
    }

    // Three numbers are fitted to each piece, and residuals lean against each other by as much: what of white noise is left of the sum over lags.
    private static double Kept(int piece)
    {
        // The fit's own matrix from three orthogonal rows: constant, line, parabola.
        var rows = new double[3][];
        for (var k = 0; k < 3; k++)
        {
            rows[k] = [.. Enumerable.Range(0, piece).Select(i => Math.Pow(i - ((piece - 1) / 2.0), k))];
            for (var earlier = 0; earlier < k; earlier++)
            {
                double dot = 0;
                for (var i = 0; i < piece; i++)
                {
                    dot += rows[k][i] * rows[earlier][i];
                }

                for (var i = 0; i < piece; i++)
                {
                    rows[k][i] -= dot * rows[earlier][i];
                }
            }

            var length = Math.Sqrt(rows[k].Sum(x => x * x));
            rows[k] = [.. rows[k].Select(x => x / length)];
        }

        double kept = piece;
        for (var lag = 0; lag <= Lags; lag++)
        {
            for (var i = 0; i + lag < piece; i++)
            {
                kept -= (lag == 0 ? 1 : 2) * rows.Sum(r => r[i] * r[i + lag]);
            }
        }

        return kept / piece;
    }
}
