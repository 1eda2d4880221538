using System.Text;
using Microsoft.AspNetCore.Http;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;

namespace Spoolwright.App.Web.Book;

/// <summary>Decks of a kind side by side.</summary>
internal static class FieldPages
{
    public static BookPage Kinds(BookVisit v) =>
        new("Kinds of deck")
        {
            Lines = ["Enter lays all decks of a kind side by side: spread as found and as left, repeatability, hours."],
            Tables =
            [
                new PageTable(
                    "kinds",
                    "Kinds",
                    [
                        new("profile", "Kind"),
                        new("decks", "Decks", ColumnKind.Figures),
                        new("jobs", "Jobs", ColumnKind.Figures),
                        new("open", "Open", ColumnKind.Figures),
                    ],
                    [
                        .. v
                            .Book.ProfileLines()
                            .Select(p => new PageRow(
                                [p.ProfileName, p.Decks, p.Jobs, p.OpenJobs],
                                p.ProfileName,
                                $"/book/field/{Uri.EscapeDataString(p.ProfileName)}"
                            )),
                    ]
                ),
            ],
        };

    public static BookPage One(BookVisit v, string profile)
    {
        var deck = Guid.TryParse(v.Query("deck"), out var id) ? v.Book.ReadDeck(id) : null;
        var data = new FieldDesk(v.Book).Of(profile, deck);
        var shown = data.Quantities.Where(q => q.Key.Quantity != "flutter-line").ToList();
        var query = $"?profile={Uri.EscapeDataString(profile)}{(deck is null ? "" : $"&deck={deck.Id}")}";
        return new BookPage($"{profile}: decks side by side")
        {
            Lines =
            [
                $"{shown.SelectMany(q => q.Decks).Select(d => d.DeckId).Distinct().Count()} decks with readings; of each the last as found and as left counts.",
                .. deck is null
                    ? Array.Empty<string>()
                    :
                    [
                        shown.Any(q => q.StandOf(deck.Id) is not null)
                            ? $"{deck.SerialNumber} is the one looked for: the column Stands says how many others lie below it as left, and it is the diamond in the plots."
                            : $"{deck.SerialNumber} has no readings as left yet, so it stands nowhere among them.",
                    ],
            ],
            Links = [new("the plots on a page of their own", "/record/field" + query, Apart: true)],
            Tables =
            [
                new PageTable("spread", "Spread over the decks",
                    [
                        new("quantity", "Quantity"),
                        new("unit", "Unit"),
                        new("decks", "Decks", ColumnKind.Figures),
                        new("found_least", "Found, least", ColumnKind.Figures),
                        new("found_median", "middle", ColumnKind.Figures),
                        new("found_most", "most", ColumnKind.Figures),
                        new("left_least", "Left, least", ColumnKind.Figures),
                        new("left_median", "middle", ColumnKind.Figures),
                        new("left_most", "most", ColumnKind.Figures),
                        new("gain_mean", "Gain, mean", ColumnKind.Figures),
                        new("stands", "Stands"),
                    ],
                    [.. shown.Select(q => new PageRow(
                        [
                            q.Key.Words, q.Key.Unit, q.Decks.Count, Round(q.AsFound?.Least), Round(q.AsFound?.Median), Round(q.AsFound?.Most), Round(q.AsLeft?.Least), Round(q.AsLeft?.Median), Round(q.AsLeft?.Most),
                            Round(q.Gain?.Mean), deck is not null && q.StandOf(deck.Id) is { } stand ? $"above {stand.Below} of {stand.Others}" : null,
                        ]))])
                { Empty = "No deck of this kind has readings yet." },
                new PageTable("repeats", "How well measuring repeats", [new("quantity", "Quantity"), new("unit", "Unit"), new("deviation", "One scatters by", ColumnKind.Figures), new("groups", "Groups", ColumnKind.Figures), new("freedom", "Degrees of freedom", ColumnKind.Figures), new("least_difference", "Two differ for certain beyond", ColumnKind.Figures)],
                    [.. data.Repeats.Select(r => new PageRow([Bench.Quantity.Find(r.Quantity)?.Name ?? r.Quantity, r.Unit, Round(r.Deviation), r.Groups, r.Freedom, Round(r.LeastDifference)]))])
                { Empty = "No deck was measured twice on one day under the same condition." },
                new PageTable("hours", "Hours foreseen against taken", [new("stage", "Stage"), new("task", "Task"), new("foreseen", "Foreseen, mean", ColumnKind.Figures), new("jobs", "Jobs timed", ColumnKind.Figures), new("least", "Taken, least", ColumnKind.Figures), new("mean", "mean", ColumnKind.Figures), new("most", "most", ColumnKind.Figures)],
                    [.. data.Hours.Select(h => new PageRow([KebabWord.Plain(h.Stage), h.Title, Round(h.Foreseen), h.Taken?.Count ?? 0, Round(h.Taken?.Least), Round(h.Taken?.Mean), Round(h.Taken?.Most)]))]),
            ],
            More = json => json.WriteString("plots", "/api/book/plots" + query),
        };
    }

    /// <summary>The plots, drawn once for all of them after the tables stand.</summary>
    public static Task Plots(BookVisit v, HttpContext context)
    {
        var plots = FieldReport.Plots(Data(v));
        return WebJson.Send(context, json => WebJson.Array(json, "plots", plots, static (json, plot) =>
        {
            json.WriteString("says", plot.Says);
            json.WriteString("src", "data:image/svg+xml;base64," + Convert.ToBase64String(Encoding.UTF8.GetBytes(plot.Svg)));
        }));
    }

    /// <summary>All plots as a page of their own.</summary>
    public static Task Report(BookVisit v, HttpContext context)
    {
        context.Response.ContentType = "text/html; charset=utf-8";
        return context.Response.WriteAsync(FieldReport.Write(Data(v)));
    }

    private static FieldData Data(BookVisit v) =>
        new FieldDesk(v.Book).Of(v.Query("profile"), Guid.TryParse(v.Query("deck"), out var id) ? v.Book.ReadDeck(id) : null);

    // Five figures: enough for any of these quantities, and no tail of a division.
    internal static double? Round(double? value) =>
        value is { } v && double.IsFinite(v) && v != 0
            ? Math.Round(v, Math.Clamp(4 - (int)Math.Floor(Math.Log10(Math.Abs(v))), 0, 8))
            : value;
}
