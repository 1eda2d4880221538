using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.Reports.Text;

/// <summary>The page a buyer reads: the deck, what came of the work in short, and every judged quantity as found beside as left.</summary>
internal static class FirstPage
{
    /// <summary>More conditions than this are shown in several tables, so that figures stay legible on paper.</summary>
    private const int ConditionsAbreast = 4;

    /// <summary>More sentences than this go to the next page, and more rows are set close.</summary>
    private const int MostSentences = 10;

    public static IEnumerable<Block> Of(RecordData data)
    {
        yield return new Heading(1, $"Service record of {data.Deck.ProfileName}, serial number {data.Deck.SerialNumber}");
        var facts = new List<IReadOnlyList<Cell>>
        {
            new Cell[] { "Deck", data.Deck.Description },
            new Cell[] { "On the bench", Figures.Day(data.Job.Opened)
                + (data.Job.Closed is { } closed ? $" to {Figures.Day(closed)}" : ", work not yet closed") },
            new Cell[] { "What was done", data.Job.What },
        };
        if (data.Workshop is { } workshop)
            facts.Add([(Cell)"Workshop", workshop]);
        facts.Add([(Cell)"Record written", $"{Figures.Moment(data.Written)}, by Spoolwright {data.ProgramVersion}"]);
        foreach (AcceptedFault fault in data.AcceptedFaults)
            facts.Add([(Cell)"Fault accepted", $"{fault.Of}: {fault.Words}"]);
        if (data.Seal is { } seal)
            facts.Add([
                (Cell)"Signed",
                $"{Figures.Moment(seal.SignedAt)}, with the key {seal.Fingerprint}; what that does not prove is said below the figures",
            ]);
        yield return new Table([new Column(string.Empty, 1.1), new Column(string.Empty, 6)], facts)
        {
            Facts = true,
            Caption =
            "The deck and the job"
        };

        IReadOnlyList<Finding> findings = Summary.Findings(data);
        bool close = findings.Count > MostSentences;
        yield return new Heading(2, "In short", "in-short");
        if (findings.Count == 0)
            yield return new Paragraph(
                "No limit was given for anything that was measured, so this record judges nothing; the figures follow."
            );
        else
            yield return new Findings(close ? Shortest(data, findings) : findings);

        yield return new Heading(2, "As found beside as left", "conditions");
        yield return new MarkLegend();
        if (close)
        {
            foreach (Table table in CloseMatrix.Of(data))
                yield return table;
        }
        else
        {
            IReadOnlyList<SummaryRow> rows = Summary.Rows(data);
            foreach (RecordedCondition[] abreast in data.Conditions.Chunk(ConditionsAbreast))
                yield return Conditions(data, abreast, rows);
        }

        var reasons = Reasons(data).ToList();
        if (data.Seal is { } shown)
            reasons.Add(new Finding(null, "The signature", $"the hash of its data begins with {shown.DataSha256[..16]}. {RecordSeal.DoesNotProve}"));
        if (close)
        {
            yield return new Heading(2, "Quantity by quantity", "quantities", NewPage: true);
            yield return new Findings([.. findings, .. reasons]);
        }
        else if (reasons.Count > 0)
        {
            yield return new Findings(reasons);
        }
    }

    /// <summary>How all of it stands, what is not met or not proven, and what was found.</summary>
    private static List<Finding> Shortest(RecordData data, IReadOnlyList<Finding> findings)
    {
        bool done = data.Conditions.Any(c => Passes.After(c) is { Measurements.Count: > 0 });
        string Names(Verdict verdict) => string.Join("; ", findings.Where(f => f.Verdict == verdict).Select(f => Lower(f.Lead)));
        int met = findings.Count(f => f.Verdict == Verdict.Met);
        var said = new List<Finding>
        {
            new(
                findings.Select(f => f.Verdict ?? Verdict.NotMeasured).MinBy(Summary.Rank),
                done ? "As left" : "As found",
                (
                    met == findings.Count
                        ? $"all {met} quantities that a limit was given for keep to it in every condition measured."
                        : $"{met} of {findings.Count} quantities that a limit was given for keep to it in every condition measured."
                )
                    + string.Concat(
                        new[] { Verdict.NotMet, Verdict.NotProven, Verdict.NotMeasured }.Select(v =>
                            Names(v) is { Length: > 0 } names ? $" {Words.Capital(Words.Of(v))} somewhere: {names}." : string.Empty
                        )
                    )
            ),
        };
        if (!done)
            return said;
        var before = data
            .Conditions.Select(Passes.Before)
            .OfType<RecordedPass>()
            .SelectMany(p => p.Judgements)
            .Where(j => j.Reading is not null && !Summary.NotJudged(j))
            .GroupBy(j => j.Limit.Quantity)
            .Select(g => (g.Key, Worst: Summary.Worst(g)!.Verdict))
            .ToList();
        string Before(Verdict verdict) =>
            string.Join(
                "; ",
                findings.Select(f => f.Lead).Where(l => before.Exists(b => Words.Quantity(b.Key) == l && b.Worst == verdict)).Select(Lower)
            );
        if (before.Count > 0)
        {
            said.Add(
                new Finding(
                    before.Select(b => b.Worst).MinBy(Summary.Rank),
                    "As found",
                    Before(Verdict.NotMet) is { Length: > 0 } failed
                        ? $"not met somewhere: {failed}."
                            + (Before(Verdict.NotProven) is { Length: > 0 } doubt ? $" Not proven: {doubt}." : string.Empty)
                        : "no limit was plainly not met."
                )
            );
        }

        return said;
    }

    // A quantity's name inside a sentence; abbreviations keep their capitals.
    private static string Lower(string name) =>
        name.Length > 1 && char.IsLower(name[1]) ? char.ToLowerInvariant(name[0]) + name[1..] : name;

    private static Table Conditions(RecordData data, RecordedCondition[] abreast, IReadOnlyList<SummaryRow> rows)
    {
        var columns = new List<Column> { new("Quantity", 2.1) };
        var groups = new List<ColumnGroup> { new(string.Empty, 1) };
        foreach (RecordedCondition c in abreast)
        {
            groups.Add(new ColumnGroup(Words.Capital(Words.Of(c.Condition)), 2));
            columns.Add(new Column(Passes.Before(c)?.Mark == Mark.FirstRun ? "first run" : "as found", 1, Figures: true));
            columns.Add(new Column("as left", 1, Figures: true));
        }

        var body = new List<IReadOnlyList<Cell>>();
        foreach (SummaryRow row in rows)
        {
            var figures = abreast.SelectMany(c => new[] { Summary.Figure(Passes.Before(c), row), Summary.Figure(Passes.After(c), row) })
                .ToList();
            // Rows that were never measured here and that no limit asks for say nothing.
            if (figures.TrueForAll(f => f.Judgement is null && f.Reading is null))
                continue;
            string unit = figures.Select(f => f.Reading?.Unit).FirstOrDefault(u => u is not null) ?? Quantity.Find(row.Quantity)?.Unit
                ?? string.Empty;
            body.Add([
                new Cell(Words.Quantity(row.Quantity, row.Channel), LimitOf(figures, unit)),
                .. figures.Select(
                    (f, i) => i % 2 > 0 ? CellOf(f) : CausesText.Leading(data, CellOf(f), row.Quantity, [abreast[i / 2].Condition])
                ),
            ]);
        }

        return new Table(columns, body)
        {
            Groups = groups,
            Caption =
            "Conditions, as found and as left: the figure nearest its limit in each"
        };
    }

    private static string LimitOf(List<SummaryFigure> figures, string unit)
    {
        var limits = figures.Select(f => f.Judgement?.Limit).OfType<Limit>()
            .Select(l => l.Mask.Count > 0 ? "worst tone against its mask" : "limit " + Words.Of(l, unit)).Distinct().ToList();
        string said = limits.Count switch { 0 => "no limit", 1 => limits[0], _ => "limit by condition" };
        int unjudged = figures.Max(f => f.NotJudged);
        if (unjudged > 0)
            said += unjudged == 1 ? "; 1 tone is not judged" : $"; {unjudged} tones are not judged";
        return unit.Length == 0 || unit == "1" ? said : $"{unit}; {said}";
    }

    private static Cell CellOf(SummaryFigure figure)
    {
        if (figure.Reading is not { } reading)
            return figure.Judgement is null ? new Cell("–") : new Cell(string.Empty, "not measured", Verdict.NotMeasured);
        if (figure.Judgement is not { } judgement)
            return new Cell(Figures.Short(reading));
        if (Summary.NotJudged(judgement))
            return new Cell(Figures.Short(reading), "not judged");
        string at = reading.FrequencyHz is { } f && judgement.Limit.Mask.Count > 0 ? $" at {Figures.Frequency(f)}" : string.Empty;
        return new Cell(Figures.Short(reading), Words.WithMargin(judgement, reading.Unit) + at, judgement.Verdict,
            Strong: judgement.Verdict != Verdict.Met);
    }

    /// <summary>Why cells are empty: one line a reason, with where it holds.</summary>
    private static IEnumerable<Finding> Reasons(RecordData data) =>
        data
            .Passes.SelectMany(p =>
                p.Pass.Missing.Select(m =>
                    (
                        Where: $"{Words.Of(p.Condition)}, {Words.Of(p.Pass.Mark)}{(m.Measurement is { } what ? $" ({Words.Measurement(what)})" : string.Empty)}",
                        m.Reason
                    )
                )
            )
            .GroupBy(x => x.Reason)
            .Select(g => new Finding(Verdict.NotMeasured, "Not measured", $"{string.Join("; ", g.Select(x => x.Where))}: {g.Key.TrimEnd('.')}."));
}
