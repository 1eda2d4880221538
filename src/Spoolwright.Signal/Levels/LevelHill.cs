namespace Spoolwright.Signal.Levels;

/// <summary>
/// A level's course over a hill, climbed by a hand at its own pace: the peak, and how far under it the course ends. Any
/// smooth top is peak − s² for a way s that passes through 0 as smoothly as the hand does; so the hand's unevenness, its
/// rests and what the hill's own lean leaves are all of one kind, learned from the flanks, where they stand out of the noise. The
/// noise is white with a part as strong in every octave. How rough the hand, how strong the slow noise, how long the control
/// was held at the end, and how often the top was passed is not known: each answer is weighed by its likelihood, and what
/// they differ by is part of the uncertainty. Nothing is chosen by a threshold.
/// </summary>
/// <param name="PeakDb">The peak.</param>
/// <param name="NoiseDb">k = 2, of the noise on the course.</param>
/// <param name="MethodDb">k = 2, of what hand and noise leave open.</param>
/// <param name="DropDb">How far under the peak the course ends.</param>
/// <param name="DropNoiseDb">k = 2, of the noise on the course, the peak's with it.</param>
/// <param name="DropMethodDb">k = 2, of what hand and noise leave open.</param>
/// <param name="SlowDb">Rms of the slow noise in an octave, dB; 0 where none shows.</param>
public readonly record struct LevelHill(
    double PeakDb, double NoiseDb, double MethodDb, double DropDb, double DropNoiseDb, double DropMethodDb, double SlowDb)
{
    /// <summary>Logarithm of how much likelier the course is over a hill than as the level's own wander about one height.</summary>
    public double LogOdds { get; init; }

    // At most so many points: coarser ones show a hand as well. At least a fifth of a second each, over which points' likeness is gone.
    private const int MostPoints = 240;
    private const int LeastPoints = 24;
    private const int LeastSpan = 4;

    // A hand's deviation from its mean pace fades within some seconds; its rms is one of these shares of the pace, evenly in their
    // logarithm from rests down to none that anyone could see. Each is as likely beforehand as its neighbours; the last stands for
    // one a third of it, too, which no course tells from it.
    private const double FadeSeconds = 3;
    private static readonly (double OfPace, int Counts)[] Unevennesses = [(1, 1), (0.35, 1), (0.12, 1), (0.04, 1), (0.012, 2)];

    // By how much of the pace the way goes faster or slower for each root of a decibel further up, rms: the hill leans, the
    // control's own law with it. Output over bias as xⁿ·exp(−n(x−1)) makes 1/(3·√(4.34·n)): 0.09 to 0.04 for n of 3 to 20.
    private const double Lean = 0.06;

    // Strength of the slow noise in an octave, as variance; beforehand each counts by its root, for an rms is as likely as any
    // other. That there is none counts this many times all of them: a share too small to see is taken for none.
    private static readonly double[] Slows = [0, 0.09, 0.2, 0.45, 1, 2.2, 5];
    private const double OddsOfNone = 4;

    // How long the control was held before the capture's end, s; not at all counts beforehand as much as all others.
    private static readonly double[] Held = [0, 1, 1.5, 2, 2.5, 3, 4, 5, 6.5, 8];

    // The slow noise's strength is over white noise in points of this length, s.
    private const double UnitSeconds = 0.4;

    /// <summary>What lies further under the top, dB, is left out: nobody sets bias there; a control thrown about goes no hand's
    /// way.</summary>
    public const double LowestDb = 9;

    // How far under the top the course must go so that it passed the top and came back, dB: each answer is tried.
    private static readonly double[] Dips = [0.3, 0.7, 1.5];
    private const double TopDb = 0.2;
    private const double ShoulderDb = 0.4;
    private const double FarthestDb = 1;
    private const double LongestMove = 0.3;

    // What is less likely than the best by this (natural logarithm) has no say.
    private const double Hopeless = 8;

    /// <summary>Fits a course, 20 points a second; null where there is too little of it or nothing fits.</summary>
    /// <param name="level">The course, dB.</param>
    /// <param name="perSecond">Points a second.</param>
    public static LevelHill? Fit(IReadOnlyList<double> level, double perSecond)
    {
        ArgumentNullException.ThrowIfNull(level);
        var span = Math.Max(LeastSpan, (level.Count + MostPoints - 1) / MostPoints);
        var n = level.Count / span;
        if (n < LeastPoints)
        {
            return null;
        }

        var points = new double[n];
        for (int i = 0, from = level.Count - (n * span); i < n; i++)
        {
            for (var k = 0; k < span; k++)
            {
                points[i] += level[from + (i * span) + k] / span;
            }
        }

        var step = span / perSecond;
        var smooth = LevelPeak.Smooth(points, Math.Max(2, (int)Math.Round(0.7 / step)));
        var top = smooth.Max();
        for (var i = 0; i < n; i++)
        {
            (points[i], smooth[i]) = (points[i] - top, smooth[i] - top);
        }

        var answers = new List<(HillWay.Outcome Outcome, double Slow, double Shift)>();
        bool Counts(int i) => points[Math.Max(0, i - 1)..Math.Min(n, i + 2)].All(x => x >= -LowestDb);
        bool[] counts = [.. Enumerable.Range(0, n).Select(Counts)];
        var hill = new HillWay(points, counts, step, QuickNoise.Of(level, counts, span), span);
        foreach (var (start, way) in Ways(smooth))
        {
            Weigh(hill, start, way, step, answers);
        }

        return answers.Count == 0
            ? null
            : Of(answers, top) with { LogOdds = Total(answers.Select(a => a.Outcome.LogLikelihood)) - Flat(hill, n, step) };
    }

    // The same course as the level's own wander about one height: nobody turned. Priors as for the hill; all hands and ends are one.
    private static double Flat(HillWay hill, int points, double step)
    {
        double[] way = new double[points];
        var direction = new sbyte[points];
        return Total(Slows.Select(s => hill.Pass(way, direction, 0, FadeSeconds, 0, s * step / UnitSeconds, 0).LogLikelihood + Prior(s)))
            + Math.Log(Unevennesses.Sum(u => u.Counts) * 2 * (Held.Length - 1));
    }

    // Beforehand, of a strength of the slow noise.
    private static double Prior(double slow) => Math.Log(slow == 0 ? OddsOfNone * Slows.Sum(Math.Sqrt) : Math.Sqrt(slow));

    private static double Total(IEnumerable<double> logs)
    {
        double[] all = [.. logs];
        var most = all.Max();
        return most + Math.Log(all.Sum(l => Math.Exp(l - most)));
    }

    private static void Weigh(
        HillWay hill, double[] start, sbyte[] direction, double step, List<(HillWay.Outcome Outcome, double Slow, double Shift)> answers)
    {
        HillWay.Outcome outcome = default;
        for (var i = 0; i < 6; i++)
        {
            outcome = hill.Pass(start, direction, 3 * step / UnitSeconds, FadeSeconds, 0, 0, 0);
            hill.Better(start, direction, LongestMove);
        }

        var pace = 0.0;
        for (var i = 1; i < start.Length; i++)
        {
            pace += Math.Abs(start[i] - start[i - 1]) / (step * (start.Length - 1));
        }

        // How strong the slow noise is hangs little on how the course ends: what has no weight at the first way to end is not
        // tried at the others.
        var lean = Math.Pow(Lean * pace, 2) / outcome.White;
        var ways = new double[Slows.Length * Unevennesses.Length][];
        var best = new double[Slows.Length];
        Array.Fill(best, double.NegativeInfinity);
        var higher = new double[start.Length];
        foreach (var held in Held)
        {
            var least = best.Max() - Hopeless;
            for (var k = 0; k < ways.Length; k++)
            {
                int of = k / Unevennesses.Length, hand = k % Unevennesses.Length;
                if (held > 0 && best[of] < least)
                {
                    continue;
                }

                var way = held == 0 ? ways[k] = (double[])(hand == 0 ? start : ways[k - 1]).Clone() : ways[k];
                var rough = 2 * FadeSeconds * Math.Pow(Unevennesses[hand].OfPace * pace, 2) / outcome.White;
                var slow = Slows[of] * step / UnitSeconds;
                hill.Pass(way, direction, rough, FadeSeconds, lean, slow, held);
                hill.Better(way, direction, LongestMove);
                var answer = hill.Pass(way, direction, rough, FadeSeconds, lean, slow, held);
                if (!double.IsFinite(answer.LogLikelihood) || Math.Abs(answer.PeakDb) > FarthestDb)
                {
                    continue;
                }

                best[of] = Math.Max(best[of], answer.LogLikelihood);
                var prior = Prior(Slows[of]) + Math.Log(Unevennesses[hand].Counts) + (held == 0 ? Math.Log(Held.Length - 1) : 0);
                hill.Better(way, direction, LongestMove);
                var shift = answer.LogLikelihood < best.Max() - Hopeless ? 0 : Shift(answer);
                answers.Add((answer with { LogLikelihood = answer.LogLikelihood + prior }, slow, shift));

                // The likeliest peak goes with the likeliest way, and lies too high: the higher a peak, the further from
                // it all of the way, and the fewer ways are alike (the determinant of Laplace's approximation). By how
                // much, a peak that is higher by a standard deviation says.
                double Shift(HillWay.Outcome at)
                {
                    way.CopyTo(higher, 0);
                    var sigma = Math.Sqrt(at.PeakVariance);
                    var here = hill.Pass(higher, direction, rough, FadeSeconds, lean, slow, held, at.PeakDb + sigma).LogScale;
                    hill.Better(higher, direction, LongestMove);
                    return -0.5 * sigma * (hill.Pass(higher, direction, rough, FadeSeconds, lean, slow, held, at.PeakDb).LogScale - here);
                }
            }
        }
    }

    private static LevelHill Of(List<(HillWay.Outcome Outcome, double Slow, double Shift)> answers, double top)
    {
        var best = answers.Max(a => a.Outcome.LogLikelihood);
        double weight = 0, peak = 0, drop = 0, slow = 0;
        foreach (var (o, s, shift) in answers)
        {
            var w = Math.Exp(o.LogLikelihood - best);
            weight += w;
            peak += w * (o.PeakDb + shift);
            drop += w * ((o.End * o.End) + shift);
            slow += w * s * o.White;
        }

        (peak, drop, slow) = (peak / weight, drop / weight, slow / weight);
        double within = 0, between = 0, dropWithin = 0, dropBetween = 0;
        var ofPeak = new List<(double Weight, double Off, double Variance)>(answers.Count);
        var ofDrop = new List<(double Weight, double Off, double Variance)>(answers.Count);
        foreach (var (o, _, shift) in answers)
        {
            var w = Math.Exp(o.LogLikelihood - best) / weight;
            ofPeak.Add((w, o.PeakDb + shift - peak, o.PeakVariance));
            ofDrop.Add((w, (o.End * o.End) + shift - drop, (4 * o.End * o.End * o.EndVariance) + (2 * o.EndVariance * o.EndVariance)));
            within += w * o.PeakVariance;
            between += w * Math.Pow(ofPeak[^1].Off, 2);
            dropWithin += w * ofDrop[^1].Variance;
            dropBetween += w * Math.Pow(ofDrop[^1].Off, 2);
        }

        // Answers that differ make no normal distribution: the factor is what holds as much of theirs as 2 does of a normal one.
        var k = NormalMixture.HalfWidth(ofPeak) / Math.Sqrt(within + between);
        var kDrop = NormalMixture.HalfWidth(ofDrop) / Math.Sqrt(dropWithin + dropBetween);
        return new LevelHill(
            peak + top, k * Math.Sqrt(within), k * Math.Sqrt(between),
            drop, kDrop * Math.Sqrt(dropWithin), kDrop * Math.Sqrt(dropBetween), Math.Sqrt(slow));
    }

    // Ways to start from: minus the root of the drop up to the first passing of the top, plus after it, straight over it, and so on.
    private static IEnumerable<(double[] Way, sbyte[] Direction)> Ways(double[] smooth)
    {
        var known = new HashSet<int>();
        foreach (var dip in Dips)
        {
            var passes = Passes(smooth, dip);
            if (!known.Add(passes.Count))
            {
                continue;
            }

            var way = smooth.Select(x => Math.Sqrt(Math.Max(0, -x))).ToArray();
            var sign = -1.0;
            var done = 0;
            foreach (var (first, last) in passes)
            {
                int from = first, to = last;
                while (from > done && smooth[from] > -ShoulderDb)
                {
                    from--;
                }

                while (to < smooth.Length - 1 && smooth[to] > -ShoulderDb)
                {
                    to++;
                }

                for (; done < from; done++)
                {
                    way[done] *= sign;
                }

                double a = sign * Math.Abs(way[from]), b = -sign * way[to];
                for (; done <= to; done++)
                {
                    way[done] = a + ((b - a) * (done - from) / Math.Max(1, to - from));
                }

                sign = -sign;
            }

            for (; done < way.Length; done++)
            {
                way[done] *= sign;
            }

            yield return (way, Directions(smooth, passes));
        }
    }

    // The hand turns back where the level is lowest between two passings.
    private static sbyte[] Directions(double[] smooth, List<(int First, int Last)> passes)
    {
        var direction = new sbyte[smooth.Length];
        sbyte to = 1;
        var done = 0;
        for (var p = 1; p < passes.Count; p++)
        {
            var lowest = passes[p - 1].Last;
            for (var i = lowest; i < passes[p].First; i++)
            {
                lowest = smooth[i] < smooth[lowest] ? i : lowest;
            }

            Array.Fill(direction, to, done, lowest - done);
            (to, done) = ((sbyte)-to, lowest);
        }

        Array.Fill(direction, to, done, direction.Length - done);
        return direction;
    }

    private static List<(int First, int Last)> Passes(double[] smooth, double dip)
    {
        var passes = new List<(int First, int Last)>();
        for (var i = 0; i < smooth.Length; i++)
        {
            if (smooth[i] <= -TopDb)
            {
                continue;
            }

            int first = i, last = i;
            for (; i < smooth.Length && smooth[i] > -dip; i++)
            {
                last = smooth[i] > -TopDb ? i : last;
            }

            passes.Add((first, last));
        }

        return passes;
    }
}
