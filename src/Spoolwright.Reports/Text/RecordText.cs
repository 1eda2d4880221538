using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Reports.Plots;

namespace Spoolwright.Reports.Text;

/// <summary>
/// The running text of a record, from the page a buyer reads to the pages an engineer checks. Every format sets these blocks, so none can
/// say more
/// or less than another.
/// </summary>
internal static class RecordText
{
    /// <summary>More conditions than this are shown in several tables, so that figures stay legible on paper.</summary>
    private const int ConditionsAbreast = 4;

    public static IReadOnlyList<Block> Of(RecordData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        return [.. FirstPage(data), .. Pictures(data), .. Ledger.Of(data)];
    }

    private static IEnumerable<Block> FirstPage(RecordData data)
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
        yield return new Table([new Column(string.Empty, 1.1), new Column(string.Empty, 6)], facts)
        {
            Facts = true,
            Caption =
            "The deck and the job"
        };

        IReadOnlyList<Finding> findings = Summary.Findings(data);
        yield return new Heading(2, "In short", "in-short");
        yield return findings.Count > 0
            ? new Findings(findings)
            : new Paragraph("No limit was given for anything that was measured, so this record judges nothing; the figures follow.");

        yield return new Heading(2, "As found beside as left", "conditions");
        yield return new MarkLegend();
        IReadOnlyList<SummaryRow> rows = Summary.Rows(data);
        foreach (RecordedCondition[] abreast in data.Conditions.Chunk(ConditionsAbreast))
            yield return Conditions(abreast, rows);
        var reasons = Reasons(data).ToList();
        if (reasons.Count > 0)
            yield return new Findings(reasons);
    }

    private static Table Conditions(RecordedCondition[] abreast, IReadOnlyList<SummaryRow> rows)
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
            body.Add([new Cell(Words.Quantity(row.Quantity, row.Channel), LimitOf(figures, unit)), .. figures.Select(f => CellOf(f))]);
        }

        return new Table(columns, body)
        {
            Groups = groups,
            Caption =
            "Conditions, as found and as left, with each figure's margin to its limit"
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
    private static IEnumerable<Finding> Reasons(RecordData data) => data.Passes
        .SelectMany(p => p.Pass.Missing.Select(m => (Where: $"{Words.Of(p.Condition)}, {Words.Of(p.Pass.Mark)}{(m.Measurement is { } what ? $" ({Words.Measurement(what)})" : string.Empty)}", m.Reason)))
        .GroupBy(x => x.Reason)
        .Select(g => new Finding(Verdict.NotMeasured, "Not measured", $"{string.Join("; ", g.Select(x => x.Where))}: {g.Key}"));

    private static IEnumerable<Block> Pictures(RecordData data)
    {
        string before = data.Conditions.All(c => Passes.Before(c)?.Mark == Mark.FirstRun) ? "first run, after cleaning" : "as found";
        (double, double) scale = ResponsePlot.Scale(data);
        var responses = data.Conditions.Select(c => new[] { ResponsePlot.Of(c, Channel.Left, scale),
            ResponsePlot.Of(c, Channel.Right, scale), ResponsePlot.Of(c, Channel.Both, scale) }.OfType<Drawing>().ToArray())
            .Where(r => r.Length > 0).ToList();
        if (responses.Count > 0)
        {
            yield return new Heading(2, "Response inside its limits", "playback", NewPage: true);
            yield return new Paragraph("How loud each tone of the test tape comes out, against the reference tone. A flat line at 0 dB plays every pitch as loud as it was recorded.", Small: true);
            yield return PlotKey.Of(before, "as left; bars: its uncertainty", limits: true);
            foreach (Drawing[] row in responses)
                yield return new DrawingRow(row, 0.56);
        }

        var flutter = data.Conditions.Select(FlutterPlot.Of).OfType<Drawing>().ToList();
        if (flutter.Count > 0)
        {
            yield return new Heading(2, "Flutter and the parts that make it", "speed", NewPage: true);
            yield return new Paragraph("How much the speed swings, by how often it swings. A peak belongs to a part that turns at that rate, and is named where the deck's profile has such a part.", Small: true);
            yield return PlotKey.Of(before, "as left", limits: false);
            foreach (Drawing[] row in flutter.Chunk(2))
                yield return new DrawingRow(row, 0.66);
            foreach (RecordedCondition[] abreast in data.Conditions.Chunk(ConditionsAbreast))
            {
                if (FlutterLines(abreast) is { } lines)
                    yield return lines;
            }
        }

        var azimuth = data.Conditions.Select(AzimuthDrawing.Of).OfType<Drawing>().ToList();
        if (azimuth.Count > 0)
        {
            yield return new Heading(2, "Azimuth", "azimuth");
            yield return new Paragraph(
                "Left: the head gap across the tape, its angle drawn 60 times too large, seen from the side that faces the head; the arrow is the way the tape runs. Right: a tone's phase allows several delays between the channels, one tick each. "
                + "Only the true delay is allowed by every tone: there the ticks stand in one line.", Small: true);
            yield return PlotKey.Of(before, "as left", limits: false);
            foreach (Drawing[] row in azimuth.Chunk(2))
                yield return new DrawingRow(row, 0.72);
        }
    }

    /// <summary>The lines by the part that makes them, so that one part can be followed through the conditions.</summary>
    private static Table? FlutterLines(RecordedCondition[] abreast)
    {
        var passes = abreast.Select(c => Passes.After(c) ?? Passes.Before(c)).ToList();
        var lines = passes.Select(p => p is null ? [] : FlutterPlot.Lines(p).ToList()).ToList();
        var parts = lines.SelectMany(l => l).OrderByDescending(l => l.Value).Select(l => l.Part).Distinct(StringComparer.Ordinal)
            .OrderBy(p => p is null).ToList();
        if (parts.Count == 0)
            return null;
        var columns = new List<Column> { new("Part", 1.5) };
        columns.AddRange(abreast.Select((c, i) => new Column($"{Words.Capital(Words.Of(c.Condition))}{(passes[i] is { Mark: not Mark.AsLeft } p ? $", {Words.Of(p.Mark)}" : string.Empty)}", 2)));
        var rows = parts.Select(part => (IReadOnlyList<Cell>)[
            (Cell)(part is null ? "fits no part" : Words.Capital(part)),
            .. lines.Select(l => new Cell(string.Join('\n', l.Where(x => x.Part == part).Select(Line).DefaultIfEmpty("–")))),
        ]).ToList();
        return new Table(columns, rows)
        {
            Dense = true,
            Caption =
            "Lines of the spectrum, as left where measured: rate, peak swing, and how sure the part is"
        };
    }

    private static string Line(Reading line) =>
        $"{Figures.Frequency(line.FrequencyHz!.Value)}: {Figures.ValueWithUnit(line)}{(line.Part is not null && line.Confidence is { } sure ? $", {Figures.Number(sure * 100, 0, sign: false)}\u00A0% sure" : string.Empty)}";
}
