using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports.Text;

/// <summary>A quantity as a pair of columns of a section's table.</summary>
/// <param name="Title">Heading.</param>
/// <param name="Of">The readings of a pass that it shows, one a channel.</param>
internal sealed record TableQuantity(string Title, Func<RecordedPass, IEnumerable<Reading>> Of)
{
    /// <summary>A quantity of one measurement, by its id.</summary>
    public static TableQuantity Simple(string title, string measurement, string quantity) =>
        new(title, p => Read(p, measurement, quantity));

    /// <summary>Of readings at several tones the one at the lowest, each channel by itself.</summary>
    public static TableQuantity Low(string title, string measurement, string quantity) => new(title, p => Read(p, measurement, quantity)
        .GroupBy(r => r.Channel).Select(g => g.MinBy(r => r.FrequencyHz ?? 0)!));

    private static IEnumerable<Reading> Read(RecordedPass pass, string measurement, string quantity) =>
        pass
            .Measurements.Where(m => m.Entry.Measurement == measurement)
            .SelectMany(m => m.Result.Readings)
            .Where(r => r.Quantity == quantity);
}

/// <summary>A section's table: a row a condition, each quantity as found and as left, left and right channel beside each other.</summary>
internal static class ConditionTable
{
    public static Table Of(IEnumerable<RecordedCondition> conditions, string caption, params TableQuantity[] quantities)
    {
        var columns = new List<Column> { new("Condition", 2.2) };
        var groups = new List<ColumnGroup> { new(string.Empty, 1) };
        foreach (TableQuantity q in quantities)
        {
            groups.Add(new ColumnGroup(q.Title, 2));
            columns.Add(new Column("as found", 1, Figures: true));
            columns.Add(new Column("as left", 1, Figures: true));
        }

        return new Table(
            columns,
            [
                .. conditions.Select(c =>
                    (IReadOnlyList<Cell>)
                        [
                            (Cell)Words.Capital(Words.Of(c.Condition)),
                            .. quantities.SelectMany(q => new[] { CellOf(Passes.Before(c), q), CellOf(Passes.After(c), q) }),
                        ]
                ),
            ]
        )
        {
            Groups = groups,
            Caption = caption,
            Dense = true,
        };
    }

    private static Cell CellOf(RecordedPass? pass, TableQuantity quantity)
    {
        var readings = pass is null ? [] : quantity.Of(pass).OrderBy(r => r.Channel).ToList();
        if (readings.Count == 0)
            return new Cell("–");
        string text = string.Join(" / ", readings.Select(Figures.Short));
        Judgement? worst = Summary.Worst(pass!.Judgements.Where(j => j.Reading is { } r && readings.Contains(r)));
        return worst is null || Summary.NotJudged(worst)
            ? new Cell(text)
            : new Cell(text, null, worst.Verdict, Strong: worst.Verdict != Verdict.Met);
    }
}
