namespace Spoolwright.Bench.Causes;

/// <summary>What became of one cause in one finished job, by the task done and the readings taken again.</summary>
public enum CauseOutcome
{
    /// <summary>Its task was done and the figures that spoke for it came right.</summary>
    Confirmed,

    /// <summary>Its task was done and they did not.</summary>
    NotConfirmed,

    /// <summary>The task was not done, or nothing was read again.</summary>
    Open,
}

/// <summary>How often a cause was met in the shop's finished jobs.</summary>
/// <param name="CauseId">The cause.</param>
/// <param name="Met">Places at which it was confirmed.</param>
/// <param name="Places">Places at which it could have been met.</param>
public sealed record CauseCount(string CauseId, int Met, int Places);

/// <summary>What the shop's finished jobs say of how often causes are met. The service book can give the counts; nothing here reads
/// it.</summary>
public interface ICauseHistory
{
    /// <summary>Counts by cause; a cause that is not listed was never looked for.</summary>
    IReadOnlyList<CauseCount> Counts();
}

/// <summary>
/// Learns priors from counts: the prior of a file counts as a beta distribution worth so many places already seen, and the counts are added
/// to it.
/// </summary>
public static class CausePriors
{
    /// <summary>How many places the files' priors are worth: a shop that has seen as many believes itself as much. Common practice, no
    /// source.</summary>
    public const double Worth = 40;

    /// <summary>Mean of the beta distribution after the counts: (worth·prior + met) / (worth + places).</summary>
    /// <param name="prior">The file's prior, between 0 and 1.</param>
    /// <param name="met">Places at which the cause was confirmed, 0 or more.</param>
    /// <param name="places">Places at which it could have been met, at least <paramref name="met"/>.</param>
    /// <exception cref="ArgumentOutOfRangeException">A figure lies outside its range.</exception>
    public static double After(double prior, int met, int places)
    {
        if (!(prior is > 0 and < 1))
            throw new ArgumentOutOfRangeException(nameof(prior), prior, "expected a chance between 0 and 1");
        ArgumentOutOfRangeException.ThrowIfNegative(met);
        ArgumentOutOfRangeException.ThrowIfLessThan(places, met);
        return ((Worth * prior) + met) / (Worth + places);
    }

    /// <summary>The book with priors after the shop's own jobs.</summary>
    public static CauseBook Learned(this CauseBook book, ICauseHistory history)
    {
        ArgumentNullException.ThrowIfNull(book);
        ArgumentNullException.ThrowIfNull(history);
        var counts = history.Counts().ToDictionary(c => c.CauseId, StringComparer.Ordinal);
        return book.WithPriors(
            book.Causes.Where(c => counts.ContainsKey(c.Id))
                .ToDictionary(
                    c => c.Id,
                    c => Math.Clamp(After(c.Prior, counts[c.Id].Met, counts[c.Id].Places), 0.0001, 0.9),
                    StringComparer.Ordinal
                )
        );
    }

    /// <summary>Whether a cause was right, from the readings before its task and those taken again after it.</summary>
    /// <param name="before">The finding by which the task was done.</param>
    /// <param name="after">What the readings taken again say; null: none were taken.</param>
    public static CauseOutcome Outcome(CauseFinding before, Explanation? after)
    {
        ArgumentNullException.ThrowIfNull(before);
        if (after is null || !WasReadAgain(before, after))
            return CauseOutcome.Open;
        var still = after.Findings.FirstOrDefault(f => f.Place == before.Place && f.Causes.Any(c => before.Causes.Contains(c)));
        // Between the two chances nothing is learned.
        return (still?.Probability ?? 0) switch
        {
            < 0.1 => CauseOutcome.Confirmed,
            > Explainer.Named => CauseOutcome.NotConfirmed,
            _ => CauseOutcome.Open,
        };
    }

    /// <summary>Whether what spoke for a cause was read again: the measurement of the strongest figure at its place, and of at least half
    /// of all.</summary>
    /// <param name="before">The finding.</param>
    /// <param name="after">What the readings taken again say.</param>
    public static bool WasReadAgain(CauseFinding before, Explanation after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        if (before.For.Count == 0)
            return false;
        // By measurement, not by figure: a hum line that is gone leaves no figure behind.
        var read = after.Weighed.Select(w => (Measurement(w.Figure), w.Figure.Place)).ToHashSet();
        bool Again(CauseEvidence e) => read.Contains((Measurement(e.Figure), e.Figure.Place));
        return Again(before.For[0]) && 2 * before.For.Count(Again) >= before.For.Count;
    }

    /// <summary>
    /// What one finished job says of every cause that its readings could show: at how many places it was named, mended by its task and
    /// gone, of how many it could have been met at. A place where it was named and nobody can say whether rightly is left out.
    /// </summary>
    /// <param name="before">What the readings as the deck came say.</param>
    /// <param name="after">What those taken again say; null: none were taken, so nothing is learned.</param>
    /// <param name="taskDone">Whether a task of the plan was done.</param>
    public static IReadOnlyList<CauseCount> Count(Explanation before, Explanation? after, Func<string, bool> taskDone)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(taskDone);
        if (after is null)
            return [];
        var met = new Dictionary<string, int>(StringComparer.Ordinal);
        var open = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var finding in before.Findings.Where(f => f.Probability >= Explainer.Named))
        {
            // Members of a class cannot be told apart by readings; the task that was done tells which it was, where one alone was.
            var done = finding.Causes.Where(c => c.PlanTasks.Any(taskDone)).ToArray();
            var outcome = Outcome(finding, after);
            foreach (var cause in finding.Causes)
            {
                if (outcome == CauseOutcome.Confirmed && done is [var one] && one == cause)
                    met[cause.Id] = met.GetValueOrDefault(cause.Id) + 1;
                else if (outcome != CauseOutcome.NotConfirmed || done.Length == 0)
                    open[cause.Id] = open.GetValueOrDefault(cause.Id) + 1;
            }
        }

        return [.. before.Places.Select(p => new CauseCount(p.Key, met.GetValueOrDefault(p.Key), p.Value - open.GetValueOrDefault(p.Key)))];
    }

    private static string Measurement(Observation figure) => figure.Of.Name.Split('/')[0];
}
