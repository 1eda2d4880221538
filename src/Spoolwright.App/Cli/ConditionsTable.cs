using Spectre.Console;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Limits;
using Spoolwright.Reports;

namespace Spoolwright.App.Cli;

/// <summary>A job at a glance: every condition and limit, as found beside as left.</summary>
internal static class ConditionsTable
{
    private static readonly Mark[] Marks = [Mark.AsFound, Mark.FirstRun, Mark.AsLeft];

    public static void Write(RecordData record, Terminal terminal)
    {
        var console = Screen.Of(terminal);
        foreach (var condition in record.Conditions)
        {
            var marks = Marks.Where(m => condition.Pass(m) is not null).ToArray();
            var table = new Table().Border(TableBorder.Simple);
            table.AddColumn(new TableColumn(Markup.Escape(Name(condition.Condition))));
            table.AddColumn(new TableColumn("Limit").RightAligned().NoWrap());
            // Two passes have room beside the names, which give way; three have not.
            foreach (var mark in marks)
                table.AddColumn(marks.Length > 2 ? new TableColumn(Word(mark)) : new TableColumn(Word(mark)).NoWrap());
            foreach (var row in Rows(condition, marks))
                table.AddRow([.. row.Select(c => new Markup(c))]);
            console.Write(table);
        }
    }

    private static IEnumerable<string[]> Rows(RecordedCondition condition, Mark[] marks)
    {
        var summaries = marks.Select(m => Judge.Summarise(condition.Pass(m)!.Judgements)).ToArray();
        foreach (var limit in summaries.SelectMany(s => s.Select(x => x.Limit)).DistinctBy(Text))
        {
            var quantity = Quantity.Find(limit.Quantity);
            var name = (quantity?.Name ?? limit.Quantity) + (limit.FrequencyHz is { } hz ? $", at {UncertainFigure.Plain(hz)} Hz" : "");
            var cells = new List<string>
            {
                Markup.Escape(quantity is { Unit: not ("1" or "1/min") } ? $"{name}, {quantity.Unit}" : name),
                Markup.Escape(Text(limit).Split('\t')[1]),
            };
            foreach (var summary in summaries.Select(s => s.FirstOrDefault(x => Text(x.Limit) == Text(limit))))
            {
                var reading = summary?.Worst.Reading;
                cells.Add(
                    (reading is null ? "" : Markup.Escape(Short(reading)) + " ")
                        + VerdictText.Marked(summary?.Verdict ?? Verdict.NotMeasured)
                );
            }

            yield return [.. cells];
        }
    }

    // Quantity and figure: limits of two passes are the same limit when they read the same.
    private static string Text(Limit limit)
    {
        var figure = (limit.Min, limit.Max) switch
        {
            ({ } min, { } max) when Math.Abs(min + max) < 1e-9 => $"±{UncertainFigure.Plain(max)}",
            ({ } min, { } max) => $"{UncertainFigure.Plain(min)} to {UncertainFigure.Plain(max)}",
            (null, { } max) => $"≤ {UncertainFigure.Plain(max)}",
            ({ } min, null) => $"≥ {UncertainFigure.Plain(min)}",
            _ => "mask",
        };
        return $"{limit.Quantity}{(limit.FrequencyHz is { } f ? " at " + UncertainFigure.Plain(f) : "")}\t{figure}";
    }

    // Three significant digits are enough at a glance; the record has them all.
    private static string Short(Reading reading)
    {
        var decimals = Math.Abs(reading.Value) switch { >= 10 => 1, >= 0.3 => 2, _ => 3 };
        var where = reading.Channel == Channel.Both ? "" : reading.Channel == Channel.Left ? " L" : " R";
        return Math.Round(reading.Value, decimals).ToString("F" + decimals, System.Globalization.CultureInfo.InvariantCulture) + where;
    }

    private static string Name(Condition condition) =>
        $"{DeckWords.Word(condition.Direction)}, {UncertainFigure.Plain(condition.SpeedCmPerS)} cm/s{(condition.TapeSetting is { } s ? ", " + s : "")}";

    private static string Word(Mark mark) => mark switch
    {
        Mark.AsFound => "As found",
        Mark.FirstRun => "First run",
        _ => "As left",
    };
}
