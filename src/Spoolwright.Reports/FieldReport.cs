using System.Globalization;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service.Field;
using Spoolwright.Reports.Plots;

namespace Spoolwright.Reports;

/// <summary>What the book says of all decks of one kind.</summary>
public sealed record FieldData
{
    public required string ProfileName { get; init; }

    public required IReadOnlyList<FieldQuantity> Quantities { get; init; }

    public required IReadOnlyList<Repeatability> Repeats { get; init; }

    public required IReadOnlyList<TaskHours> Hours { get; init; }

    /// <summary>Limits of the profile.</summary>
    public IReadOnlyList<Limit> Limits { get; init; } = [];

    /// <summary>The deck that is looked for; null: none.</summary>
    public Guid? DeckId { get; init; }

    public string? SerialNumber { get; init; }

    public required string ProgramVersion { get; init; }
}

/// <summary>The field of a kind of deck as a page with plots.</summary>
public static class FieldReport
{
    // More plots than this are a wall, not a picture; the table has the rest.
    private const int MostPlots = 24;

    private const int MostOfAQuantity = 4;

    // The page shows a plot 550 wide and more, so that its smallest letters, 7 here, are 12 pixels high.
    private const float PlotWidth = 320;

    /// <summary>Writes the page.</summary>
    public static string Write(FieldData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        return HtmlRecord.Page([.. Blocks(data)], data.ProgramVersion);
    }

    /// <summary>The plots alone, each with what it shows in words and as a whole SVG file: first quantities, then hours.</summary>
    public static IReadOnlyList<(string Says, string Svg)> Plots(FieldData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        var plots = Plotted(data).Select(q => (Drawing: FieldPlot.Of(q, data.Limits, data.DeckId), Height: 112f)).ToList();
        if (HoursPlot.Of(data.Hours) is { } hours)
            plots.Add((hours, 262f));
        return
        [
            .. plots.Select(
                (p, i) =>
                    (
                        p.Drawing.Description,
                        Html.DrawingSvg.Of(p.Drawing, PlotWidth, p.Height, i)
                            .Replace("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", StringComparison.Ordinal)
                    )
            ),
        ];
    }

    // In the order in which the trade takes them: speed first. Of each quantity a few conditions are plotted.
    private static List<FieldQuantity> Plotted(FieldData data)
    {
        var order = Bench.Quantity.All.Select((q, i) => (q.Id, i)).ToDictionary(q => q.Id, q => q.i, StringComparer.Ordinal);
        return [.. data.Quantities.Where(q => q.Decks.Count > 1 && q.Key.Quantity != "flutter-line" && q.Key.Role is null)
            .GroupBy(q => q.Key.Quantity)
            .OrderByDescending(g => data.Limits.Any(l => l.Quantity == g.Key)).ThenBy(g => order.GetValueOrDefault(g.Key, int.MaxValue))
            .SelectMany(g => g.OrderByDescending(q => q.Decks.Count).ThenBy(q => q.Key.Channel).Take(MostOfAQuantity)).Take(MostPlots)];
    }

    private static IEnumerable<Block> Blocks(FieldData data)
    {
        int decks = data.Quantities.SelectMany(q => q.Decks).Select(d => d.DeckId).Distinct().Count();
        yield return new Heading(1, $"{data.ProfileName}: {decks} decks side by side");
        yield return new Paragraph(
            "Of each deck the last reading as found and as left counts. Open circles: as found. Full circles: as left. A line joins the two of one deck."
                + (data.SerialNumber is { } serial ? $" The diamond is {serial}." : string.Empty)
                + " Upright rules are the profile's limits.",
            Small: true
        );
        var plotted = Plotted(data);
        if (plotted.Count > 0)
            yield return new Heading(2, "Spread, as found and as left", "spread");
        foreach (var row in plotted.Select(q => FieldPlot.Of(q, data.Limits, data.DeckId)).Chunk(2))
            yield return new DrawingRow(row, 0.34);
        if (plotted.Count > 0)
            yield return Table(data, plotted);
        if (HoursPlot.Of(data.Hours) is { } hours)
        {
            yield return new Heading(2, "Hours foreseen against taken", "hours");
            yield return new DrawingRow([hours], 0.4);
        }

        if (data.Repeats.Count > 0)
        {
            yield return new Heading(2, "How well measuring repeats", "repeats");
            yield return new Paragraph(
                "The same deck, condition, tape and day. Two measurements that differ by more than the last column differ for certain, in 95 of 100 cases.",
                Small: true
            );
            yield return new Table(
                [
                    new Column("Quantity", 2),
                    new Column("One measurement scatters by", 1, Figures: true),
                    new Column("Groups", 0.6, Figures: true),
                    new Column("Least certain difference", 1, Figures: true),
                ],
                [
                    .. data.Repeats.Select(r =>
                        (IReadOnlyList<Cell>)
                            [
                                Words.Quantity(r.Quantity),
                                $"{Figure(r.Deviation)} {r.Unit}",
                                r.Groups.ToString(CultureInfo.InvariantCulture),
                                $"{Figure(r.LeastDifference)} {r.Unit}",
                            ]
                    ),
                ]
            )
            {
                Caption = "Repeatability",
            };
        }
    }

    private static Table Table(FieldData data, IReadOnlyList<FieldQuantity> quantities) =>
        new(
            [
                new Column("Quantity", 2.6),
                new Column("As found, middle", 1, Figures: true),
                new Column("As left, middle", 1, Figures: true),
                new Column("Gain, mean", 1, Figures: true),
                new Column("Decks", 0.6, Figures: true),
                new Column("Stands", 1.1),
            ],
            [
                .. quantities.Select(q =>
                    (IReadOnlyList<Cell>)
                        [
                            new Cell(
                                $"{Words.Quantity(q.Key.Quantity, q.Key.Channel)}",
                                $"{Words.Of(new Bench.Condition(q.Key.Direction, q.Key.SpeedCmPerS, q.Key.TapeSetting))}, {q.Key.Unit}"
                            ),
                            Middle(q.AsFound),
                            Middle(q.AsLeft),
                            q.Gain is { } gain ? Figure(gain.Mean) : "–",
                            q.Decks.Count.ToString(CultureInfo.InvariantCulture),
                            data.DeckId is { } id && q.StandOf(id) is { } stand ? $"above {stand.Below} of {stand.Others}" : "–",
                        ]
                ),
            ]
        )
        {
            Caption = "Every quantity plotted",
            Dense = true,
        };

    private static string Middle(Spread? spread) => spread is null ? "–" : Figure(spread.Median);

    private static string Figure(double value) => FieldPlot.Figure(value);
}
