namespace Spoolwright.Bench.Limits;

/// <summary>What all readings together say of one limit.</summary>
/// <param name="Limit">The limit.</param>
/// <param name="Verdict">The worst verdict among those that could be judged; not measured where none could.</param>
/// <param name="Worst">The judgement nearest to its limit, or furthest beyond it: for a mask, the worst tone.</param>
/// <param name="Judged">How many readings were judged (met, not proven or not met).</param>
/// <param name="JudgedFromHz">Lowest tone judged, Hz; null where tones do not enter.</param>
/// <param name="JudgedToHz">Highest tone judged, Hz: a mask beyond it is not proven by these readings.</param>
public sealed record LimitSummary(Limit Limit, Verdict Verdict, Judgement Worst, int Judged, double? JudgedFromHz, double? JudgedToHz)
{
    /// <summary>Gathers the judgements of one limit.</summary>
    /// <exception cref="ArgumentException">There is none, or they are of several limits.</exception>
    public static LimitSummary Of(IReadOnlyList<Judgement> judgements)
    {
        ArgumentNullException.ThrowIfNull(judgements);
        if (judgements.Count == 0)
            throw new ArgumentException("there is no judgement to sum up", nameof(judgements));
        var limit = judgements[0].Limit;
        if (judgements.Any(j => !ReferenceEquals(j.Limit, limit) && j.Limit != limit))
            throw new ArgumentException("the judgements are of several limits", nameof(judgements));
        var judged = judgements.Where(j => j.Verdict != Verdict.NotMeasured).ToList();

        // A tone that may not be judged says nothing for or against the limit; the others speak, and how far they reach stands beside.
        var verdict = Judge.Overall(judged.Select(j => j.Verdict));
        var tones = judged.Select(j => j.Reading?.FrequencyHz).OfType<double>().ToList();
        var worst = judgements.Where(j => j.Verdict == verdict).OrderBy(j => j.Margin ?? double.PositiveInfinity).First();
        return new LimitSummary(
            limit,
            verdict,
            worst,
            judged.Count,
            tones.Count == 0 ? null : tones.Min(),
            tones.Count == 0 ? null : tones.Max()
        );
    }
}
