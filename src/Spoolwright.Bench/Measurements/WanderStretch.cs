using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Measurements;

/// <summary>A stretch of a tone's level in time and the polynomial laid through it: what it leaves tells of hiss and wander.</summary>
internal sealed class WanderStretch
{
    private readonly double[] _levels;
    private readonly double[][] _columns;
    private readonly int _joined;

    private WanderStretch(LevelPoint[] points, int join, Func<double, double, double[]> row)
    {
        LevelPoint[][] groups = [.. Enumerable.Range(0, points.Length / join).Select(i => points[(i * join)..((i + 1) * join)])];
        _joined = join;
        _levels = [.. groups.Select(g => g.Average(p => p.LevelDb))];
        Means = [.. groups.Select(g => (g.Average(p => p.Seconds), g.Sum(p => p.Length)))];
        double middle = 0.5 * (Means[0].Seconds + Means[^1].Seconds), half = 0.5 * (Means[^1].Seconds - Means[0].Seconds);
        var rows = Means.Zip(_levels, (m, l) => row((m.Seconds - middle) / half, l - _levels.Max())).ToArray();
        _columns = [.. Enumerable.Range(0, rows[0].Length).Select(k => rows.Select(r => r[k]).ToArray())];
    }

    /// <summary>Its pieces in time.</summary>
    public IReadOnlyList<(double Seconds, double Length)> Means { get; }

    /// <summary>Degrees of freedom that it leaves.</summary>
    public int Freedom => _levels.Length - _columns.Length;

    /// <summary>Of touching pieces, by a polynomial in time.</summary>
    public static WanderStretch Of(LevelPoint[] points, int degree) =>
        new(points, 1, (t, _) => [.. Enumerable.Range(0, degree + 1).Select(k => Math.Pow(t, k))]);

    /// <summary>Of touching pieces where the tape is nearly linear, so many neighbours made one: a straight rise, and what the tape takes
    /// off by its amplitude and its square.</summary>
    public static WanderStretch Low(LevelPoint[] points, int join) =>
        new(points, join, (t, db) => [1, t, Math.Pow(10, db / 20), Math.Pow(10, db / 10)]);

    /// <summary>Mean square that the polynomial leaves by plain least squares, dB².</summary>
    public double Plain() => Left(_levels.Max(), 0, 0, [], true).Squares / Math.Max(1, Freedom);

    /// <summary>Squares left over on a scale where a piece's hiss at the top level is 1, and the logarithm of the determinants.</summary>
    /// <param name="topDb">The level at which hiss is 1: it weighs more where the tone is lower.</param>
    /// <param name="likeness">How much alike hiss is in neighbours: frames overlap.</param>
    /// <param name="strength">Variance of the wander's octaves.</param>
    /// <param name="wander">Covariance of the means where that is 1.</param>
    public (double Squares, double Log) Left(double topDb, double likeness, double strength, double[] wander) =>
        Left(topDb, likeness, strength, wander, false);

    private (double Squares, double Log) Left(double topDb, double likeness, double strength, double[] wander, bool plain)
    {
        var n = _levels.Length;
        var hiss = 1 + (2 * (_joined - 1) * likeness / _joined);
        double[] sigma = [.. _levels.Select(l => plain ? 1 : Math.Pow(10, (topDb - l) / 20) * Math.Sqrt(hiss / _joined))];
        var covariance = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                covariance[(i * n) + j] = strength == 0 ? 0 : strength * wander[(i * n) + j];
            }

            covariance[(i * n) + i] += sigma[i] * sigma[i];
            if (i > 0)
            {
                covariance[(i * n) + i - 1] += likeness / _joined / hiss * sigma[i] * sigma[i - 1];
            }
        }

        var factor = new LowerFactor(covariance, n);
        var even = factor.Even([.. _columns, _levels]);
        var terms = _columns.Length;
        var normal = new double[terms * terms];
        for (var a = 0; a < terms; a++)
        {
            for (var b = 0; b < terms; b++)
            {
                normal[(a * terms) + b] = LowerFactor.Dot(even[a], even[b]) * (a == b ? 1 + 1e-10 : 1);
            }
        }

        var inner = new LowerFactor(normal, terms);
        double[] numbers = [.. Enumerable.Range(0, terms).Select(a => LowerFactor.Dot(even[a], even[terms]))];
        inner.Solve(numbers);
        double squares = 0;
        for (var k = 0; k < n; k++)
        {
            var left = even[terms][k];
            for (var a = 0; a < terms; a++)
            {
                left -= numbers[a] * even[a][k];
            }

            squares += left * left;
        }

        return (squares, factor.LogDeterminant + inner.LogDeterminant);
    }
}
