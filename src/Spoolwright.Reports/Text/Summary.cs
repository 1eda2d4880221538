using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports.Text;

/// <summary>A row of the first page's table: one quantity of one channel.</summary>
internal sealed record SummaryRow(string Quantity, Channel Channel);

/// <summary>What the first page says of a row in one pass.</summary>
/// <param name="Judgement">The worst of its judgements; null: no limit speaks of it.</param>
/// <param name="Reading">The reading shown; null: none.</param>
/// <param name="NotJudged">Readings that are shown but must not be judged, and so count neither way.</param>
internal sealed record SummaryFigure(Judgement? Judgement, Reading? Reading, int NotJudged = 0);

/// <summary>Draws the few figures of the first page out of the many of the last.</summary>
internal static class Summary
{
    /// <summary>Shown on the first page though no limit speaks of them.</summary>
    private static readonly string[] AlwaysShown = ["speed-error", "wow-flutter-quasi-peak", "channel-balance", "azimuth-angle"];

    /// <summary>Every quantity and channel that is judged somewhere, and the few that are always shown, in the catalogue's order.</summary>
    public static IReadOnlyList<SummaryRow> Rows(RecordData data)
    {
        var passes = data.Passes.Select(p => p.Pass).ToList();
        var read = passes.SelectMany(p => p.Readings).ToList();
        var judged = passes.SelectMany(p => p.Judgements).Where(j => j.Reading is not null)
            .Select(j => new SummaryRow(j.Limit.Quantity, j.Reading!.Channel));
        // A limit of which no reading was had anywhere still stands in the table: it was asked for.
        var absent = passes.SelectMany(p => p.Judgements).Where(j => j.Reading is null).Select(j => j.Limit.Quantity).Distinct()
            .Where(q => !read.Exists(r => r.Quantity == q)).Select(q => new SummaryRow(q, Channel.Both));
        var always = read.Where(r => AlwaysShown.Contains(r.Quantity, StringComparer.Ordinal))
            .Select(r => new SummaryRow(r.Quantity, r.Channel));
        var order = Quantity.All.Select((q, i) => (q.Id, i)).ToDictionary(x => x.Id, x => x.i, StringComparer.Ordinal);
        return [.. judged.Concat(absent).Concat(always).Distinct()
            .OrderBy(r => order.GetValueOrDefault(r.Quantity, int.MaxValue)).ThenBy(r => r.Quantity, StringComparer.Ordinal)
                .ThenBy(r => r.Channel)];
    }

    /// <summary>The figure that stands for a row in a pass: the judgement nearest to failing, else the reading itself.</summary>
    public static SummaryFigure Figure(RecordedPass? pass, SummaryRow row)
    {
        if (pass is null)
            return new SummaryFigure(null, null);
        var spoken = pass.Judgements.Where(j => j.Limit.Quantity == row.Quantity && j.Reading?.Channel == row.Channel).ToList();
        Judgement? worst = Worst(spoken.Where(j => !NotJudged(j))) ?? Worst(spoken)
            ?? Worst(pass.Judgements.Where(j => j.Limit.Quantity == row.Quantity && j.Reading is null));
        return new SummaryFigure(worst, worst?.Reading ?? pass.Readings
            .FirstOrDefault(r => r.Quantity == row.Quantity && r.Channel == row.Channel), spoken.Count(NotJudged));
    }

    /// <summary>The judgement nearest to failing.</summary>
    public static Judgement? Worst(IEnumerable<Judgement> judgements) =>
        judgements.OrderBy(j => Rank(j.Verdict)).ThenBy(j => j.Margin ?? double.MaxValue).FirstOrDefault();

    /// <summary>True for a reading that is shown but must not be judged: there is a figure, and no verdict.</summary>
    public static bool NotJudged(Judgement judgement) => judgement is { Verdict: Verdict.NotMeasured, Reading: not null };

    /// <summary>Worst first.</summary>
    public static int Rank(Verdict verdict) => verdict switch
    {
        Verdict.NotMet => 0,
        Verdict.NotProven => 1,
        Verdict.NotMeasured => 2,
        _ =>
        3
    };

    /// <summary>One sentence for each judged quantity on how it stands at the end of the job, and how it stood before.</summary>
    public static IReadOnlyList<Finding> Findings(RecordData data)
    {
        var findings = new List<Finding>();
        foreach (string quantity in Rows(data).Select(r => r.Quantity).Distinct(StringComparer.Ordinal))
        {
            var after = Worsts(data, quantity, Passes.After);
            var before = Worsts(data, quantity, Passes.Before);
            bool done = after.Count > 0;
            var now = done ? after : before;
            if (now.Count == 0)
                continue;
            (Condition worstAt, Judgement worst) = now.OrderBy(x => Rank(x.Worst.Verdict))
                .ThenBy(x => x.Worst.Margin ?? double.MaxValue).First();
            string text = worst.Reading is { } reading
                ? $"{(done ? "at worst" : "as found, at worst")} {Phrase(reading)} ({Where(worstAt, reading)}), {Against(worst, reading)}. {Tally(now)}."
                : $"{Tally(now)}{(worst.Reason is { Length: > 0 } why ? $": {Because(why)}" : string.Empty)}.";
            if (
                done
                && before
                    .Where(x => x.Worst.Reading is not null)
                    .OrderBy(x => Rank(x.Worst.Verdict))
                    .ThenBy(x => x.Worst.Margin ?? double.MaxValue)
                    .FirstOrDefault()
                    is { Worst.Reading: { } found } was
            )
                text +=
                    $" As found, at worst: {Phrase(found)} ({Where(was.Condition, found)}), {Words.Of(was.Worst.Verdict)} against {Words.Of(was.Worst.Limit, found.Unit, found.FrequencyHz)}.";
            int unjudged = data
                .Conditions.Select(c => done ? Passes.After(c) : Passes.Before(c))
                .Sum(p => p?.Judgements.Count(j => j.Limit.Quantity == quantity && NotJudged(j)) ?? 0);
            if (unjudged > 0)
                text += $" {(unjudged == 1 ? "One reading is" : $"{unjudged} readings are")} shown but not judged.";
            findings.Add(new Finding(worst.Verdict, Words.Quantity(quantity), text));
        }

        return findings;
    }

    private static List<(Condition Condition, Judgement Worst)> Worsts(RecordData data, string quantity, Func<RecordedCondition,
        RecordedPass?> choose) =>
        [.. data.Conditions.Select(c => (c.Condition,
            Worst: WorstJudged((choose(c)?.Judgements ?? []).Where(j => j.Limit.Quantity == quantity).ToList())))
            .Where(x => x.Worst is not null).Select(x => (x.Condition, x.Worst!))];

    private static Judgement? WorstJudged(List<Judgement> judgements) => Worst(judgements.Where(j => !NotJudged(j))) ?? Worst(judgements);

    private static string Phrase(Reading reading) => reading.Quantity switch
    {
        "speed-error" when reading.Value > 0 => Figures.Join(Figures.Short(reading).TrimStart('+'), reading.Unit) + " fast",
        "speed-error" when reading.Value < 0 => Figures.Join(Figures.Short(reading).TrimStart('−'), reading.Unit) + " slow",
        _ => Figures.Join(Figures.Short(reading), reading.Unit),
    };

    private static string Where(Condition condition, Reading reading)
    {
        string where = Words.Of(condition);
        if (reading.Channel != Channel.Both)
            where = $"{Words.Of(reading.Channel)} channel, {where}";
        return reading.FrequencyHz is { } f ? $"{Figures.Frequency(f)}, {where}" : where;
    }

    private static string Against(Judgement judgement, Reading reading)
    {
        string limit = Words.Of(judgement.Limit, reading.Unit, reading.FrequencyHz);
        string margin = judgement.Margin is { } m ? Figures.Join(Figures.Margin(m, reading), reading.Unit)
            + (m < 0 ? " outside " : " inside ") : "against ";
        string doubt = judgement.Verdict != Verdict.NotProven ? string.Empty
            : reading.Uncertainty is null ? "; not proven, since its uncertainty is not known"
            : $"; not proven, since its uncertainty of ±{Figures.Uncertainty(reading)} reaches the limit";
        return $"{margin}the limit of {limit}{doubt}";
    }

    private static string Tally(List<(Condition Condition, Judgement Worst)> worsts)
    {
        var counts = worsts.GroupBy(x => x.Worst.Verdict).OrderByDescending(g => Rank(g.Key)).ToList();
        if (counts is [{ Key: Verdict.NotMeasured }] && worsts.Count > 1)
            return "Not measured in any condition";
        if (counts.Count == 1)
            return Words.Capital(Words.Of(counts[0].Key))
                + (worsts.Count == 1 ? " in the one condition" : worsts.Count == 2 ? " in both conditions"
                : $" in all {worsts.Count} conditions");
        return Words.Capital(string.Join(", ", counts.Select(g => $"{Words.Of(g.Key)} in {g.Count()}"))) + $" of {worsts.Count} conditions";
    }

    private static string Because(string reason) => reason.Trim().TrimEnd('.');
}
