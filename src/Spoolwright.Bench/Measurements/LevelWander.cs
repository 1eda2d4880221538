namespace Spoolwright.Bench.Measurements;

/// <summary>
/// How strongly a tape's level wanders, as a tone's level in time tells: stretches of it are each laid through a short polynomial, and what
/// they leave is hiss and wander. The wander is a sum of fading parts with corners an octave apart, from the capture's own length on, as
/// strong in every octave or falling with frequency: each answer on a grid is weighed by its likelihood, the polynomials' numbers left free
/// (restricted likelihood, the textbook's). A level that a hand moves looks as if it wandered; so what it says is not believed altogether.
/// </summary>
internal sealed class LevelWander
{
    // Near the moment asked for the tape is about to saturate: a second at a time, and the rest of a long capture says no more.
    private const int NearPieces = 20;
    private const int NearDegree = 4;
    private const int MostNear = 10;

    // So far under the level asked for it runs with the input: all of it in one, so that slow swings are seen too.
    private const double LowDownDb = 6;
    private const int LowPieces = 60;
    private const int LeastLow = 10;
    private const int MostLow = 2;

    private const int LeastPieces = 4;
    private const int PiecesPerDegree = 5;

    // Pieces farther apart do not touch: between them the level jumped or the tone paused. Steps: so much of the rise lies between runs.
    private const double Touching = 1.3;
    private const double StepsShare = 0.7;
    private const int LeastSteps = 3;

    // Variance of the wander over that of hiss in a piece.
    private static readonly double[] Strengths = [.. Enumerable.Range(0, 17).Select(k => Math.Pow(10, -1.5 + (0.5 * k)))];

    // Kinds of wander: as strong in every octave up to what the pieces hold; falling with frequency as its inverse; as strong in every
    // octave up to an end; and from there on swings or drops about as long as a corner says, one kind for each corner but the slowest,
    // which is seen too little of. The first is a tape's usual one; all others together have this share beforehand.
    private const int Even = 0;
    private const int Falling = 1;
    private const int Ending = 2;
    private static readonly double[] EndsHz = [5, 2];
    private const int Swinging = 4;
    private const double OthersShare = 0.5;

    // As for saturation (WanderingLevel): what is faster than the pieces has little left in their means; what stands beside the tone tells
    // of the hiss as so many pieces would; none counts beforehand so many times any other.
    private const double HighestCorner = 0.6;
    private const double HissFreedom = 20;
    private const double OddsOfNone = 8;

    // What flutter leaves of a tone's level as the tracker has it, dB (0.0005 in the mean of 500 captures of a cube): no wander.
    private const double LeastHissDb = 5e-4;

    // Swings of so many a second and slower; places in a piece.
    private const double FastestSwingHz = 2;
    private const int Places = 4;

    // A part that leaves so many times the usual squares holds a kink (a hand stops, a splice): it says nothing of the rest.
    private const double Kink = 10;
    private const int EnoughParts = 3;

    private readonly double[] _corners;

    private LevelWander(IReadOnlyList<Strength> known, double[] corners)
    {
        (Known, _corners) = (known, corners);
    }

    /// <summary>One answer.</summary>
    /// <param name="Weight">Share of all, their sum 1.</param>
    /// <param name="Kind">Which kind of wander.</param>
    /// <param name="Db2">Variance in an octave, in the mean of all, or of the swings, dB².</param>
    /// <param name="Freedom">Degrees of freedom that it is known by.</param>
    public readonly record struct Strength(double Weight, int Kind, double Db2, double Freedom);

    /// <summary>None at all.</summary>
    public static LevelWander None { get; } = new([new Strength(1, 0, 0, double.PositiveInfinity)], []);

    /// <summary>The first so many kinds hold all frequencies.</summary>
    public const int Usual = 2;

    /// <summary>What the level in time says.</summary>
    public IReadOnlyList<Strength> Known { get; }

    /// <summary>How many kinds there are, numbered from 0; none where there is nothing to know the wander by.</summary>
    public int Kinds => KindsOf(_corners);

    /// <summary>By a tone's level in time.</summary>
    /// <param name="points">Pieces of one length, in time.</param>
    /// <param name="pieces">What they have in common.</param>
    /// <param name="around">The moment asked for, s.</param>
    /// <param name="levelDb">The tone's level then, dB.</param>
    /// <param name="mostThird">Third harmonic above which the level bends too much for a short polynomial, as a ratio.</param>
    public static LevelWander Of(
        IReadOnlyList<LevelPoint> points,
        WanderingLevel.Pieces pieces,
        double around,
        double levelDb,
        double mostThird
    )
    {
        var stretches = Stretches(points, pieces, around, levelDb, mostThird);
        if (stretches.Count == 0)
        {
            return None;
        }

        double[] corners = [.. Corners(pieces)];
        var top = points.Max(p => p.LevelDb);
        var answers = new List<(double Log, Strength Strength)>();
        for (var kind = 0; kind < KindsOf(corners); kind++)
        {
            double[][] wanders = [.. stretches.Select(s => Covariance(s.Means, corners, kind))];
            foreach (var strength in kind == Even ? [0, .. Strengths] : Strengths)
            {
                double squares = HissFreedom * Math.Pow(double.Hypot(pieces.HissDb, LeastHissDb), 2), logs = 0, freedom = HissFreedom;
                foreach (var (s, wander) in stretches.Zip(wanders))
                {
                    var (own, log) = s.Left(top, pieces.Likeness, strength, wander);
                    (squares, logs, freedom) = (squares + own, logs + log, freedom + s.Freedom);
                }

                var ofKind = kind == Even ? 1 - OthersShare : OthersShare / (KindsOf(corners) - 1);
                var prior = strength == 0 ? OddsOfNone * Strengths.Length : ofKind;
                answers.Add(
                    (
                        Math.Log(prior) - (0.5 * (logs + (freedom * Math.Log(squares)))),
                        new Strength(0, kind, strength * squares / freedom, freedom)
                    )
                );
            }
        }

        var best = answers.Max(a => a.Log);
        var sum = answers.Sum(a => Math.Exp(a.Log - best));
        return new LevelWander([.. answers.Select(a => a.Strength with { Weight = Math.Exp(a.Log - best) / sum })], corners);
    }

    /// <summary>Covariance of the wander's means over stretches of time that do not overlap, row by row, where its variance (see
    /// <see cref="Strength"/>) is 1.</summary>
    /// <param name="means">Middles and lengths, s.</param>
    /// <param name="kind">Which kind.</param>
    public double[] Covariance(IReadOnlyList<(double Seconds, double Length)> means, int kind) =>
        Covariance(means, _corners, kind);

    private static int KindsOf(double[] corners) =>
        corners.Length == 0 ? 0 : Swinging + Math.Max(0, corners.Count(hz => hz < FastestSwingHz) - 1);

    private static double[] Covariance(IReadOnlyList<(double Seconds, double Length)> means, double[] corners, int kind)
    {
        if (kind >= Swinging)
        {
            return Swings(means, corners[kind - Swinging + 1]);
        }

        var end = kind >= Ending ? EndsHz[kind - Ending] : double.PositiveInfinity;
        double[] within = [.. corners.Where((hz, i) => i == 0 || hz < end)];
        return Fading(means, within, [.. within.Select(hz => kind == Falling ? 1 / hz : 1)]);
    }

    // Slow swings and drops: alike within them, by a bell of a width as the corner's; each piece by places in it.
    private static double[] Swings(IReadOnlyList<(double Seconds, double Length)> means, double hz)
    {
        var (n, rate) = (means.Count, 2 * Math.PI * hz);
        var covariance = new double[n * n];
        double[][] places =
        [
            .. means.Select(m => Enumerable.Range(0, Places).Select(k => m.Seconds + (m.Length * (((k + 0.5) / Places) - 0.5))).ToArray()),
        ];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                double sum = 0;
                foreach (var a in places[i])
                {
                    foreach (var b in places[j])
                    {
                        sum += Math.Exp(-0.5 * rate * rate * (a - b) * (a - b));
                    }
                }

                covariance[(i * n) + j] = sum / (Places * Places);
            }
        }

        return covariance;
    }

    // Fading parts with such corners: their means in closed form.
    private static double[] Fading(IReadOnlyList<(double Seconds, double Length)> means, double[] corners, double[] plain)
    {
        double[] shares = [.. plain.Select(s => s * corners.Length / plain.Sum())];
        var n = means.Count;
        var covariance = new double[n * n];
        for (var c = 0; c < corners.Length; c++)
        {
            var rate = 2 * Math.PI * corners[c];
            double[] x = [.. means.Select(m => rate * m.Length)], end = [.. x.Select(v => (1 - Math.Exp(-v)) / v)];
            for (var i = 0; i < n; i++)
            {
                for (var j = 0; j < i; j++)
                {
                    var gap = Math.Max(0, (rate * Math.Abs(means[i].Seconds - means[j].Seconds)) - (0.5 * (x[i] + x[j])));
                    covariance[(i * n) + j] += shares[c] * end[i] * end[j] * Math.Exp(-gap);
                }

                covariance[(i * n) + i] += shares[c] * 2 / (x[i] * x[i]) * (x[i] - 1 + Math.Exp(-x[i]));
            }
        }

        return covariance;
    }

    private static IEnumerable<double> Corners(WanderingLevel.Pieces pieces)
    {
        for (var hz = 1 / pieces.CaptureSeconds; hz < HighestCorner / pieces.Seconds; hz *= 2)
        {
            yield return hz;
        }
    }

    private static List<WanderStretch> Stretches(
        IReadOnlyList<LevelPoint> points,
        WanderingLevel.Pieces pieces,
        double around,
        double levelDb,
        double mostThird
    )
    {
        var runs = Runs(points, pieces);
        double Away(LevelPoint[] part) => part.Min(p => Math.Abs(p.Seconds - around));
        if (runs.Count >= LeastSteps && runs.Sum(r => Math.Abs(r[^1].LevelDb - r[0].LevelDb)) < (1 - StepsShare) * Jumps(runs))
        {
            return
            [
                .. runs.SelectMany(r => Parts(r, LowPieces)).OrderBy(Away).Take(MostNear).Select(p => WanderStretch.Of(p, 0)),
            ];
        }

        LevelPoint[][] low = [.. runs.SelectMany(r => Within(r, p => p.LevelDb < levelDb - LowDownDb))];
        bool IsNear(LevelPoint p) => p.LevelDb >= levelDb - LowDownDb && p.Figures.Ratio(3, 3).Value < mostThird;
        LevelPoint[][] near = [.. runs.SelectMany(r => Within(r, IsNear))];
        WanderStretch[] parts =
        [
            .. near.SelectMany(r => Parts(r, NearPieces))
                .OrderBy(Away)
                .Take(MostNear)
                .Select(p => WanderStretch.Of(p, Math.Min(NearDegree, p.Length / PiecesPerDegree))),
        ];
        double[] plain = [.. parts.Select(p => p.Plain())];
        var usual = plain.Length < EnoughParts ? double.PositiveInfinity : plain.Order().ElementAt((plain.Length - 1) / 2);
        return
        [
            .. parts.Where((_, i) => plain[i] <= Kink * usual),
            .. low.Where(p => p.Length >= LeastLow)
                .OrderBy(Away)
                .Take(MostLow)
                .Select(p => WanderStretch.Low(p, (p.Length + LowPieces - 1) / LowPieces)),
        ];
    }

    private static double Jumps(List<LevelPoint[]> runs) => runs.Zip(runs.Skip(1), (a, b) => Math.Abs(b[0].LevelDb - a[^1].LevelDb)).Sum();

    // Neighbours that touch; the first and last of them may hold something of a jump.
    private static List<LevelPoint[]> Runs(IReadOnlyList<LevelPoint> points, WanderingLevel.Pieces pieces)
    {
        var runs = new List<LevelPoint[]>();
        for (var from = 0; from < points.Count;)
        {
            var to = from + 1;
            while (to < points.Count && points[to].Seconds - points[to - 1].Seconds < Touching * pieces.Seconds)
            {
                to++;
            }

            if (to - from - 2 >= LeastPieces)
            {
                runs.Add([.. points.Skip(from + 1).Take(to - from - 2)]);
            }

            from = to;
        }

        return runs;
    }

    // Parts of a run that hold a condition throughout, but for single pieces.
    private static IEnumerable<LevelPoint[]> Within(LevelPoint[] run, Func<LevelPoint, bool> holds)
    {
        for (var from = 0; from < run.Length;)
        {
            var to = from;
            while (to < run.Length && holds(run[to]))
            {
                to++;
            }

            if (to - from >= LeastPieces)
            {
                yield return run[from..to];
            }

            from = to + 1;
        }
    }

    private static IEnumerable<LevelPoint[]> Parts(LevelPoint[] run, int most)
    {
        var count = (run.Length + most - 1) / most;
        return Enumerable
            .Range(0, count)
            .Select(i => run[(i * run.Length / count)..((i + 1) * run.Length / count)])
            .Where(part => part.Length >= LeastPieces);
    }
}
