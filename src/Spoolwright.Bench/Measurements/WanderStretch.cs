using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Measurements;

/// <summary>A stretch of a tone's level in time and the course laid through it: what it leaves tells of hiss and wander.</summary>
internal sealed class WanderStretch
{
    // A ramp's slope is taken from its lower part, where the tape bends it least.
    private const double LowerShare = 1 / 3.0;

    // Powers of the input's amplitude of any size; and what further ones are taken to be beforehand, root of the sum of squares over all
    // pieces.
    private const int Powers = 3;
    private const double FurtherDb = 0.01;

    private readonly double[] _levels;
    private readonly double[][] _columns;
    private readonly double[][] _further;
    private readonly int _joined;

    // Columns from the so manieth on are further ones.
    private WanderStretch(LevelPoint[] points, int join, int terms, Func<(double Seconds, double Length)[], double[], double[][]> rows)
    {
        LevelPoint[][] groups = [.. Enumerable.Range(0, points.Length / join).Select(i => points[(i * join)..((i + 1) * join)])];
        _joined = join;
        _levels = [.. groups.Select(g => g.Average(p => p.LevelDb))];
        Means = [.. groups.Select(g => (g.Average(p => p.Seconds), g.Sum(p => p.Length)))];
        var plain = rows([.. Means], _levels);
        var even = EvenRows.Of(plain);
        double[][] turned = [.. plain.Select(even.Of)];
        double[][] columns = [.. Enumerable.Range(0, plain[0].Length).Select(k => turned.Select(r => r[k]).ToArray())];
        _columns = [.. columns.Take(terms).Where(c => c.Any(v => v != 0))];
        _further = [.. columns.Skip(terms)];
    }

    /// <summary>Its pieces in time.</summary>
    public IReadOnlyList<(double Seconds, double Length)> Means { get; }

    /// <summary>Degrees of freedom that it leaves.</summary>
    public int Freedom => _levels.Length - _columns.Length;

    /// <summary>Of touching pieces, by a polynomial in time.</summary>
    public static WanderStretch Of(LevelPoint[] points, int degree) =>
        new(points, 1, degree + 1, (means, _) =>
        {
            double middle = 0.5 * (means[0].Seconds + means[^1].Seconds), half = 0.5 * (means[^1].Seconds - means[0].Seconds);
            return [.. means.Select(m => Enumerable.Range(0, degree + 1).Select(k => Math.Pow((m.Seconds - middle) / half, k)).ToArray())];
        });

    /// <summary>Of touching pieces in which the input rises or falls steadily, in dB, so many neighbours made one: a straight line, and
    /// what the tape takes off by the input's amplitude, its square and the square of that. Computed on the tests' twelve laws from 16 dB
    /// below up to a third harmonic of 4.5 %: 0.0003 dB rms are left by ten of them, up to 0.0015 by the two that turn hardest; by two
    /// squares more 0.0004. Those may take off <see cref="FurtherDb"/> and no more, else they would take a slow swing for the
    /// curve.</summary>
    public static WanderStretch Ramp(LevelPoint[] points, int join) => new(points, join, 2 + Powers, RampRows);

    /// <summary>Mean square that the course leaves by plain least squares, dB².</summary>
    public double Plain()
    {
        // The columns stand square to each other.
        double[] left = [.. _levels];
        foreach (var column in _columns)
        {
            var share = LowerFactor.Dot(column, left);
            for (var i = 0; i < left.Length; i++)
            {
                left[i] -= share * column[i];
            }
        }

        return LowerFactor.Dot(left, left) / Math.Max(1, Freedom);
    }

    /// <summary>Squares left over on a scale where a piece's hiss at the top level is 1, and the logarithm of the determinants.</summary>
    /// <param name="topDb">The level at which hiss is 1: it weighs more where the tone is lower.</param>
    /// <param name="likeness">How much alike hiss is in neighbours: frames overlap.</param>
    /// <param name="strength">Variance of the wander's octaves.</param>
    /// <param name="wander">Covariance of the means where that is 1.</param>
    /// <param name="hissDb">What a piece's hiss at the top level is, as far as is known, dB.</param>
    public (double Squares, double Log) Left(double topDb, double likeness, double strength, double[] wander, double hissDb)
    {
        var n = _levels.Length;
        var hiss = 1 + (2 * (_joined - 1) * likeness / _joined);
        double[] sigma = [.. _levels.Select(l => Math.Pow(10, (topDb - l) / 20) * Math.Sqrt(hiss / _joined))];
        var further = FurtherDb * FurtherDb / (hissDb * hissDb);
        var covariance = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                covariance[(i * n) + j] = strength == 0 ? 0 : strength * wander[(i * n) + j];
                foreach (var f in _further)
                {
                    covariance[(i * n) + j] += further * f[i] * f[j];
                }
            }

            covariance[(i * n) + i] += sigma[i] * sigma[i];
            if (i > 0)
            {
                covariance[(i * n) + i - 1] += likeness / _joined / hiss * sigma[i] * sigma[i - 1];
            }
        }

        var fit = GeneralizedLeastSquares.Of(new LowerFactor(covariance, n), _columns, _levels);
        return (fit.Squares, fit.LogDeterminants);
    }

    private static double[][] RampRows((double Seconds, double Length)[] means, double[] levels)
    {
        var top = levels[^1] > levels[0] ? means[^1].Seconds : means[0].Seconds;
        var pace = Slope(levels[^1] > levels[0] ? Lower(means, levels) : Lower([.. means.Reverse()], [.. levels.Reverse()]));
        return
        [
            .. means.Select(m => new[] { 1, pace * (m.Seconds - top), 1, 2, 4, 8, 16 }
                .Select((v, k) => k < 2 ? v : Math.Pow(10, v * pace * (m.Seconds - top) / 20))
                .ToArray()),
        ];
    }

    private static (double Seconds, double LevelDb)[] Lower((double Seconds, double Length)[] means, double[] levels) =>
        [.. means.Zip(levels, (m, l) => (m.Seconds, l)).Take(Math.Max(3, (int)(LowerShare * levels.Length)))];

    private static double Slope((double Seconds, double LevelDb)[] points)
    {
        double x = points.Average(p => p.Seconds), y = points.Average(p => p.LevelDb);
        return points.Sum(p => (p.Seconds - x) * (p.LevelDb - y)) / points.Sum(p => (p.Seconds - x) * (p.Seconds - x));
    }
}
