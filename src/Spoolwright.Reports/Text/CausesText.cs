using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Reports.Plots;

namespace Spoolwright.Reports.Text;

/// <summary>What ailed the deck, with the pictures that speak for it: in a table for the buyer, figure by figure for the
/// engineer.</summary>
internal static class CausesText
{
    // So many causes have their evidence and pictures; the table has all of them.
    private const int MostShown = 8;

    /// <summary>Anchor of the section, for whatever leads to it.</summary>
    public const string Anchor = "causes";

    public static IEnumerable<Block> Of(RecordData data)
    {
        if (data.Ailments is not { } ailments)
            yield break;
        var section = CausesSection.Of(ailments);
        yield return new Heading(2, "What ailed the deck", Anchor, NewPage: section.Rows.Count > 0);
        yield return new Paragraph(
            $"{section.InShort} {(section.Rows.Count > 0 ? "Each cause has a chance beforehand and a law by which it changes figures; the share says how likely it was after the readings as the deck came. It is a reasoned guess and no verdict: what was done stands in the job." : "")}".Trim(),
            Small: section.Rows.Count > 0
        );
        if (section.Rows.Count > 0)
        {
            yield return new Table(
                [
                    new Column("Cause", 2.5),
                    new Column("Where", 1.3),
                    new Column("Likely", 0.95, Figures: true),
                    new Column("How much", 2.1),
                    new Column("As left", 1.55),
                    new Column("Rests on", 1.75),
                ],
                [
                    .. section.Rows.Select(
                        (r, i) =>
                            (IReadOnlyList<Cell>)
                                [
                                    new Cell($"{i + 1}. {r.Cause}"),
                                    r.Where.Length > 0 ? r.Where : "the whole deck",
                                    CausesSection.Percent(r.Share),
                                    r.Amount,
                                    r.AsLeft ?? "–",
                                    r.RestsOn,
                                ]
                    ),
                ]
            )
            {
                Caption =
                    "Causes likelier than not, as the deck came. What is marked [memory] is known in the trade and was found in no document",
            };
        }

        if (section.Open is { } open)
            yield return new Paragraph(open);
        if (section.Unexplained is { } left)
            yield return new Paragraph(
                $"Of what was off, the likeliest causes leave {CausesSection.Percent(left)} unexplained.{(section.NextCheck is { } check ? $" The check that would have told most: {check}" : "")}",
                Small: true
            );
        var named = ailments.Found.Findings.Where(f => f.Probability >= Explainer.Named).ToArray();
        foreach (var (n, finding) in named.Take(MostShown).Index())
        {
            foreach (Block block in One(ailments, finding, section.Rows[n], n + 1))
                yield return block;
        }

        if (ailments.Left is { } after)
            yield return new Paragraph("Asked again of the readings as left: " + CausesSection.Of(after).InShort);
    }

    /// <summary>A cell of a deck as it came, leading to its likeliest cause where it misses its limit and one is known.</summary>
    public static Cell Leading(RecordData data, Cell cell, string quantity, IEnumerable<Condition> conditions)
    {
        if (data.Ailments is not { } ailments || cell.Mark != Verdict.NotMet)
            return cell;
        var measurements = Catalogue.Entries.Where(e => e.Yields.Any(q => q.Id == quantity)).Select(e => e.Id).ToArray();
        var named = ailments.Found.Findings.Where(f => f.Probability >= Explainer.Named).Take(MostShown).ToList();
        int at = conditions
            .SelectMany(c => measurements.SelectMany(m => CellCauses.Of(ailments.Found, m, c, Channel.Both)))
            .Select(f => named.IndexOf(f))
            .FirstOrDefault(i => i >= 0, -1);
        return at < 0 ? cell : cell with { LeadsTo = $"cause-{at + 1}" };
    }

    private static IEnumerable<Block> One(Ailments ailments, CauseFinding finding, CauseRow row, int number)
    {
        yield return new Heading(
            3,
            $"{number}. {row.Cause}{(row.Where.Length > 0 ? $" ({row.Where})" : "")}: {CausesSection.Percent(row.Share)}",
            $"cause-{number}"
        );
        yield return new Findings([.. Lines(finding, row)]);
        foreach (var pair in CausePlots.Of(ailments, finding).Chunk(2))
            yield return new DrawingRow([.. pair.Select(p => p.Drawing)], pair.Max(p => p.HeightShare));
    }

    private static IEnumerable<Finding> Lines(CauseFinding finding, CauseRow row)
    {
        yield return new Finding(
            null,
            "For it",
            $"{string.Join("; ", row.For)}{(CausesSection.More(finding.For.Count - row.For.Count) is { } more ? $"; {more}" : "")}. It takes up {CausesSection.Percent(finding.Explains)} of what is off there."
        );
        yield return new Finding(
            null,
            "Against it",
            row.Against.Count > 0
                ? $"{string.Join("; ", row.Against)}."
                : $"nothing that was read. Against it would speak: {string.Join(" Or: ", finding.Causes.Select(c => c.Against))}"
        );
        if (finding.Causes.Count > 1)
            yield return new Finding(
                null,
                "Not told apart",
                "these readings are changed in the same way by each of them; the check would tell."
            );
        yield return new Finding(null, "To tell", row.Check);
        yield return new Finding(null, "To mend", row.Task);
    }
}
