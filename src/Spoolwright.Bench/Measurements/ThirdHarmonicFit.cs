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
    private static readonly (double Below, double Above)[] Windows = [(3, Above), (5, Above), (8, Above), (8, 2.5), (12, 4)];
    internal const double Above = 1.5;
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

    private const int MostPoints = 150;

    // Levels nearer to each other are the same.
    private const double SameDb = 0.05;

    // What the curve is made of: a line in dB and powers of the square (or a polynomial in dB), as many terms as there are numbers.
    private enum Law
    {
        Squares,
        Powers,
    }

    /// <summary>Fits, and looks for the share.</summary>
    /// <param name="points">Third harmonic at each level played.</param>
    /// <param name="share">The share looked for.</param>
    /// <param name="wander">How strongly the tape's level wanders.</param>
    public static ThirdHarmonicFit Of(IReadOnlyList<ThirdHarmonicPoint> points, double share, LevelWander wander)
    {
        var clear = points.Where(p => p.Ratio > 0 && p.Noise < 2 * MostScatter * p.Ratio).ToArray();
        ThirdHarmonicPoint[] Within((double Below, double Above) w) =>
            [.. clear.Where(p => p.Ratio > share / w.Below && p.Ratio < share * w.Above)];
        var tried = Windows.Select(Within).ToArray();
        var near = tried.FirstOrDefault(w => Levels(w) >= EnoughLevels) ?? tried.FirstOrDefault(w => Levels(w) >= FewLevels) ?? tried[^1];
        if (Levels(near) < FewLevels)
        {
            return OfFew(near, share, wander);
        }

        var best = Solve(near, share, Law.Squares, 4, wander);
        if (best.LevelDb is not { } level || best.BeyondDb > BeyondFrom)
        {
            var far = clear.Where(p => p.Ratio > share / BeyondWindow).ToArray();
            var beyond = Solve(Levels(far) >= FewLevels ? far : near, share, Law.Squares, 3, wander);
            return beyond with { MethodDb = BeyondMethodDb + (BeyondMethodPerDb * beyond.BeyondDb) };
        }

        // Another law of as many numbers through the same points has nearly the same noise in it: what it says otherwise shows how much
        // hangs on the law.
        var other = Solve(near, share, Law.Powers, 4, wander);
        return best with { MethodDb = Math.Abs((other.LevelDb ?? (level + 1)) - level) };
    }

    // A level played twice is one.
    private static int Levels(ThirdHarmonicPoint[] points) =>
        points.Select(p => Math.Round(p.LevelDb / SameDb)).Distinct().Count();

    private static ThirdHarmonicFit OfFew(ThirdHarmonicPoint[] points, double share, LevelWander wander)
    {
        if (points.Length == 0)
        {
            return default;
        }

        var levels = Levels(points);
        var fit = Solve(points, share, Law.Squares, levels, wander);
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

    private static ThirdHarmonicFit Solve(ThirdHarmonicPoint[] points, double share, Law law, int terms, LevelWander wander)
    {
        // Each with each other one: of many ramps in one capture as many as can be held so, evenly.
        var every = (points.Length + MostPoints - 1) / MostPoints;
        ThirdHarmonicPoint[] held = [.. points.Where((_, i) => i % every == 0)];
        return new ThirdHarmonicCurve(held, share, db => Row(db, law, terms), terms, wander).Solve();
    }

    private static double[] Row(double db, Law law, int terms)
    {
        var square = Math.Exp(Ln * db) - 1;
        return [.. Enumerable.Range(0, terms).Select(i => law == Law.Powers || i < 2 ? Math.Pow(db / 3, i) : Math.Pow(square, i - 1))];
    }
}
