using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// Says which tone of the tape each stretch of steady tone is. Frequency decides, by one speed for the whole capture; level decides between tones of
/// one frequency; order, forwards or backwards, is evidence only. What stays open is named, never guessed.
/// </summary>
public static class ToneIdentification
{
    private const double SameSpeed = 0.004;
    private const double LevelSigmaDb = 4;
    private const double NeighbourWorth = 3;
    private const double Undecided = 1.5;

    /// <summary>What was made of the runs.</summary>
    /// <param name="Speed">Speed as a ratio to nominal, from all tones together.</param>
    /// <param name="Assigned">For each distinct tone of the tape, its runs; tones not found are absent.</param>
    /// <param name="Notes">Missing, doubtful and repeated tones by name.</param>
    public sealed record Outcome(double Speed, IReadOnlyList<(TestTone Tone, IReadOnlyList<ToneRun> Runs)> Assigned, IReadOnlyList<Note> Notes);

    /// <summary>Frequencies to look for, each once, rising: what <see cref="ToneRun.Candidate"/> counts.</summary>
    public static IReadOnlyList<double> Candidates(IReadOnlyList<TestTone> tones) => tones.Select(t => t.FrequencyHz).Distinct().Order().ToArray();

    /// <summary>Assigns runs to tones.</summary>
    public static Outcome Identify(IReadOnlyList<TestTone> tones, IReadOnlyList<ToneRun> runs)
    {
        var candidates = Candidates(tones);
        var notes = new List<Note>();
        var speed = CommonSpeed(runs, candidates);
        var kept = runs.Where(r => Math.Abs((r.FrequencyHz / candidates[r.Candidate] / speed) - 1) < SameSpeed + (0.3 / r.FrequencyHz)).ToArray();
        var distinct = tones.Distinct().ToArray();
        var gain = Gain(kept, tones, candidates);
        kept = kept.Where(r => Plausible(r, tones, candidates, gain)).ToArray();
        var assigned = new Dictionary<TestTone, List<ToneRun>>();
        for (var c = 0; c < candidates.Count; c++)
        {
            var here = kept.Where(r => r.Candidate == c).ToArray();
            var kinds = distinct.Where(t => t.FrequencyHz.Equals(candidates[c])).ToArray();
            if (here.Length > 0)
            {
                Assign(here, kinds, gain, tones, kept, candidates, assigned, notes);
            }
        }

        foreach (var tone in distinct)
        {
            if (!assigned.TryGetValue(tone, out var found))
            {
                if (!notes.Any(n => n.Code == "ambiguous-tone" && n.Text.StartsWith(Name(tone), StringComparison.Ordinal)))
                {
                    notes.Add(Note.Warning("missing-tone", $"{Name(tone)} was not found in the capture; nothing is said of it. Play the tape through from before that tone."));
                }
            }
            else if (found.Count > tones.Count(t => t.FrequencyHz.Equals(tone.FrequencyHz) && t.LevelDb.Equals(tone.LevelDb)))
            {
                notes.Add(Note.Hint("repeated-tone", $"{Name(tone)} was found {found.Count} times; its figures are the mean of them."));
            }
        }

        return new Outcome(speed, distinct.Where(assigned.ContainsKey).Select(t => (t, (IReadOnlyList<ToneRun>)assigned[t])).ToArray(), notes);
    }

    /// <summary>How a tone is named to a person.</summary>
    public static string Name(TestTone tone) => FormattableString.Invariant($"The {Word(tone.Role)} tone of {tone.FrequencyHz:0.##} Hz at {tone.LevelDb:0.##} dB");

    private static string Word(ToneRole role) => role switch
    {
        ToneRole.Reference => "reference",
        ToneRole.Azimuth => "azimuth",
        _ => "response",
    };

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
            var support = agreeing.GroupBy(r => r.Candidate).Sum(g => Math.Sqrt(g.Max(r => r.Frames)) * (1 + Math.Max(0, 1 + (0.1 * Math.Log10(g.Max(r => r.Power))))));
            if (support > most)
            {
                most = support;
                var weights = agreeing.Sum(r => r.Frames * r.FrequencyHz);
                best = agreeing.Sum(r => r.Frames * r.FrequencyHz * (r.FrequencyHz / candidates[r.Candidate])) / weights;
            }
        }

        return best;
    }

    // Level that 0 dB on the tape has in the capture: the middle of what the tones of unmistakable level say.
    private static double Gain(ToneRun[] runs, IReadOnlyList<TestTone> tones, IReadOnlyList<double> candidates)
    {
        var gains = new List<double>();
        foreach (var run in runs)
        {
            foreach (var level in tones.Where(t => t.FrequencyHz.Equals(candidates[run.Candidate])).Select(t => t.LevelDb).Distinct())
            {
                gains.Add(Db(run) - level);
            }
        }

        if (gains.Count == 0)
        {
            return 0;
        }

        // Where a frequency comes at several levels, its wrong pairings scatter, its right ones agree with the rest: take the densest place.
        return gains.MaxBy(g => gains.Count(x => Math.Abs(x - g) < 3) - (gains.Where(x => Math.Abs(x - g) < 3).Average(x => Math.Abs(x - g)) * 0.1));
    }

    private static bool Plausible(ToneRun run, IReadOnlyList<TestTone> tones, IReadOnlyList<double> candidates, double gain) =>
        tones.Any(t => t.FrequencyHz.Equals(candidates[run.Candidate]) && Math.Abs(Db(run) - gain - t.LevelDb) < 20);

    private static void Assign(
        ToneRun[] runs, TestTone[] kinds, double gain, IReadOnlyList<TestTone> tones, ToneRun[] all, IReadOnlyList<double> candidates,
        Dictionary<TestTone, List<ToneRun>> assigned, List<Note> notes)
    {
        if (kinds.Length == 1)
        {
            // Runs of one tone agree in level; one that strays is something else (a test of the bench's own, a fade).
            var middle = runs.MaxBy(r => r.Frames)!;
            assigned[kinds[0]] = runs.Where(r => Math.Abs(Db(r) - Db(middle)) < 3).ToList();
            return;
        }

        // The deck's own response at this frequency shifts all runs alike: it is whatever makes runs and kinds agree best, and small.
        var groups = ByLevel(runs);
        var evidence = new Dictionary<(int Group, TestTone Kind), double>();
        for (var g = 0; g < groups.Count; g++)
        {
            foreach (var kind in kinds)
            {
                evidence[(g, kind)] = groups[g].Max(r => Neighbours(r, kind, tones, all, candidates)) * NeighbourWorth;
            }
        }

        var best = Combine(groups, kinds, gain, evidence).OrderBy(c => c.Cost).ToArray();
        for (var g = 0; g < groups.Count; g++)
        {
            var choice = best[0].Kinds[g];
            if (choice is null)
            {
                continue;
            }

            var other = best.FirstOrDefault(b => b.Kinds[g] is { } k && k != choice && !k.LevelDb.Equals(choice.LevelDb));
            if (other.Kinds is not null && other.Cost - best[0].Cost < Undecided)
            {
                foreach (var kind in new[] { choice, other.Kinds[g]! })
                {
                    notes.Add(Note.Warning("ambiguous-tone", $"{Name(kind)} cannot be told from another of that frequency; neither is measured. Play the tape from its reference tone on."));
                }

                continue;
            }

            if (assigned.TryGetValue(choice, out var list))
            {
                list.AddRange(groups[g]);
            }
            else
            {
                assigned[choice] = [.. groups[g]];
            }

            // Kinds that differ by role alone share what was found when there are not enough runs for each.
            foreach (var twin in kinds.Where(k => k != choice && k.LevelDb.Equals(choice.LevelDb) && !best[0].Kinds.Contains(k)))
            {
                assigned.TryAdd(twin, [.. groups[g]]);
            }
        }
    }

    private static List<List<ToneRun>> ByLevel(ToneRun[] runs)
    {
        var groups = new List<List<ToneRun>>();
        foreach (var run in runs.OrderByDescending(Db))
        {
            if (groups.Count > 0 && Db(groups[^1][0]) - Db(run) < 1.5)
            {
                groups[^1].Add(run);
            }
            else
            {
                groups.Add([run]);
            }
        }

        return groups.Count <= 5 ? groups : groups.OrderByDescending(g => g.Sum(r => r.Frames)).Take(5).ToList();
    }

    private static IEnumerable<(TestTone?[] Kinds, double Cost)> Combine(
        List<List<ToneRun>> groups, TestTone[] kinds, double gain, Dictionary<(int Group, TestTone Kind), double> evidence)
    {
        var choices = kinds.Length + 1;
        var total = (long)Math.Pow(choices, groups.Count);
        for (long code = 0; code < total; code++)
        {
            var picked = new TestTone?[groups.Count];
            var rest = code;
            for (var g = 0; g < groups.Count; g++)
            {
                var pick = (int)(rest % choices);
                rest /= choices;
                picked[g] = pick == kinds.Length ? null : kinds[pick];
            }

            if (picked.Where(p => p is not null).GroupBy(p => p).Any(p => p.Count() > 1))
            {
                continue; // two levels are two tones
            }

            var shifts = new List<double>();
            var cost = 0.0;
            for (var g = 0; g < groups.Count; g++)
            {
                if (picked[g] is not { } kind)
                {
                    cost += 8; // a tone that belongs to nothing
                    continue;
                }

                shifts.Add(groups[g].Average(Db) - gain - kind.LevelDb);
                cost -= evidence[(g, kind)];
            }

            if (shifts.Count > 0)
            {
                var mean = shifts.Average();
                cost += mean * mean / (LevelSigmaDb * LevelSigmaDb);
                cost += shifts.Sum(s => (s - mean) * (s - mean)) / (0.7 * 0.7);
            }

            yield return (picked, cost);
        }
    }

    // How many of the run's neighbours in time are the kind's neighbours on the tape, read forwards or backwards: 0 to 2.
    private static int Neighbours(ToneRun run, TestTone kind, IReadOnlyList<TestTone> tones, ToneRun[] all, IReadOnlyList<double> candidates)
    {
        var at = Array.IndexOf(all, run);
        double? before = at > 0 ? candidates[all[at - 1].Candidate] : null, after = at < all.Length - 1 ? candidates[all[at + 1].Candidate] : null;
        var most = 0;
        for (var i = 0; i < tones.Count; i++)
        {
            if (tones[i] != kind)
            {
                continue;
            }

            double? previous = i > 0 ? tones[i - 1].FrequencyHz : null, next = i < tones.Count - 1 ? tones[i + 1].FrequencyHz : null;
            var forwards = Same(before, previous) + Same(after, next);
            var backwards = Same(before, next) + Same(after, previous);
            most = Math.Max(most, Math.Max(forwards, backwards));
        }

        return most;
    }

    private static int Same(double? a, double? b) => a is { } x && b is { } y && x.Equals(y) ? 1 : 0;

    private static double Db(ToneRun run) => 10 * Math.Log10(run.Power);
}
