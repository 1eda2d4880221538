using Microsoft.AspNetCore.Http;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Web.Book;

/// <summary>The book as a whole: search, what was written lately and undoing it, plans and profiles, the shop, every table.</summary>
internal static class BookPages
{
    private const int MostLately = 100;

    // Before a lot's number in the title under which the index keeps it.
    private const string LotMark = ", lot ";

    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> Verbs { get; } =
        new Dictionary<string, Func<BookVisit, Written>>
        {
            ["undo"] = Undo,
            ["keep-plan"] = v => new Written(
                "the plan is in the book; jobs laid out before stay as they are",
                new PlanDesk(v.Book).Keep(v.Need("file", "the plan's file"))
            ),
            ["copy-plan"] = v => new Written(
                "the plan is copied",
                new PlanDesk(v.Book).Copy(v.Text("from"), v.Need("name", "the copy's name"))
            ),
            ["keep-profile"] = v => new Written(
                "the profile is in the book; decks keep theirs",
                new ProfileDesk(v.Book).Keep(v.Need("file", "the profile's file"))
            ),
            ["copy-profile"] = v => new Written(
                "the profile is copied",
                new ProfileDesk(v.Book).Copy(v.Need("from", "the profile"), v.Need("name", "the copy's name"))
            ),
            ["shop"] = SetShop,
        };

    public static BookPage Search(BookVisit v)
    {
        var question = v.Query("q").Trim();
        var hits = question.Length == 0 ? [] : v.Book.Search(question.Length > 200 ? question[..200] : question, 100);
        return new BookPage("Search")
        {
            Tables =
            [
                new PageTable(
                    "found",
                    question.Length == 0 ? "Found" : $"Found for “{question}”",
                    [new("kind", "What"), new("title", "Title"), new("text", "Text"), new("at", "When")],
                    [
                        .. hits.Select(h => new PageRow(
                            [
                                TableWords.Of(h.Kind),
                                h.Title,
                                h.Body.Length > 200 ? h.Body[..200] + " …" : h.Body,
                                h.At is { } at ? v.When(at)[..10] : null,
                            ],
                            h.Id.ToString(),
                            Where(h)
                        )),
                    ]
                )
                {
                    Empty =
                        question.Length == 0
                            ? "Words are found by their beginning; several must all be there."
                            : "Nothing in the book holds all of these words.",
                },
            ],
        };
    }

    public static BookPage Lately(BookVisit v)
    {
        var entries = v.Book.Lately(MostLately);
        var whole = v.Book.Read(entries);
        var words = new EntryWords(v.Book, [.. whole.Values]);
        var acts = v.Book.Acts(MostLately);
        return new BookPage("Written lately")
        {
            Lines =
            [
                "U undoes the one chosen by a new entry: what was added is taken back, what was corrected becomes as it was, what was taken back stands again. Nothing leaves the book, so an undoing can be undone.",
            ],
            Tables =
            [
                new PageTable(
                    "entries",
                    "Entries, newest first",
                    [
                        new("entered", "Entered"),
                        new("what", "What"),
                        new("deck", "Deck"),
                        new("text", "In it"),
                        new("state", "State", ColumnKind.State),
                        new("why", "Why"),
                        new("number", "Number"),
                    ],
                    [
                        .. entries.Select(e => new PageRow(
                            [
                                v.When(e.Entered),
                                TableWords.Of(e.Table),
                                whole.TryGetValue(e.Id, out var entry) ? words.DeckOf(entry) : null,
                                entry is null ? null : words.Of(entry),
                                e.Withdrawn is null ? "stands" : "taken back",
                                e.Withdrawn,
                                e.Id.ToString("N")[^8..],
                            ],
                            $"{e.Table}/{e.Id}"
                        )),
                    ]
                ),
                new PageTable(
                    "acts",
                    "Changes of decks and jobs, newest first",
                    [new("at", "When"), new("what", "What"), new("who", "Who"), new("state", "State", ColumnKind.State)],
                    [
                        .. acts.Select(a => new PageRow(
                            [v.When(a.At), a.What, a.Who, a.UndoneBy is null ? "stands" : "undone"],
                            a.UndoneBy is null ? $"act/{a.Id}" : null
                        )),
                    ]
                ),
            ],
        };
    }

    public static BookPage Plans(BookVisit v)
    {
        var plans = new PlanDesk(v.Book).Plans();
        return new BookPage("Plans and profiles")
        {
            Lines =
            [
                "Each is one readable file: save it, change it in any editor, take it in again. Jobs and decks keep what they were begun with.",
            ],
            Tables =
            [
                new PageTable(
                    "plans",
                    "Plans",
                    [new("plan", "Plan"), new("tasks", "Tasks", ColumnKind.Figures), new("from", "From")],
                    [
                        new PageRow(
                            [PlanLibrary.Default.Name, PlanLibrary.Default.Tasks.Count, "comes with the program"],
                            PlanLibrary.Default.Name,
                            $"/api/book/plan?name={Uri.EscapeDataString(PlanLibrary.Default.Name)}"
                        ),
                        .. plans.Select(p => new PageRow(
                            [p.Name, PlanFile.Parse(p.Json).Value?.Tasks.Count, "this book"],
                            p.Name,
                            $"/api/book/plan?name={Uri.EscapeDataString(p.Name)}"
                        )),
                    ]
                ),
                new PageTable(
                    "profiles",
                    "Deck profiles",
                    [new("profile", "Profile")],
                    [
                        .. new ProfileDesk(v.Book)
                            .Names()
                            .Select(n => new PageRow([n], n, $"/api/book/profile?name={Uri.EscapeDataString(n)}")),
                    ]
                ),
            ],
        };
    }

    /// <summary>A plan as its file.</summary>
    public static Task PlanFileOf(BookVisit v, HttpContext context) =>
        SendText(context, "plan.json", new PlanDesk(v.Book).Text(v.Query("name")));

    /// <summary>A profile as its file.</summary>
    public static Task ProfileFileOf(BookVisit v, HttpContext context) =>
        SendText(context, "deck-profile.json", new ProfileDesk(v.Book).Text(v.Query("name")));

    public static BookPage Shop(BookVisit v)
    {
        var shop = v.Shop;
        return new BookPage("The shop")
        {
            Lines =
            [
                "Times that are typed are meant in the shop's zone, amounts without a currency in its own. The shop's key lies in a file of its own and never in the book: spoolwright shop key makes it.",
            ],
            Tables =
            [
                new PageTable("shop", "Settings", [new("setting", "Setting"), new("value", "Value")],
                    [
                        new PageRow(["name", shop.Name]),
                        new PageRow(["place", shop.Place]),
                        new PageRow(["currency", shop.Currency]),
                        new PageRow(["time zone", shop.Zone]),
                        new PageRow(["an hour should bring", shop.HourlyWanted?.ToString()]),
                        new PageRow(["warranty, months", shop.WarrantyMonths]),
                        new PageRow(["it covers", shop.WarrantyTerms]),
                    ]
                ),
            ],
            More = json =>
            {
                json.WriteString("name", shop.Name);
                json.WriteString("place", shop.Place);
                json.WriteString("currency", shop.Currency);
                json.WriteString("zone", shop.Zone);
                json.WriteString("hourly", shop.HourlyWanted?.ToString());
                json.WriteString("months", shop.WarrantyMonths.ToString(System.Globalization.CultureInfo.InvariantCulture));
                json.WriteString("terms", shop.WarrantyTerms);
            },
        };
    }

    public static BookPage Tables(BookVisit v) =>
        new("Every table")
        {
            Lines =
            [
                "Rows as they stand in the book: what was corrected or taken back is there as well. Tables of pages have their own CSV and JSON beside them.",
            ],
            Tables =
            [
                new PageTable(
                    "tables",
                    "Tables of the book",
                    [new("table", "Table"), new("csv", "CSV"), new("json", "JSON")],
                    [
                        .. ServiceBook.TableNames.Select(n => new PageRow(
                            [n.Replace('_', ' '), $"/api/book/table/{n}?as=csv", $"/api/book/table/{n}?as=json"],
                            n,
                            $"/api/book/table/{n}?as=csv"
                        )),
                    ]
                ),
            ],
        };

    /// <summary>A table whole.</summary>
    public static Task Table(BookVisit v, HttpContext context)
    {
        var name = (string)context.Request.RouteValues["name"]!;
        if (!ServiceBook.TableNames.Contains(name, StringComparer.Ordinal))
            throw new EntryException($"the book has no table {name}");
        var table = v.Book.ReadTable(name);
        return PageSender.SendFile(context, table.Name, table.Columns, table.Rows);
    }

    private static string? Where(SearchHit hit) =>
        hit.Kind switch
        {
            "deck" or "deck_owner" => $"/book/deck/{hit.DeckId}",
            "supply" => "/book/parts",
            "lot" or "lot_doubt" =>
                $"/book/lot/{Uri.EscapeDataString(hit.Title[(hit.Title.LastIndexOf(LotMark, StringComparison.Ordinal) + LotMark.Length)..])}",
            "kept_instrument" => $"/book/instrument/{hit.Id}",
            "instrument_event" => "/book/instruments",
            "offer" => $"/book/offer/{hit.Id}",
            "photo" => $"/book/photos/{hit.JobId}",
            "listing_text" => $"/book/listing/{hit.JobId}",
            "sale" or "job_cost" or "supply_use" when hit.JobId is not null => $"/book/money/{hit.JobId}",
            _ => hit.JobId is { } job ? $"/book/job/{job}"
            : hit.DeckId is { } deck ? $"/book/deck/{deck}"
            : null,
        };

    private static Written Undo(BookVisit v)
    {
        var (table, id) = (v.Need("table", "what is to be undone"), v.NeedId("id"));
        if (table == "act")
        {
            var undone = v.Book.Undo(id);
            return new Written(undone.What) { Act = undone.Id };
        }

        if (!ServiceBook.TableNames.Contains(table, StringComparer.Ordinal))
            throw new EntryException($"the book keeps no entries in {table}");
        try
        {
            var entry = v.Book.UndoEntry(new LateEntry(table, id, default, null));
            return new Written($"undone ({TableWords.Of(table)})", entry);
        }
        catch (ArgumentException e)
        {
            throw new EntryException(e.Message);
        }
    }

    private static Written SetShop(BookVisit v)
    {
        var old = v.Shop;
        var currency = v.Text("currency")?.ToUpperInvariant() ?? old.Currency;
        return new Written("the shop is set", new ShopDesk(v.Book).Set(old with
        {
            Name = v.Text("name") ?? old.Name,
            Place = v.Text("place"),
            Currency = currency,
            Zone = v.Text("zone") ?? old.Zone,
            HourlyWanted = v.Text("hourly") is { } hourly ? Money.Parse(hourly, currency) : null,
            WarrantyMonths = v.Whole("months") ?? old.WarrantyMonths,
            WarrantyTerms = v.Text("terms"),
        }));
    }

    private static Task SendText(HttpContext context, string name, string text)
    {
        context.Response.ContentType = "application/json; charset=utf-8";
        context.Response.Headers.ContentDisposition = $"attachment; filename=\"{name}\"";
        return context.Response.WriteAsync(text);
    }
}
