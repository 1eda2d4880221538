namespace Spoolwright.Signal.Levels;

/// <summary>
/// The noise on a level's course, as independent noise of the same effect on means over some points would have it. Its fast part comes from
/// short pieces, the slow course taken out with each, neighbours' likeness counted in; its slow part, which no averaging takes out, from
/// means further apart.
/// </summary>
/// <param name="Fast">Variance of one point, dB²; the floor is a tenth of a thousandth of a decibel.</param>
/// <param name="Slow">What the variance of means, taken against their neighbours, goes down to, dB²; 0 where nothing stands out.</param>
public readonly record struct LevelNoise(double Fast, double Slow)
{
    // Slow noise counts where it stands out by so many standard deviations; a smaller one cannot be told from none, nor from the hand.
    private const double StandsOut = 3;

    // Noise as strong in every octave has a fifteenth of its points' variance in such means; far more is a hand that turns in steps.
    private const double MostSlow = 0.25;

    // The mean of a normal value's square without its upper tenth, over that of all [computed].
    private const double TrimmedSquares = 0.623;

    // Variance of that trimmed mean over its square, for one of many third differences, of which neighbours share means [computed].
    private const double SquaresScatter = 5.8;

    /// <summary>Variance of one of so many points that are averaged and held against their neighbours, dB².</summary>
    public double Over(int points) => Fast + (Slow * points);

    /// <summary>
    /// Variance of a line's value at a place, dB². Noise as strong in every octave is not averaged out by a longer fit; a bent line's end
    /// follows it further than a mean does. Its two constants were taken from such noise [computed: BiasCoverageTests]; noise slower than
    /// the capture is in no variance.
    /// </summary>
    public double Of(LevelLine line, double index)
    {
        ArgumentNullException.ThrowIfNull(line);
        var factor = line.VarianceFactor(index);
        return (Fast * factor) + (Slow * (2 + (0.28 * factor * line.Count)));
    }

    /// <summary>The noise of a whole course.</summary>
    /// <param name="level">The course, 20 points a second.</param>
    public static LevelNoise Of(IReadOnlyList<double> level)
    {
        ArgumentNullException.ThrowIfNull(level);
        var fast = Variance(level, 0, level.Count);

        // The variance of means of n points against their neighbours is w/n + c: both by weighted least squares over lengths from a fifth
        // of a second to eight tenths. Longer ones would see the hand's unevenness.
        double n = 0, x = 0, y = 0, xx = 0, xy = 0;
        foreach (var length in (ReadOnlySpan<int>)[4, 8, 16])
        {
            if (level.Count / length < 20)
            {
                return new LevelNoise(fast, 0);
            }

            var weight = (level.Count / length) / Math.Pow(1.0 / length, 2); // over w²·5.8, which is alike for all
            (double inverse, double found) = (1.0 / length, OfMeans(level, length));
            n += weight;
            x += weight * inverse;
            y += weight * found;
            xx += weight * inverse * inverse;
            xy += weight * inverse * found;
        }

        var spread = (n * xx) - (x * x);
        var white = ((n * xy) - (x * y)) / spread;
        var slow = (y - (white * x)) / n;
        var sigma = Math.Sqrt(SquaresScatter * xx / spread) * Math.Max(white, 0.1 * fast);
        return new LevelNoise(fast, slow > StandsOut * sigma && slow < MostSlow * fast ? slow : 0);
    }

    // Third differences of means of so many points: a course that bends evenly leaves nothing in them. A kink or a dropout stands in the
    // tenth left out.
    private static double OfMeans(IReadOnlyList<double> level, int length)
    {
        var means = new double[level.Count / length];
        for (var i = 0; i < means.Length * length; i++)
        {
            means[i / length] += level[i] / length;
        }

        var squares = Enumerable
            .Range(0, means.Length - 3)
            .Select(i => Math.Pow(means[i] - (3 * means[i + 1]) + (3 * means[i + 2]) - means[i + 3], 2) / 20)
            .Order()
            .ToArray();
        return squares.Take((int)Math.Ceiling(0.9 * squares.Length)).Average() / TrimmedSquares;
    }

    private const int Piece = 40;
    private const int Lags = 2;

    // The mean of what is left when the upper tenth is left out, over the mean of all, for normal noise [computed].
    private const double TrimmedShare = 0.885;
    private static readonly System.Collections.Concurrent.ConcurrentDictionary<int, double> KeptShares = new();


    private static double Variance(IReadOnlyList<double> level, int from, int to)
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

    // Three numbers are fitted to each piece, and residuals lean against each other by as much: what of white noise is left of the sum over
    // lags.
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
