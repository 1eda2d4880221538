namespace Spoolwright.Bench.Measurements;

/// <summary>
/// How strongly a tape's level wanders, as a tone's level in time tells: stretches of it are each laid through a course, and what they
/// leave is hiss and wander. Each strength on a grid of each kind of wander is weighed by its likelihood, the courses' numbers left free
/// (restricted likelihood, the textbook's). A level that a hand moves looks as if it wandered; so what it says is not believed altogether.
/// </summary>
internal sealed class LevelWander
{
    // Variance of the wander over that of hiss in a piece.
    private static readonly double[] Strengths = [.. Enumerable.Range(0, 17).Select(k => Math.Pow(10, -1.5 + (0.5 * k)))];

    // As for saturation (WanderingLevel): what stands beside the tone tells of the hiss as so many pieces would; none counts beforehand so
    // many times any other.
    private const double HissFreedom = 20;
    private const double OddsOfNone = 8;

    // What flutter leaves of a tone's level as the tracker has it, dB (0.0005 in the mean of 500 captures of a cube): no wander.
    private const double LeastHissDb = 5e-4;

    private LevelWander(IReadOnlyList<Strength> known, WanderKinds kinds) => (Known, Kinds) = (known, kinds);

    /// <summary>One answer.</summary>
    /// <param name="Weight">Share of all, their sum 1.</param>
    /// <param name="Kind">Which kind of wander.</param>
    /// <param name="Db2">Variance in an octave, in the mean of all, or of the swings, dB².</param>
    /// <param name="Freedom">Degrees of freedom that it is known by.</param>
    public readonly record struct Strength(double Weight, int Kind, double Db2, double Freedom);

    /// <summary>None at all.</summary>
    public static LevelWander None { get; } = new([new Strength(1, 0, 0, double.PositiveInfinity)], WanderKinds.None);

    /// <summary>What the level in time says.</summary>
    public IReadOnlyList<Strength> Known { get; }

    /// <summary>The kinds that were weighed; none where there is nothing to know the wander by.</summary>
    public WanderKinds Kinds { get; }

    /// <summary>By a tone's level in time.</summary>
    /// <param name="points">Pieces of one length, in time.</param>
    /// <param name="pieces">What they have in common.</param>
    /// <param name="around">The moment asked for, s.</param>
    /// <param name="levelDb">The tone's level then, dB.</param>
    /// <param name="mostThird">Third harmonic above which the level bends too much, as a ratio.</param>
    public static LevelWander Of(
        IReadOnlyList<LevelPoint> points,
        WanderingLevel.Pieces pieces,
        double around,
        double levelDb,
        double mostThird
    )
    {
        var stretches = WanderStretches.Of(points, pieces, around, levelDb, mostThird);
        if (stretches.Count == 0)
        {
            return None;
        }

        var kinds = WanderKinds.Of(pieces);
        var (top, hiss) = (points.Max(p => p.LevelDb), double.Hypot(pieces.HissDb, LeastHissDb));
        var answers = new List<(double Log, Strength Strength)>();
        for (var kind = 0; kind < kinds.Count; kind++)
        {
            double[][] wanders = [.. stretches.Select(s => kinds.Covariance(s.Means, kind))];
            foreach (var strength in kind == 0 ? [0, .. Strengths] : Strengths)
            {
                double squares = HissFreedom * hiss * hiss, logs = 0, freedom = HissFreedom;
                foreach (var (s, wander) in stretches.Zip(wanders))
                {
                    var (own, log) = s.Left(top, pieces.Likeness, strength, wander, hiss);
                    (squares, logs, freedom) = (squares + own, logs + log, freedom + s.Freedom);
                }

                var prior = strength == 0 ? OddsOfNone * Strengths.Length : kinds.Prior(kind);
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
        return new LevelWander([.. answers.Select(a => a.Strength with { Weight = Math.Exp(a.Log - best) / sum })], kinds);
    }
}
