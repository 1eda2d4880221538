using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Supplies;

namespace Spoolwright.App.Web.Book;

/// <summary>Parts and supplies: stock, lots, and where a lot went.</summary>
internal static class SupplyPages
{
    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> Verbs { get; } = new Dictionary<string, Func<BookVisit, Written>>
    {
        ["keep"] = v => new Written("the shop keeps it from now on", new SupplyDesk(v.Book).Keep(v.Need("name", "the supply's name"), v.Word("kind", SupplyKind.Other), v.Need("unit", "the unit it is counted in"), v.Number("reorder") ?? 0, v.Text("remark"))),
        ["receive"] = v => new Written("the delivery is in stock", new SupplyDesk(v.Book).Receive(v.Need("supply", "the supply"), v.Need("supplier", "the supplier"), v.Need("number", "the lot's number"), v.Day("day"),
            v.Number("quantity") ?? throw new EntryException("the quantity is missing"), v.Money("price"), v.Text("remark"))),
        ["count"] = v => new Written("the difference is written down", new SupplyDesk(v.Book).Count(v.Need("supply", "the supply"), v.Need("lot", "the lot"), v.Number("counted") ?? throw new EntryException("what was counted is missing"), v.Today)),
        ["doubt"] = Doubt,
    };

    public static BookPage Stock(BookVisit v)
    {
        var board = new SupplyDesk(v.Book).Board();
        var reorder = board.Supplies.Count(s => s.MustReorder);
        return new BookPage("Parts and supplies")
        {
            Lines = [$"{board.Supplies.Count} kept; {reorder} to be ordered again. Enter on a lot lists where it went."],
            Tables =
            [
                new PageTable("stock", "Stock",
                    [new("supply", "Supply"), new("kind", "Kind"), new("left", "Left", ColumnKind.Figures), new("unit", "Unit"), new("reorder_at", "Reorder at", ColumnKind.Figures), new("state", "State", ColumnKind.State), new("remark", "Remark")],
                    [.. board.Supplies.Select(s => new PageRow([s.Supply.Name, KebabWord.Plain(s.Supply.Kind), s.Left, s.Supply.Unit, s.Supply.ReorderAt, s.MustReorder ? "order again" : "enough", s.Supply.Remark], s.Supply.Name))])
                { Empty = "The shop keeps nothing yet: A adds a supply." },
                new PageTable("lots", "Lots",
                    [new("lot", "Lot"), new("supply", "Supply"), new("supplier", "Supplier"), new("received", "Received"), new("quantity", "Came", ColumnKind.Figures), new("left", "Left", ColumnKind.Figures), new("price", "Price of one", ColumnKind.Figures), new("state", "State", ColumnKind.State)],
                    [.. board.Supplies.SelectMany(s => s.Lots.Select(l => new PageRow(
                        [l.Lot.Number, s.Supply.Name, l.Lot.Supplier, BookVisit.Day(l.Lot.Received), l.Lot.Quantity, l.Left, l.Lot.UnitPrice?.ToString(), l.Doubts.Count > 0 ? "doubted" : "good"],
                        $"{s.Supply.Name}\n{l.Lot.Number}", $"/book/lot/{Uri.EscapeDataString(l.Lot.Number)}")))]),
            ],
            More = json => PageSender.Words(json, "kinds", KebabWord.All<SupplyKind>()),
        };
    }

    public static BookPage Lot(BookVisit v, string number)
    {
        var where = new SupplyDesk(v.Book).Recall(number);
        var lots = new SupplyDesk(v.Book).Board().LotsOf(number);
        if (lots.Count == 0)
            throw new EntryException($"no lot has the number {number}");
        return new BookPage($"Lot {number}")
        {
            Lines =
            [
                .. lots.Select(l =>
                    $"{l.Supply.Name}, from {l.Lot.Lot.Supplier}, {l.Lot.Lot.Received:yyyy-MM-dd}: {SupplyBoard.Plain(l.Lot.Left)} of {SupplyBoard.Plain(l.Lot.Lot.Quantity)} {l.Supply.Unit} left."
                ),
                $"{SupplyDesk.Holders(where)}.",
            ],
            Warnings = [.. lots.SelectMany(l => l.Lot.Doubts.Select(d => $"Doubted on {v.When(d.Entered)[..10]}: {d.Why}"))],
            Tables =
            [
                new PageTable(
                    "recall",
                    "Where it went",
                    [
                        new("day", "Day"),
                        new("deck", "Deck"),
                        new("job", "Job"),
                        new("place", "Where"),
                        new("quantity", "How much", ColumnKind.Figures),
                        new("owner", "Owner"),
                    ],
                    [
                        .. where.Select(w => new PageRow(
                            [
                                BookVisit.Day(w.Use.Day),
                                $"{w.Deck.ProfileName} {w.Deck.SerialNumber}",
                                JobDesk.Number(w.Job),
                                w.Use.Place,
                                w.Use.Quantity,
                                w.Owner,
                            ],
                            w.Use.Id.ToString(),
                            $"/book/job/{w.Job.Id}"
                        )),
                    ]
                )
                {
                    Empty = "Nothing of it was fitted in a deck.",
                },
            ],
        };
    }

    private static Written Doubt(BookVisit v)
    {
        var number = v.Need("lot", "the lot");
        var before = v.Book.Everything<LotDoubt>().Select(d => d.Id).ToHashSet();
        var recall = new SupplyDesk(v.Book).Doubt(number, v.Need("why", "what is wrong with it"));
        return new Written(
            $"lot {number} is doubted; {SupplyDesk.Holders(recall)}",
            [.. v.Book.Standing<LotDoubt>().Where(d => !before.Contains(d.Id))]
        )
        {
            To = $"/book/lot/{Uri.EscapeDataString(number)}",
        };
    }
}
