namespace Spoolwright.Bench.Measurements;

/// <summary>Where a capture tells of its tape's wander: in steps, each about one height; in a ramp that rises or falls steadily, as a
/// program's does, all of it; else in short parts near the moment asked for.</summary>
internal static class WanderStretches
{
    // Pieces farther apart do not touch: between them the level jumped or the tone paused. Steps: so much of the rise lies between runs.
    private const double Touching = 1.3;
    private const int LeastPieces = 4;
    private const double StepsShare = 0.7;
    private const int LeastSteps = 3;
    private const int StepPieces = 60;

    // A ramp: of so many pieces and decibels; made of no more pieces, so that a long one costs no more; those nearest to the moment asked
    // for. What scatters more about its course is no ramp.
    private const int LeastRamp = 20;
    private const double LeastRampDb = 5;
    private const int RampPieces = 90;
    private const int MostRamps = 2;
    private const double MostUnsteadyDb = 0.5;

    // Short parts: from so far under the level asked for on, about a second each.
    private const double NearDb = 6;
    private const int NearPieces = 20;
    private const int NearDegree = 4;
    private const int PiecesPerDegree = 5;
    private const int MostNear = 10;

    // A part that leaves so many times the usual squares holds a kink (a hand stops, a splice): it says nothing of the rest.
    private const double Kink = 10;
    private const int EnoughParts = 3;

    /// <summary>All of them; none where there are too few pieces.</summary>
    /// <param name="points">Pieces of one length, in time.</param>
    /// <param name="pieces">What they have in common.</param>
    /// <param name="around">The moment asked for, s.</param>
    /// <param name="levelDb">The tone's level then, dB.</param>
    /// <param name="mostThird">Third harmonic above which the level bends too much, as a ratio.</param>
    public static IReadOnlyList<WanderStretch> Of(
        IReadOnlyList<LevelPoint> points,
        WanderingLevel.Pieces pieces,
        double around,
        double levelDb,
        double mostThird
    )
    {
        var runs = Runs(points, pieces);
        double Away(LevelPoint[] part) => part.Min(p => Math.Abs(p.Seconds - around));
        bool IsClear(LevelPoint p) => p.Figures.Ratio(3, 3).Value < mostThird;
        if (runs.Count >= LeastSteps && runs.Sum(r => Math.Abs(r[^1].LevelDb - r[0].LevelDb)) < (1 - StepsShare) * Jumps(runs))
        {
            return [.. runs.SelectMany(r => Parts(r, StepPieces)).OrderBy(Away).Take(MostNear).Select(p => WanderStretch.Of(p, 0))];
        }

        WanderStretch[] ramps =
        [
            .. runs.SelectMany(Slopes)
                .SelectMany(r => Within(r, IsClear))
                .Where(p => p.Length >= LeastRamp && Math.Abs(p[^1].LevelDb - p[0].LevelDb) >= LeastRampDb)
                .OrderBy(Away)
                .Select(p => WanderStretch.Ramp(p, (p.Length + RampPieces - 1) / RampPieces))
                .Where(s => s.Plain() < MostUnsteadyDb * MostUnsteadyDb)
                .Take(MostRamps),
        ];
        if (ramps.Length > 0)
        {
            return ramps;
        }

        WanderStretch[] parts =
        [
            .. runs.SelectMany(r => Within(r, p => p.LevelDb >= levelDb - NearDb && IsClear(p)))
                .SelectMany(r => Parts(r, NearPieces))
                .OrderBy(Away)
                .Take(MostNear)
                .Select(p => WanderStretch.Of(p, Math.Min(NearDegree, p.Length / PiecesPerDegree))),
        ];
        double[] plain = [.. parts.Select(p => p.Plain())];
        var usual = plain.Length < EnoughParts ? double.PositiveInfinity : plain.Order().ElementAt((plain.Length - 1) / 2);
        return [.. parts.Where((_, i) => plain[i] <= Kink * usual)];
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

    // A run up to its highest piece, and what comes after it.
    private static IEnumerable<LevelPoint[]> Slopes(LevelPoint[] run)
    {
        var top = Array.IndexOf(run, run.MaxBy(p => p.LevelDb)!);
        return [run[..(top + 1)], run[(top + 1)..]];
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
