using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.Reports.Text;

/// <summary>
/// The first page's table where much was judged: one line a quantity, the worst of its channels and tape settings in each direction and
/// speed. Quantities of test tape and gauge stand over those of the deck's own recordings.
/// </summary>
internal static class CloseMatrix
{
    private const int Abreast = 4;

    public static IEnumerable<Table> Of(RecordData data)
    {
        var groups = data.Conditions.GroupBy(c => (c.Condition.Direction, c.Condition.SpeedCmPerS)).Select(g => g.ToArray()).ToList();
        var rows = new[] { false, true }
            .SelectMany(recorded => Quantities(data, recorded).Select(q => (Quantity: q, Recorded: recorded)))
            .ToList();
        foreach (RecordedCondition[][] abreast in groups.Chunk(Abreast))
        {
            var columns = new List<Column> { new("Quantity", 3.1), new("Limit", 1.6, Figures: true) };
            var heads = new List<ColumnGroup> { new(string.Empty, 2) };
            foreach (RecordedCondition[] g in abreast)
            {
                heads.Add(new ColumnGroup(Words.Capital(Words.Of(g[0].Condition with { TapeSetting = null })), 2));
                columns.Add(
                    new Column(g.All(c => Passes.Before(c) is null or { Mark: Mark.FirstRun }) ? "first run" : "as found", 1, Figures: true)
                );
                columns.Add(new Column("as left", 1, Figures: true));
            }

            var body = rows.Select(r => Row(data, abreast, r.Quantity, r.Recorded, rows.Contains((r.Quantity, !r.Recorded)))).ToList();
            yield return new Table(columns, body)
            {
                Groups = heads,
                Dense = true,
                Caption = "Worst of the channels and tape settings; every one by itself in the pages that follow",
            };
        }
    }

    private static IEnumerable<string> Quantities(RecordData data, bool recorded)
    {
        var order = Quantity.All.Select((q, i) => (q.Id, i)).ToDictionary(x => x.Id, x => x.i, StringComparer.Ordinal);
        return Judged(data.Conditions.Where(c => IsRecorded(c) == recorded), _ => true)
            .Select(j => j.Limit.Quantity)
            .Distinct()
            .OrderBy(q => order.GetValueOrDefault(q, int.MaxValue));
    }

    private static bool OfGauge(string quantity) =>
        Catalogue.Entries.Where(e => e.Yields.Any(q => q.Id == quantity)).All(e => e.MeasureSheet is not null);

    private static bool IsRecorded(RecordedCondition condition) => condition.Condition.TapeSetting is not null;

    private static IEnumerable<Judgement> Judged(IEnumerable<RecordedCondition> conditions, Func<RecordedPass, bool> which) =>
        conditions.SelectMany(c => c.Passes.Where(which)).SelectMany(p => p.Judgements);

    private static IReadOnlyList<Cell> Row(RecordData data, RecordedCondition[][] abreast, string quantity, bool recorded, bool both)
    {
        string unit = Quantity.Find(quantity)?.Unit ?? string.Empty;
        var limits = Judged(data.Conditions.Where(c => IsRecorded(c) == recorded), _ => true)
            .Where(j => j.Limit.Quantity == quantity)
            .Select(j => j.Limit)
            .Select(l => l.Mask.Count > 0 ? "mask" : Words.Of(l, unit))
            .Distinct()
            .ToList();
        string name =
            Words.Quantity(quantity)
            + (
                // What a gauge reads is neither; a quantity that nobody read is of its measurement.
                both && !OfGauge(quantity)
                    ? recorded
                        ? ", recorded"
                        : ", played"
                    : string.Empty
            );
        var row = new List<Cell>
        {
            name,
            limits.Count == 1 ? limits[0]
            : unit == "1" ? "by condition"
            : $"by condition, {unit}",
        };
        foreach (RecordedCondition[] group in abreast)
        {
            var own = group.Where(c => IsRecorded(c) == recorded).ToList();
            row.Add(
                CausesText.Leading(
                    data,
                    CellOf([.. own.Select(c => (c, Passes.Before(c)))], quantity, brief: true),
                    quantity,
                    own.Select(c => c.Condition)
                )
            );
            row.Add(CellOf([.. own.Select(c => (c, Passes.After(c)))], quantity, brief: false));
        }

        return row;
    }

    private static Cell CellOf(List<(RecordedCondition Condition, RecordedPass? Pass)> passes, string quantity, bool brief)
    {
        var judged = passes
            .SelectMany(p => (p.Pass?.Judgements ?? []).Where(j => j.Limit.Quantity == quantity).Select(j => (p.Condition, Judgement: j)))
            .ToList();
        if (judged.Count == 0)
            return new Cell("–");
        var read = judged.Where(x => x.Judgement.Reading is not null).ToList();
        if (read.Count == 0)
            return new Cell(string.Empty, null, Verdict.NotMeasured);
        var standing = read.Where(x => !Summary.NotJudged(x.Judgement)).ToList();
        Judgement? worst = Summary.Worst(standing.Select(x => x.Judgement));
        if (worst is null)
            return new Cell(Figures.Short(read[0].Judgement.Reading!), "not judged");
        Reading reading = worst.Reading!;
        if (worst.Verdict == Verdict.Met || brief)
            return new Cell(Figures.Short(reading), null, worst.Verdict, Strong: worst.Verdict != Verdict.Met);
        // By how much and where: said only where something is amiss as the deck leaves, so that the page stays short.
        string[] where =
        [
            Words.Of(worst.Verdict)
                + (worst.Margin is { } m && worst.Verdict == Verdict.NotMet ? $" by {Figures.Margin(m, reading.Unit)}" : string.Empty),
            reading.Channel == Channel.Both ? string.Empty
            : reading.Channel == Channel.Left ? "L"
            : "R",
        ];
        return new Cell(Figures.Short(reading), string.Join(", ", where.Where(w => w.Length > 0)), worst.Verdict, Strong: true);
    }
}
