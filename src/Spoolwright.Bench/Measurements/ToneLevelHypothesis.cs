using Spoolwright.Bench.Instruments;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// One guess at the level that 0 dB on the tape has in the capture, and what each run's level costs under it. The deck's own response
/// stands between the two: small in the middle, larger at the ends, and smooth, so tones known for sure tell of those beside them.
/// </summary>
internal sealed class ToneLevelHypothesis
{
    private const double MiddleSigmaDb = 2;
    private const double EndSigmaDb = 5;
    private const double BesideSigmaDb = 1.5;
    private const double WeakestDb = -30;
    private const double LoudestDb = 15;
    private const double Most = 6.5;
    private const double MostBetween = 20;
    private const int MostGuesses = 16;

    private readonly Dictionary<double, (double Mean, double Sigma)> _shifts = [];
    private readonly double _gain;
    private readonly ILookup<double, double> _levels;

    private ToneLevelHypothesis(double gain, IReadOnlyList<TestTone> tones)
    {
        _gain = gain;
        _levels = tones.ToLookup(t => t.FrequencyHz, t => t.LevelDb);
    }

    /// <summary>All guesses worth following: levels at which some of the runs agree, those with most agreement first.</summary>
    public static IReadOnlyList<ToneLevelHypothesis> All(IReadOnlyList<(ToneRun Run, double Hz)> runs, IReadOnlyList<TestTone> tones)
    {
        var pairs = runs.SelectMany(r =>
                tones
                    .Where(t => t.FrequencyHz.Equals(r.Hz))
                    .Select(t => t.LevelDb)
                    .Distinct()
                    .Select(level => (r.Hz, Gain: Db(r.Run) - level))
            )
            .ToArray();
        double Support(double gain) => pairs
            .GroupBy(p => p.Hz)
            .Sum(g => g.Max(p => Math.Exp(-0.5 * Math.Pow((p.Gain - gain) / Sigma(p.Hz), 2)) / Sigma(p.Hz)));
        var chosen = new List<double>();
        foreach (var guess in pairs.Select(p => p.Gain).OrderByDescending(Support))
        {
            if (chosen.Count < MostGuesses && chosen.TrueForAll(c => Math.Abs(c - guess) > 1))
            {
                chosen.Add(guess);
            }
        }

        return [.. chosen.Select(g => Refined(g, runs, tones))];
    }

    /// <summary>Level of a run, dB, both channels together.</summary>
    public static double Db(ToneRun run) => 10 * Math.Log10(Math.Max(run.Power, 1e-30));

    /// <summary>Cost of reading a run as a tone, by level alone; infinite where it is out of all reason.</summary>
    public double Cost(ToneRun run, TestTone tone)
    {
        if (Db(run) - _gain - tone.LevelDb is < WeakestDb or > LoudestDb)
        {
            return double.PositiveInfinity;
        }

        // Bounded for the level that fits best, so that a tone which a worn head has all but lost is still told by its frequency and place;
        // between the levels of one frequency the whole difference counts.
        var own = Unbounded(run, tone.FrequencyHz, tone.LevelDb);
        var best = _levels[tone.FrequencyHz].Min(level => Unbounded(run, tone.FrequencyHz, level));
        return Math.Min(Most, best) + Math.Min(MostBetween, own - best);
    }

    private double Unbounded(ToneRun run, double hz, double levelDb)
    {
        var (mean, sigma) = _shifts.TryGetValue(hz, out var known) ? known : (0, Sigma(hz));
        var usual = 0.5 * Math.Pow(mean / Sigma(hz), 2);
        return usual + (0.5 * Math.Pow((Db(run) - _gain - levelDb - mean) / sigma, 2)) + Math.Log(sigma / BesideSigmaDb);
    }

    private static ToneLevelHypothesis Refined(double guess, IReadOnlyList<(ToneRun Run, double Hz)> runs, IReadOnlyList<TestTone> tones)
    {
        // Frequencies that leave one choice: one level on the tape, or as many levels in the capture as on the tape, equally far apart.
        var sure = new SortedDictionary<double, double>();
        foreach (var group in runs.GroupBy(r => r.Hz))
        {
            var levels = tones.Where(t => t.FrequencyHz.Equals(group.Key)).Select(t => t.LevelDb).Distinct().OrderDescending().ToArray();
            var found = new List<double>();
            foreach (var db in group.Select(r => Db(r.Run)).OrderDescending())
            {
                if (found.Count == 0 || found[^1] - db > 1.5)
                {
                    found.Add(db);
                }
            }

            var shifts = levels.Zip(found, (level, db) => db - guess - level).ToArray();
            if (found.Count == levels.Length && shifts.Max() - shifts.Min() < 1.5 && Math.Abs(shifts.Average()) < LoudestDb)
            {
                sure[group.Key] = shifts.Average();
            }
        }

        var middle = sure.Where(s => s.Key is > 200 and < 5000 && Math.Abs(s.Value) < 3 * MiddleSigmaDb)
            .Select(s => s.Value)
            .Order()
            .ToArray();
        var offset = middle.Length > 0 ? middle[middle.Length / 2] : 0;
        var hypothesis = new ToneLevelHypothesis(guess + offset, tones);
        foreach (
            var hz in runs.Select(r => r.Hz)
                .Distinct()
                .Where(hz => tones.Where(t => t.FrequencyHz.Equals(hz)).Select(t => t.LevelDb).Distinct().Skip(1).Any())
        )
        {
            if (sure.TryGetValue(hz, out var own))
            {
                hypothesis._shifts[hz] = (own - offset, BesideSigmaDb);
                continue;
            }

            var below = sure.Where(s => s.Key < hz && s.Key > hz / 2.5).Cast<KeyValuePair<double, double>?>().LastOrDefault();
            var above = sure.Where(s => s.Key > hz && s.Key < hz * 2.5).Cast<KeyValuePair<double, double>?>().FirstOrDefault();
            if (below is { } b && above is { } a)
            {
                var at = Math.Log(hz / b.Key) / Math.Log(a.Key / b.Key);
                hypothesis._shifts[hz] = (b.Value + (at * (a.Value - b.Value)) - offset, BesideSigmaDb);
            }
            else if ((below ?? above) is { } one)
            {
                hypothesis._shifts[hz] = (one.Value - offset, 2 * BesideSigmaDb);
            }
        }

        return hypothesis;
    }

    private static double Sigma(double hz) => hz is > 200 and < 5000 ? MiddleSigmaDb : EndSigmaDb;
}
