using Spectre.Console;
using Spectre.Console.Rendering;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.App.Cli;

/// <summary>One quantity of one channel, tone by tone.</summary>
internal sealed record ToneColumn(string Quantity, Channel Channel, IReadOnlyList<Reading> Readings);

/// <summary>A table with a line for each tone (or flutter line) and a column for each quantity and channel.</summary>
internal static class ToneTable
{
    public static IRenderable Build(IReadOnlyList<ToneColumn> columns, IReadOnlyList<Judgement> judgements)
    {
        var lines = Lines(columns);
        var own = columns.SelectMany(c => c.Readings).ToHashSet(ReferenceEqualityComparer.Instance);
        var judged = judgements.Where(j => j.Reading is { } r && own.Contains(r)).ToList();
        var parts = own.OfType<Reading>().Any(r => r.Part is not null);

        var table = new Table().Border(TableBorder.Simple);
        table.AddColumn(
            new TableColumn(columns[0].Quantity == Bench.Quantity.FlutterLine.Id ? "Line, Hz" : "Tone, Hz").RightAligned().NoWrap()
        );
        foreach (var column in columns)
            table.AddColumn(new TableColumn(Markup.Escape(HeadOf(column))).RightAligned());
        if (parts)
            table.AddColumn(new TableColumn("Part"));
        if (judged.Count > 0)
        {
            table.AddColumn(new TableColumn("Limit").RightAligned().NoWrap());
            table.AddColumn(new TableColumn("Verdict").NoWrap());
        }

        foreach (var readings in lines)
        {
            var present = readings.OfType<Reading>().ToList();
            var cells = new List<string> { UncertainFigure.Plain(Math.Round(present[0].FrequencyHz!.Value, 2)) };
            cells.AddRange(readings.Select(r => r is null ? "" : UncertainFigure.Format(r) + (r.Judgeable ? "" : " *")));
            if (parts)
                cells.Add(PartOf(present));
            if (judged.Count > 0)
                cells.AddRange(VerdictCells(present, judged));
            table.AddRow([
                .. cells.Select((c, i) => judged.Count > 0 && i == cells.Count - 1 ? new Markup(c) : new Markup(Markup.Escape(c))),
            ]);
        }

        if (own.OfType<Reading>().Any(r => !r.Judgeable))
            table.Caption = new TableTitle("* shown, not judged: see the notes");
        return table;
    }

    /// <summary>
    /// Readings side by side: those of the same tone stand in one line. A tone that comes twice on the tape has two lines, in the tape's
    /// order.
    /// </summary>
    private static IReadOnlyList<Reading?[]> Lines(IReadOnlyList<ToneColumn> columns)
    {
        var lines = new List<Reading?[]>();
        var places = new Dictionary<(double Hz, int Nth), Reading?[]>();
        for (var c = 0; c < columns.Count; c++)
        {
            var seen = new Dictionary<double, int>();
            foreach (var reading in columns[c].Readings)
            {
                var hz = reading.FrequencyHz!.Value;
                var nth = seen[hz] = seen.GetValueOrDefault(hz) + 1;
                if (!places.TryGetValue((hz, nth), out var line))
                {
                    line = places[(hz, nth)] = new Reading?[columns.Count];
                    lines.Add(line);
                }

                line[c] = reading;
            }
        }

        return lines;
    }

    private static string HeadOf(ToneColumn column)
    {
        var quantity = Bench.Quantity.Find(column.Quantity);
        var channel = column.Channel == Channel.Both ? "" : $" {ContractWords.Of(column.Channel)}";
        return $"{quantity?.Name ?? column.Quantity}{channel}, {column.Readings[0].Unit}";
    }

    private static string PartOf(IReadOnlyList<Reading> readings) =>
        readings.FirstOrDefault(r => r.Part is not null) is not { } r ? "fits none"
        : r.Confidence is { } sure ? $"{r.Part} ({sure:P0})"
        : r.Part!;

    private static IEnumerable<string> VerdictCells(IReadOnlyList<Reading> line, IReadOnlyList<Judgement> judgements)
    {
        var own = judgements.Where(j => line.Contains(j.Reading, ReferenceEqualityComparer.Instance)).ToList();
        if (own.Count == 0)
            return ["", ""];
        var limits = own.Select(j => VerdictText.Limit(j.Reading!, j.Limit)).Distinct(StringComparer.Ordinal);
        return [string.Join("; ", limits), VerdictText.Marked(Judge.Overall(own.Select(j => j.Verdict)))];
    }
}
