using System.CommandLine;
using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Supplies;

namespace Spoolwright.App.Cli;

/// <summary><c>part</c>: parts and supplies by lot.</summary>
internal static class PartCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("part", "Parts and supplies: stock by lot, what was fitted where, recall lists.",
            "Each delivery is a lot with its supplier, number and price. What is fitted names its lot, so that one that fails is found in every deck it went into.",
            v.Verb("keep", "Adds something that the shop keeps.",
                [Name(), BookVerbs.Given("--kind", "KIND", string.Join(", ", KebabWord.All<SupplyKind>()) + "; other where not said."),
                    BookVerbs.Given("--unit", "UNIT", "What it is counted in: piece, ml, g, m; piece where not said."),
                    BookVerbs.Given("--reorder", "N", "Order again at this stock."), BookVerbs.Given("--remark", "TEXT", "A remark.")],
                [new("spoolwright part keep \"capstan belt 350\" --kind belt --reorder 2", "The book warns when two are left.")],
                c =>
                    $"the shop keeps {new SupplyDesk(c.Book).Keep(c.Need("name"), c.Word("--kind", SupplyKind.Other), c.Text("--unit") ?? "piece", c.Number("--reorder") ?? 0, c.Text("--remark")).Name}",
                makesBook: true
            ),
            v.Verb(
                "receive",
                "Takes a delivery in.",
                [
                    Name(),
                    BookVerbs.Word("quantity", "How much."),
                    BookVerbs.Given("--supplier", "NAME", "From whom.", required: true),
                    BookVerbs.Given("--lot", "NUMBER", "The lot's number.", required: true),
                    BookVerbs.Given("--price", "AMOUNT", "Price of one unit."),
                    BookVerbs.Given("--day", "DAY", "When; today where not said."),
                ],
                [
                    new(
                        "spoolwright part receive \"capstan belt 350\" 10 --supplier \"Harrow Rubber\" --lot HR-118 --price 3.20",
                        "In the shop's currency where none is written."
                    ),
                ],
                c =>
                    $"lot {new SupplyDesk(c.Book).Receive(c.Need("name"), c.Need("--supplier"), c.Need("--lot"), c.Day("--day"), Quantity(c), c.Money("--price")).Number} is in stock"
            ),
            v.Verb(
                "fit",
                "Writes down what was fitted into a job's deck.",
                [
                    BookVerbs.JobName(),
                    Name(),
                    BookVerbs.Word("quantity", "How much."),
                    BookVerbs.Given("--where", "PLACE", "Where it was fitted.", required: true),
                    BookVerbs.Given("--lot", "NUMBER", "From which lot; the oldest that holds enough where not said."),
                        BookVerbs.Given("--day", "DAY", "When; today where not said.")],
                [new("spoolwright part fit 3f2a \"capstan belt 350\" 1 --where capstan", "Stock and the job's costs follow.")], Fit),
            v.Verb("count", "Sets a lot to what was counted.",
                [Name(), BookVerbs.Word("quantity", "What lies there."), BookVerbs.Given("--lot", "NUMBER", "The lot.", required: true)],
                [new("spoolwright part count \"capstan belt 350\" 7 --lot HR-118", "The difference is written down.")],
                c =>
                    $"{SupplyBoard.Plain(-new SupplyDesk(c.Book).Count(c.Need("name"), c.Need("--lot"), Quantity(c), c.Today).Quantity)} against the book"
            ),
            v.Verb(
                "stock",
                "Shows the stock, with what must be ordered.",
                [BookVerbs.Flag("--reorder", "What must be ordered alone.")],
                [new("spoolwright part stock --reorder", "The shopping list.")],
                Stock
            ),
            v.Verb(
                "doubt",
                "Doubts a lot, and gives its recall list.",
                [BookVerbs.Word("lot", "The lot's number."), BookVerbs.Word("why", "What is wrong.")],
                [new("spoolwright part doubt HR-118 \"cracked after a month\"", "Nothing more is taken from it.")],
                    c => Recall(c, new SupplyDesk(c.Book).Doubt(c.Need("lot"), c.Need("why")))),
            v.Verb("recall", "Lists every deck that a lot went into.", [BookVerbs.Word("lot", "The lot's number.")],
                [new("spoolwright part recall HR-118", "With job, place, day and owner.")],
                    c => Recall(c, new SupplyDesk(c.Book).Recall(c.Need("lot")))));
    }

    private static Argument<string> Name() => BookVerbs.Word("name", "The supply, or how its name begins.");

    private static decimal Quantity(BookCall c) => c.Number("quantity") ?? throw new CallException("QUANTITY is missing");

    private static string Fit(BookCall c)
    {
        var desk = new SupplyDesk(c.Book);
        var use = desk.Fit(c.Job.Id, c.Need("name"), Quantity(c), c.Need("--where"), c.Day("--day"), c.Text("--lot"));
        var stock = desk.Board().Find(c.Need("name"));
        return $"{SupplyBoard.Plain(use.Quantity)} {stock.Supply.Unit} of {stock.Supply.Name}, lot {stock.Lots.First(l => l.Lot.Root == use.LotId).Lot.Number}: {use.Place}"
            + (stock.MustReorder ? $"; {SupplyBoard.Plain(stock.Left)} left: order again" : "");
    }

    private static int Stock(BookCall c)
    {
        var supplies = new SupplyDesk(c.Book).Board().Supplies.Where(s => !c.Has("--reorder") || s.MustReorder);
        c.Table(["Supply", "Kind", "~Left", "", "~Reorder at", "Lots"], supplies.Select(s => new[]
        {
            s.Supply.Name, KebabWord.Plain(s.Supply.Kind), SupplyBoard.Plain(s.Left), s.MustReorder ? $"{s.Supply.Unit}, order"
                : s.Supply.Unit, SupplyBoard.Plain(s.Supply.ReorderAt),
            string.Join(", ", s.Lots.Where(l => l.Left != 0)
                .Select(l => $"{l.Lot.Number}: {SupplyBoard.Plain(l.Left)}{(l.Doubts.Count > 0 ? " (doubted)" : "")}")),
        }));
        return ExitCode.Done;
    }

    private static int Recall(BookCall c, IReadOnlyList<LotWhereabouts> where)
    {
        c.Table(["Supply", "!Lot", "!Day", "Deck", "!Job", "Where", "Owner"], where.Select(w => new[]
        {
            w.Supply.Name, w.Lot.Number, w.Use.Day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
                $"{w.Deck.ProfileName} {w.Deck.SerialNumber}", JobDesk.Number(w.Job), w.Use.Place, w.Owner,
        }));
        c.Say(SupplyDesk.Holders(where));
        return ExitCode.Done;
    }
}
