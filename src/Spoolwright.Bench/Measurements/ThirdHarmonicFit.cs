using Spoolwright.Bench.Standards;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The level at which the third harmonic reaches a share of the total, from a law fitted to third harmonic against level. At low level the
/// share grows by the square of the amplitude, as every odd curve's does (computed: a cube's share is a·A²/4); what lies above is a series in
/// that square: ln k = 2·ln A + c0 + c1·A² + c2·A⁴.
/// </summary>
/// <param name="LevelDb">The level, dB re full scale; null: not reached.</param>
/// <param name="NoiseDb">Uncertainty by the scatter about the law, k = 2, dB.</param>
/// <param name="MethodDb">Uncertainty by the choice of the law, k = 2, dB.</param>
/// <param name="BeyondDb">How far beyond the levels played it lies, dB; 0 within them.</param>
internal readonly record struct ThirdHarmonicFit(double? LevelDb, double NoiseDb, double MethodDb, double BeyondDb)
{
    private const double WithinRatio = 3; // a third to three times the share sought: 19 dB of it, 9.5 dB of level
    private const double MostScatter = 0.25;
    private static readonly double Ln = Math.Log(10) / 10;

    /// <summary>Fits, and looks for the share.</summary>
    /// <param name="points">Level in dB, third harmonic as a ratio, and its noise (k = 2) as a ratio.</param>
    /// <param name="share">The share looked for.</param>
    public static ThirdHarmonicFit Of(IReadOnlyList<(double LevelDb, double Ratio, double Noise)> points, double share)
    {
        var clear = points.Where(p => p.Ratio > 0 && p.Noise < 2 * MostScatter * p.Ratio).ToArray();
        var near = clear.Where(p => p.Ratio > share / WithinRatio && p.Ratio < share * WithinRatio).ToArray();
        if (near.Length < 4)
        {
            near = [.. clear.Where(p => p.Ratio > share / (2.5 * WithinRatio) && p.Ratio < share * 2.5 * WithinRatio)];
        }

        if (near.Length == 0)
        {
            return default;
        }

        var terms = near.Length >= 5 ? 3 : near.Length >= 3 ? 2 : 1;
        var best = Solve(near, share, terms);
        if (best.LevelDb is null || terms == 1)
        {
            return best with { MethodDb = 0.25 * best.BeyondDb };
        }

        // What one term less would have said shows how much hangs on the law. The terms of a smooth curve fall away: each is a part of the one before
        // (a tenth for curves that go as far as 3 %, calibrated on a cube and a limiter). Beyond what was played nothing holds the law: all of it.
        var other = Solve(near, share, terms - 1);
        var off = Math.Abs((other.LevelDb ?? (best.LevelDb.Value + 1)) - best.LevelDb.Value);
        return best with { MethodDb = ((best.BeyondDb > 0.05 ? 1 : terms == 3 ? 0.1 : 0.5) * off) + (0.05 * best.BeyondDb) };
    }

    private static ThirdHarmonicFit Solve((double LevelDb, double Ratio, double Noise)[] points, double share, int terms)
    {
        var middle = points.MinBy(p => Math.Abs(Math.Log(p.Ratio / share))).LevelDb;
        var own = points.Select(p => Math.Pow(p.Noise / (2 * p.Ratio), 2)).ToArray();
        var rows = points.Select(p => Row(p.LevelDb - middle, terms)).ToArray();
        var values = points.Select(p => Math.Log(p.Ratio) - (Ln * (p.LevelDb - middle))).ToArray();

        // What the points scatter beyond their own noise is whatever leaves the weighted squares at their degrees of freedom (Paule and Mandel's rule): points of
        // little noise take most of the freedom, so plain squares would find scatter where there is none.
        double[] c = [];
        double[,] covariance = new double[terms, terms];
        double Squares(double extra)
        {
            (c, covariance) = LeastSquares(rows, values, [.. own.Select(v => 1 / (v + extra + 1e-12))]);
            return rows.Select((r, i) => Math.Pow(values[i] - Dot(r, c), 2) / (own[i] + extra + 1e-12)).Sum();
        }

        var freedom = points.Length - terms;
        if (Squares(0) > freedom && freedom > 0)
        {
            double less = 0, more = 1;
            for (var round = 0; round < 40; round++)
            {
                var between = 0.5 * (less + more);
                (less, more) = Squares(between) > freedom ? (between, more) : (less, between);
            }

            Squares(more);
        }

        double Law(double db) => Dot(Row(db - middle, terms), c) + (Ln * (db - middle)) - Math.Log(share);
        double low = points.Min(p => p.LevelDb), high = points.Max(p => p.LevelDb);
        const double Step = 0.02;
        for (var at = low - DistortionPractice.MostExtrapolatedDb; at < high + DistortionPractice.MostExtrapolatedDb; at += Step)
        {
            double a = Law(at), b = Law(at + Step);
            if (a <= 0 && b > 0)
            {
                var level = at + (Step * a / (a - b));
                var row = Row(level - middle, terms);
                double variance = 0;
                for (var i = 0; i < terms; i++)
                {
                    for (var j = 0; j < terms; j++)
                    {
                        variance += row[i] * row[j] * covariance[i, j];
                    }
                }

                return new ThirdHarmonicFit(level, 2 * Math.Sqrt(variance) * Step / (b - a), 0, Math.Max(0, Math.Max(low - level, level - high)));
            }
        }

        return default;
    }

    private static double[] Row(double db, int terms)
    {
        var square = Math.Exp(Ln * db) - 1;
        return [.. Enumerable.Range(0, terms).Select(i => Math.Pow(square, i))];
    }

    private static double Dot(double[] a, double[] b) => a.Zip(b, (x, y) => x * y).Sum();

    // Normal equations by elimination: three unknowns at most.
    private static (double[] Solution, double[,] Inverse) LeastSquares(double[][] rows, double[] values, double[] weights)
    {
        var n = rows[0].Length;
        var m = new double[n, (2 * n) + 1];
        for (var r = 0; r < rows.Length; r++)
        {
            for (var i = 0; i < n; i++)
            {
                for (var j = 0; j < n; j++)
                {
                    m[i, j] += weights[r] * rows[r][i] * rows[r][j];
                }

                m[i, 2 * n] += weights[r] * rows[r][i] * values[r];
            }
        }

        for (var i = 0; i < n; i++)
        {
            m[i, i] *= 1 + 1e-12;
            m[i, n + i] = 1;
        }

        for (var i = 0; i < n; i++)
        {
            var pivot = Math.Abs(m[i, i]) < 1e-300 ? 1e-300 : m[i, i];
            for (var k = 0; k <= 2 * n; k++)
            {
                m[i, k] /= pivot;
            }

            for (var r = 0; r < n; r++)
            {
                var factor = m[r, i];
                for (var k = 0; k <= 2 * n && r != i; k++)
                {
                    m[r, k] -= factor * m[i, k];
                }
            }
        }

        var inverse = new double[n, n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j < n; j++)
            {
                inverse[i, j] = m[i, n + j];
            }
        }

        return ([.. Enumerable.Range(0, n).Select(i => m[i, 2 * n])], inverse);
    }
}
