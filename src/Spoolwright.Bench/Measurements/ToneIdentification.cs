using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// Says which tone of the tape each stretch of steady tone is. Frequency decides, by one speed for the whole capture; level decides between
/// tones of one frequency; order, forwards or backwards, is evidence only. What stays open is named, never guessed.
/// </summary>
public static class ToneIdentification
{
    private const double SameSpeed = 0.004;

    // Two readings of a run whose costs differ by less are both open. Costs are negative logarithms of likelihood, about: e^3 is 20 to 1.
    private const double Undecided = 3;
    private const double UndecidedRole = 2;
    private const double SameLevelDb = 3;

    /// <summary>What was made of the runs.</summary>
    /// <param name="Speed">Speed as a ratio to nominal, from all tones together.</param>
    /// <param name="Assigned">For each distinct tone of the tape, its runs; tones not found are absent.</param>
    /// <param name="Notes">Missing, doubtful and repeated tones by name.</param>
    public sealed record Outcome(
        double Speed,
        IReadOnlyList<(TestTone Tone, IReadOnlyList<ToneRun> Runs)> Assigned,
        IReadOnlyList<Note> Notes
    );

    /// <summary>Frequencies to look for, each once, rising: what <see cref="ToneRun.Candidate"/> counts.</summary>
    public static IReadOnlyList<double> Candidates(IReadOnlyList<TestTone> tones) =>
        tones.Select(t => t.FrequencyHz).Distinct().Order().ToArray();

    /// <summary>Assigns runs to tones.</summary>
    /// <param name="tones">The tape's tones, or those looked for.</param>
    /// <param name="runs">What was found.</param>
    /// <param name="listed">Whether the tones' levels and order are a tape's; else frequency alone tells them.</param>
    public static Outcome Identify(IReadOnlyList<TestTone> tones, IReadOnlyList<ToneRun> runs, bool listed = true)
    {
        var candidates = Candidates(tones);
        var speed = CommonSpeed(runs, candidates);
        var kept = new List<(ToneRun Run, double Hz)>();
        foreach (var run in runs)
        {
            var hz = candidates.MinBy(c => Math.Abs((run.FrequencyHz / c / speed) - 1));
            if (Math.Abs((run.FrequencyHz / hz / speed) - 1) < SameSpeed + (0.3 / run.FrequencyHz) && run.Power > 4 * run.HumPower)
            {
                kept.Add((run, hz));
            }
        }

        var decisions = listed ? Decide(tones, kept) : ByFrequency(tones, kept);
        var assigned = new Dictionary<TestTone, List<(ToneRun Run, double Cost)>>();
        var open = new HashSet<TestTone>();
        var shared = new HashSet<TestTone>();
        foreach (var (run, choices, cost, sure) in decisions)
        {
            foreach (var tone in choices)
            {
                if (!sure)
                {
                    open.Add(tone);
                    continue;
                }

                if (choices.Count > 1)
                {
                    shared.Add(tone);
                }

                (assigned.TryGetValue(tone, out var list) ? list : assigned[tone] = []).Add((run, cost));
            }
        }

        // Runs of one tone agree in level; one that strays from the likeliest is something else.
        var agreed = assigned.ToDictionary(a => a.Key, a => Agreeing(a.Value));
        var distinct = tones.Distinct().ToArray();
        return new Outcome(
            speed,
            [.. distinct.Where(agreed.ContainsKey).Select(t => (t, agreed[t]))],
            [.. distinct.SelectMany(t => Notes(t, tones, agreed, open, shared))]);
    }

    /// <summary>Note on a tone that was not found.</summary>
    internal static Note Missing(TestTone tone, string why) => Note.Warning("missing-tone", $"{Name(tone)} {why}; nothing is said of it.");

    /// <summary>How a tone is named to a person.</summary>
    public static string Name(TestTone tone) =>
        FormattableString.Invariant($"The {Word(tone.Role)} tone of {tone.FrequencyHz:0.##} Hz at {tone.LevelDb:0.##} dB");

    private static string Word(ToneRole role) => role switch
    {
        ToneRole.Reference => "reference",
        ToneRole.Azimuth => "azimuth",
        _ => "response",
    };

    private static IReadOnlyList<ToneRun> Agreeing(List<(ToneRun Run, double Cost)> runs)
    {
        var likeliest = runs.MinBy(r => (r.Cost, -r.Run.Frames)).Run;
        return
        [
            .. runs.Select(r => r.Run).Where(r => Math.Abs(ToneLevelHypothesis.Db(r) - ToneLevelHypothesis.Db(likeliest)) < SameLevelDb),
        ];
    }

    private static IEnumerable<Note> Notes(
        TestTone tone,
        IReadOnlyList<TestTone> tones,
        Dictionary<TestTone, IReadOnlyList<ToneRun>> found,
        HashSet<TestTone> open,
        HashSet<TestTone> shared
    )
    {
        if (!found.TryGetValue(tone, out var runs))
        {
            yield return open.Contains(tone)
                ? Note.Warning(
                    "ambiguous-tone",
                    $"{Name(tone)} cannot be told from another of that frequency; it is not measured. Play the tape from its reference tone on."
                )
                : Missing(tone, "was not found in the capture");
            yield break;
        }

        if (shared.Contains(tone))
        {
            yield return Note.Hint(
                "ambiguous-tone",
                $"{Name(tone)} cannot be told from its twin of equal frequency and level; both have the same figures."
            );
        }
        else if (runs.Count > tones.Count(t => t == tone))
        {
            yield return Note.Hint("repeated-tone", $"{Name(tone)} was found {runs.Count} times; its figures are the mean of them.");
        }
    }

    private static List<(ToneRun Run, IReadOnlyList<TestTone> Choices, double Cost, bool Sure)> ByFrequency(
        IReadOnlyList<TestTone> tones, List<(ToneRun Run, double Hz)> runs) =>
        [.. runs.Select(r => (r.Run, (IReadOnlyList<TestTone>)[tones.First(t => t.FrequencyHz.Equals(r.Hz))], 0.0, true))];

    // For each run the tones it may be: one, or twins; not sure where two levels are open.
    private static List<(ToneRun Run, IReadOnlyList<TestTone> Choices, double Cost, bool Sure)> Decide(
        IReadOnlyList<TestTone> tones, List<(ToneRun Run, double Hz)> runs)
    {
        var least = new double[runs.Count, tones.Count + 1];
        for (var r = 0; r < runs.Count; r++)
        {
            for (var i = 0; i <= tones.Count; i++)
            {
                least[r, i] = double.PositiveInfinity;
            }
        }

        foreach (var hypothesis in ToneLevelHypothesis.All(runs, tones))
        {
            var cost = new double[runs.Count, tones.Count];
            for (var r = 0; r < runs.Count; r++)
            {
                for (var i = 0; i < tones.Count; i++)
                {
                    cost[r, i] = runs[r].Hz.Equals(tones[i].FrequencyHz) ? hypothesis.Cost(runs[r].Run, tones[i]) : double.PositiveInfinity;
                }
            }

            foreach (var backwards in new[] { false, true })
            {
                var marginals = TonePath.Marginals(cost, backwards);
                for (var r = 0; r < runs.Count; r++)
                {
                    for (var i = 0; i <= tones.Count; i++)
                    {
                        least[r, i] = Math.Min(least[r, i], marginals[r, i]);
                    }
                }
            }
        }

        var decisions = new List<(ToneRun Run, IReadOnlyList<TestTone> Choices, double Cost, bool Sure)>();
        for (var r = 0; r < runs.Count; r++)
        {
            var ranked = Enumerable.Range(0, tones.Count)
                .Where(i => double.IsFinite(least[r, i]))
                .GroupBy(i => tones[i])
                .Select(g => (Tone: g.Key, Cost: g.Min(i => least[r, i])))
                .OrderBy(t => t.Cost)
                .ToArray();
            if (ranked.Length == 0 || ranked[0].Cost >= least[r, tones.Count])
            {
                continue;
            }

            var best = ranked[0];
            var rivals = ranked.Where(t => !t.Tone.LevelDb.Equals(best.Tone.LevelDb) && t.Cost - best.Cost < Undecided).ToArray();
            if (rivals.Length > 0)
            {
                decisions.Add((runs[r].Run, [best.Tone, .. rivals.Select(t => t.Tone)], best.Cost, false));
                continue;
            }

            decisions.Add((
                runs[r].Run,
                [.. ranked.Where(t => t.Tone.LevelDb.Equals(best.Tone.LevelDb) && t.Cost - best.Cost < UndecidedRole).Select(t => t.Tone)],
                best.Cost,
                true));
        }

        return decisions;
    }

    // The speed that most of the capture's steady tone agrees on: a voice or hum that happened to hold still does not share it.
    private static double CommonSpeed(IReadOnlyList<ToneRun> runs, IReadOnlyList<double> candidates)
    {
        var best = 1.0;
        var most = 0.0;
        foreach (var run in runs)
        {
            var ratio = run.FrequencyHz / candidates[run.Candidate];
            var agreeing = runs.Where(r => Math.Abs((r.FrequencyHz / candidates[r.Candidate] / ratio) - 1) < SameSpeed / 2).ToArray();

            // Each frequency counts once, by its longest run, and a louder one for more: hum is one frequency and faint.
            var support = agreeing
                .GroupBy(r => r.Candidate)
                .Sum(g => Math.Sqrt(g.Max(r => r.Frames)) * (1 + Math.Max(0, 1 + (0.1 * Math.Log10(g.Max(r => r.Power))))));
            if (support > most)
            {
                most = support;
                var weights = agreeing.Sum(r => r.Frames * r.FrequencyHz);
                best = agreeing.Sum(r => r.Frames * r.FrequencyHz * (r.FrequencyHz / candidates[r.Candidate])) / weights;
            }
        }

        return best;
    }
}
