using Spoolwright.Bench.Standards;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The level at which the third harmonic reaches a share of the total, from a curve laid through third harmonic against level near that
/// share alone: ln k is a constant, a line in dB and powers of the square of the amplitude. What law the tape has elsewhere then hardly
/// matters (computed on twelve laws: cubes, quintics of either sign, hyperbolas from soft to hard, tanh, arctan, Langevin's; all but one
/// within 0.001 dB in a ramp that passes the share). Beyond the levels played nothing holds the law.
/// </summary>
/// <param name="LevelDb">The level, dB re full scale; null: not reached.</param>
/// <param name="NoiseDb">Uncertainty by the scatter about the law, k = 2, dB.</param>
/// <param name="MethodDb">Uncertainty by the choice of the law, k = 2, dB.</param>
/// <param name="BeyondDb">How far beyond the levels played it lies, dB; 0 within them.</param>
internal readonly record struct ThirdHarmonicFit(double? LevelDb, double NoiseDb, double MethodDb, double BeyondDb)
{
    private const double MostScatter = 0.25;
    private static readonly double Ln = Math.Log(10) / 10;

    // Shares that the curve goes through, as so many parts below and so many times above the one sought: the first that hold enough levels.
    // Above it a tape is about to saturate: there the curve bends most, and points weigh most.
    private static readonly (double Below, double Above)[] Windows = [(3, 1.5), (5, 1.5), (8, 1.5), (8, 2.5), (12, 4)];
    private const int EnoughLevels = 6;
    private const int FewLevels = 4;

    // Beyond the last level three numbers are all that it tells; they are off by 0.005 dB there and by 0.013 dB one decibel further (rms
    // over the twelve laws).
    private const double BeyondFrom = 0.05;
    private const double BeyondWindow = 4;
    private const double BeyondMethodDb = 0.01;
    private const double BeyondMethodPerDb = 0.02;

    // With three levels or fewer: what the law may be off, by how far the points lie from the share and from each other.
    private const double ThreeLevelsDb = 0.02;
    private const double TwoLevelsShare = 0.1;
    private const double OneLevelShare = 0.5;

    // Levels nearer to each other are the same.
    private const double SameDb = 0.05;

    // Over which the curve's slope is taken, dB.
    private const double SlopeDb = 0.05;

    // What the curve is made of: a line in dB and powers of the square (or a polynomial in dB), as many terms as there are numbers.
    private enum Law
    {
        Squares,
        Powers,
    }

    /// <summary>Fits, and looks for the share.</summary>
    /// <param name="points">Level in dB, third harmonic as a ratio, its noise (k = 2) as a ratio, and the level's variance within the
    /// point, dB².</param>
    /// <param name="share">The share looked for.</param>
    public static ThirdHarmonicFit Of(IReadOnlyList<(double LevelDb, double Ratio, double Noise, double Moved)> points, double share)
    {
        var clear = points.Where(p => p.Ratio > 0 && p.Noise < 2 * MostScatter * p.Ratio).ToArray();
        (double LevelDb, double Ratio, double Noise, double Moved)[] Within((double Below, double Above) w) =>
            [.. clear.Where(p => p.Ratio > share / w.Below && p.Ratio < share * w.Above)];
        var tried = Windows.Select(Within).ToArray();
        var near = tried.FirstOrDefault(w => Levels(w) >= EnoughLevels) ?? tried.FirstOrDefault(w => Levels(w) >= FewLevels) ?? tried[^1];
        if (Levels(near) < FewLevels)
        {
            return OfFew(near, share);
        }

        var best = Solve(near, share, Law.Squares, 4);
        if (best.LevelDb is not { } level || best.BeyondDb > BeyondFrom)
        {
            var far = clear.Where(p => p.Ratio > share / BeyondWindow).ToArray();
            var beyond = Solve(Levels(far) >= FewLevels ? far : near, share, Law.Squares, 3);
            return beyond with { MethodDb = BeyondMethodDb + (BeyondMethodPerDb * beyond.BeyondDb) };
        }

        // Another law of as many numbers through the same points has nearly the same noise in it: what it says otherwise shows how much
        // hangs on the law.
        var other = Solve(near, share, Law.Powers, 4);
        return best with { MethodDb = Math.Abs((other.LevelDb ?? (level + 1)) - level) };
    }

    // A level played twice is one.
    private static int Levels((double LevelDb, double Ratio, double Noise, double Moved)[] points) =>
        points.Select(p => Math.Round(p.LevelDb / SameDb)).Distinct().Count();

    private static ThirdHarmonicFit OfFew((double LevelDb, double Ratio, double Noise, double Moved)[] points, double share)
    {
        if (points.Length == 0)
        {
            return default;
        }

        var levels = Levels(points);
        var fit = Solve(points, share, Law.Squares, levels);
        if (fit.LevelDb is not { } level)
        {
            return default;
        }

        var method = levels switch
        {
            3 => ThreeLevelsDb,
            2 => TwoLevelsShare * (points.Max(p => p.LevelDb) - points.Min(p => p.LevelDb)),
            _ => 0,
        };
        return fit with { MethodDb = method + (OneLevelShare * (levels == 1 ? Math.Abs(level - points[0].LevelDb) : fit.BeyondDb)) };
    }

    private static ThirdHarmonicFit Solve(
        (double LevelDb, double Ratio, double Noise, double Moved)[] points,
        double share,
        Law law,
        int terms
    )
    {
        var middle = points.MinBy(p => Math.Abs(Math.Log(p.Ratio / share))).LevelDb;
        var own = points.Select(p => Math.Pow(p.Noise / (2 * p.Ratio), 2)).ToArray();
        var even = EvenRows.Of([.. points.Select(p => Row(p.LevelDb - middle, law, terms))]);
        double[] At(double db) => even.Of(Row(db - middle, law, terms));
        var rows = points.Select(p => At(p.LevelDb)).ToArray();

        // One level alone says nothing of the slope: at low level the share goes with the square of the amplitude.
        double Known(double db) => terms == 1 ? Ln * (db - middle) : 0;
        var values = points.Select(p => Math.Log(p.Ratio) - Known(p.LevelDb)).ToArray();

        // What the points scatter beyond their own noise is whatever leaves the weighted squares at their degrees of freedom (Paule and
        // Mandel's rule): points of little noise take most of the freedom, so plain squares would find scatter where there is none.
        double[] c = [];
        double[,] covariance = new double[terms, terms];
        double Squares(double extra)
        {
            (c, covariance) = LeastSquares(rows, values, [.. own.Select(v => 1 / (v + extra + 1e-12))]);
            return rows.Select((r, i) => Math.Pow(values[i] - Dot(r, c), 2) / (own[i] + extra + 1e-12)).Sum();
        }

        // Where the level moves within a point its mean share is that of a higher level: of a power s + 1 of the amplitude by s·(s + 1)/2
        // of the variance.
        Squares(0);
        for (var i = 0; i < points.Length; i++)
        {
            var s =
                ((Dot(At(points[i].LevelDb + SlopeDb), c) - Dot(At(points[i].LevelDb - SlopeDb), c)) / (SlopeDb * Ln))
                + (terms == 1 ? 2 : 0);
            values[i] -= 0.5 * s * (s + 1) * points[i].Moved * Ln * Ln / 4;
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

        double Over(double db) => Dot(At(db), c) + Known(db) - Math.Log(share);
        double low = points.Min(p => p.LevelDb), high = points.Max(p => p.LevelDb);
        const double Step = 0.02;
        ThirdHarmonicFit found = default;
        var nearest = double.MaxValue;
        double a = Over(low - DistortionPractice.MostExtrapolatedDb);
        for (var at = low - DistortionPractice.MostExtrapolatedDb; at < high + DistortionPractice.MostExtrapolatedDb; at += Step)
        {
            var b = Over(at + Step);

            // Far from the points a curve may cross once more: the crossing nearest to where they show it counts.
            if (a <= 0 && b > 0 && Math.Abs(at - middle) < nearest)
            {
                var level = at + (Step * a / (a - b));
                var row = At(level);
                double variance = 0;
                for (var i = 0; i < terms; i++)
                {
                    for (var j = 0; j < terms; j++)
                    {
                        variance += row[i] * row[j] * covariance[i, j];
                    }
                }

                nearest = Math.Abs(at - middle);
                found = new ThirdHarmonicFit(
                    level,
                    2 * Math.Sqrt(variance) * Step / (b - a),
                    0,
                    Math.Max(0, Math.Max(low - level, level - high))
                );
            }

            a = b;
        }

        return found;
    }

    private static double[] Row(double db, Law law, int terms)
    {
        var square = Math.Exp(Ln * db) - 1;
        return [.. Enumerable.Range(0, terms).Select(i => law == Law.Powers || i < 2 ? Math.Pow(db / 3, i) : Math.Pow(square, i - 1))];
    }

    private static double Dot(double[] a, double[] b) => a.Zip(b, (x, y) => x * y).Sum();

    // Normal equations by elimination: four unknowns at most.
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
