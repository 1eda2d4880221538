namespace Spoolwright.Signal.Levels;

/// <summary>
/// Variance of the noise on a level's course, as independent noise of the same effect on means would have it: from short straight pieces, the
/// slow course taken out with each, neighbours' likeness counted in.
/// </summary>
public static class LevelNoise
{
    private const int Piece = 40;
    private const int Lags = 4;

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

            // Three numbers were fitted, and residuals lean against each other by as much: of white noise the sum over lags keeps this share.
            var kept = 1 - (3.0 * ((2 * Lags) + 1) / piece);
            all.Add(piece >= 24 ? sum / piece / Math.Max(0.2, kept) : covariance[0] / (piece - 3));
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

        return Math.Max(1e-8, mean * (counted < all.Count ? 1.08 : 1));
    }
}
