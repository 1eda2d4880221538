using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Web.Book;

/// <summary>Decks with their owners and jobs.</summary>
internal static class DeckPages
{
    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> ListVerbs { get; } =
        new Dictionary<string, Func<BookVisit, Written>> { ["take-in"] = TakeIn };

    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> Verbs { get; } =
        new Dictionary<string, Func<BookVisit, Written>>
        {
            ["owner"] = v => new Written(
                "the owner is written down",
                new JobDesk(v.Book).NewOwner(v.Id("deck"), v.Need("name", "the owner's name"), v.PastDay("since"), v.Text("contact"))
            ),
            ["correct-owner"] = v => new Written(
                "it stands now; the earlier entry stays in the book",
                new JobDesk(v.Book).CorrectOwner(
                    v.Id("deck"),
                    v.NeedId("owner"),
                    v.Need("name", "the owner's name"),
                    v.PastDay("since"),
                    v.Text("contact")
                )
            ),
            ["take-back-owner"] = v => new Written(
                "it is taken back; the entry stays in the book",
                v.Book.Withdraw<DeckOwner>(v.NeedId("owner"), v.Need("why", "the reason"))
            ),
            ["open"] = Open,
        };

    public static BookPage List(BookVisit v)
    {
        var lines = v.Book.DeckLines(v.Most);
        var count = v.Book.DeckCount();
        var owners = v
            .Book.Look(w => w.Standing<DeckOwner>(nameof(DeckOwner.DeckId), lines.Select(d => (object)d.Id)))
            .GroupBy(o => o.DeckId)
            .ToDictionary(g => g.Key, g => JobDesk.InOrder(g)[^1].Name);
        return new BookPage("Decks")
        {
            Lines =
            [
                count > BookVisit.MostRows
                    ? $"{count} decks, the {BookVisit.MostRows} last worked on shown; / finds every other, and CSV and JSON have all."
                    : $"{count} decks, the one last worked on first.",
            ],
            Tables =
            [
                new PageTable(
                    "decks",
                    "Decks",
                    [
                        new("profile", "Kind"),
                        new("serial_number", "Serial number"),
                        new("owner", "Owner"),
                        new("jobs", "Jobs", ColumnKind.Figures),
                        new("open_jobs", "Open", ColumnKind.Figures),
                        new("last_opened", "Last opened"),
                        new("description", "Description"),
                    ],
                    [
                        .. lines.Select(d => new PageRow(
                            [
                                d.ProfileName,
                                d.SerialNumber,
                                owners.GetValueOrDefault(d.Id),
                                d.Jobs,
                                d.OpenJobs,
                                d.LastOpened is { } at ? v.When(at)[..10] : null,
                                d.Description,
                            ],
                            d.Id.ToString(),
                            $"/book/deck/{d.Id}"
                        )),
                    ]
                )
                {
                    Empty = "The book has no deck yet: A takes one in.",
                    Count = count,
                },
            ],
            More = json => PageSender.Words(json, "profiles", new ProfileDesk(v.Book).Names()),
        };
    }

    public static BookPage One(BookVisit v)
    {
        var deck = v.Book.ReadDeck(v.Id("deck"));
        var jobs = v.Book.Jobs(deck.Id);
        var owners = v.Book.Everything<DeckOwner>(deck.Id);
        var offers = v
            .Book.Look(w => w.Standing<Offer>(nameof(Offer.ProfileName), deck.ProfileName))
            .Where(o => string.Equals(o.SerialNumber, deck.SerialNumber, StringComparison.OrdinalIgnoreCase))
            .ToList();
        return new BookPage($"{deck.ProfileName}, {deck.SerialNumber}")
        {
            Lines = deck.Description.Length > 0 ? [deck.Description] : [],
            Links = [new("its kind", $"/book/field/{Uri.EscapeDataString(deck.ProfileName)}?deck={deck.Id}")],
            Tables =
            [
                new PageTable("jobs", "Jobs", [new("job", "Job"), new("opened", "Opened"), new("closed", "Closed"), new("state", "State", ColumnKind.State), new("what", "What")],
                    [.. jobs.OrderByDescending(j => j.Opened).Select(j => new PageRow([JobDesk.Number(j), v.When(j.Opened)[..10], j.Closed is { } at ? v.When(at)[..10] : null, j.Closed is null ? "open" : "closed", j.What], j.Id.ToString(), $"/book/job/{j.Id}"))])
                { Empty = "It has had no job yet: A opens one." },
                new PageTable("owners", "Owners", [new("since", "Since"), new("name", "Name"), new("contact", "Contact"), .. EntryStates.Columns], EntryStates.Rows(owners, o => [BookVisit.Day(o.Since), o.Name, o.Contact]))
                { Empty = "Nobody is written down as its owner." },
                new PageTable("offers", "Offers", [new("day", "Day"), new("asked", "Asked", ColumnKind.Figures), new("seller", "Seller"), new("decision", "Became", ColumnKind.State)],
                    [.. offers.Select(o => new PageRow([BookVisit.Day(o.Day), o.Asked.ToString(), o.Seller, KebabWord.Plain(o.Decision)], o.Root.ToString(), $"/book/offer/{o.Root}"))])
                { Empty = "It was bought without an offer in the book." },
            ],
        };
    }

    private static Written TakeIn(BookVisit v)
    {
        var json = v.Text("file") ?? new ProfileDesk(v.Book).Text(v.Need("profile", "the kind of deck"));
        var deck = new JobDesk(v.Book).TakeIn(
            json,
            v.Need("serial", "the serial number"),
            v.Text("description") ?? "",
            v.Text("owner"),
            v.PastDay("since")
        );
        return new Written($"{deck.ProfileName} {deck.SerialNumber} is in the book") { To = $"/book/deck/{deck.Id}" };
    }

    private static Written Open(BookVisit v)
    {
        var job = new JobDesk(v.Book).OpenOn(v.Book.ReadDeck(v.Id("deck")), v.Need("what", "what is to be done"), v.MaybeDay("day"));
        return new Written($"job {JobDesk.Number(job)} is open, its plan and its function checks laid out") { To = $"/book/job/{job.Id}" };
    }
}
