using System.CommandLine;
using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Cli;

/// <summary><c>offer</c> and <c>money</c>: whether to buy, and what came of it.</summary>
internal static class OfferCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("offer", "Decks that are offered: what they would bring, and what to ask first.",
            "Hours and parts are foreseen from the shop's own earlier jobs of the same profile, the price from what such decks fetched. Ranges hold the next deck in 95 of 100 cases, by Student's law; docs/guide/offers.md has the method.",
            v.Verb("add", "Writes an offer down.",
                [BookVerbs.Word("profile", "The kind of deck."), BookVerbs.Word("asked", "The asked price."),
                    BookVerbs.Given("--seller", "NAME", "Who offers it.", required: true),
                    BookVerbs.Given("--serial", "NUMBER", "Its serial number."),
                    .. State(),
                    BookVerbs.Given("--day", "DAY", "When; today where not said."),
                    BookVerbs.Given("--remark", "TEXT", "A remark."),
                ],
                [
                    new(
                        "spoolwright offer add \"Marrowby 74 R\" \"180 EUR\" --seller \"R. Pell\" --works partly --handled untouched --part heads=worn",
                        "What is not said is not known, and shows among the questions."
                    ),
                ],
                c =>
                    $"offer {CheckBoard.ShortKey(new OfferDesk(c.Book).Add(Said(c, new Offer { ProfileName = c.Need("profile"), Asked = c.Money("asked")!.Value, Seller = c.Need("--seller"), SerialNumber = c.Text("--serial"), Day = c.Day("--day"), Remark = c.Text("--remark") })).Root)} is in the book",
                makesBook: true
            ),
            v.Verb(
                "learn",
                "Adds to an offer what is known now.",
                [OfferName(), BookVerbs.Given("--asked", "AMOUNT", "The new price asked."), .. State()],
                [new("spoolwright offer learn 91bc --handled lubricated", "What was known before stays in the book.")],
                c =>
                    $"offer {CheckBoard.ShortKey(new OfferDesk(c.Book).Learn(new OfferDesk(c.Book).Find(c.Need("offer")), o => Said(c, o) with { Asked = c.Money("--asked") ?? o.Asked }).Root)} is corrected"
            ),
            v.Verb(
                "weigh",
                "Weighs an offer: margin, hourly earning, and the questions worth asking.",
                [
                    OfferName(),
                    BookVerbs.Given("--hourly", "AMOUNT", "What an hour should bring; the shop's own figure where not said."),
                    BookVerbs.Given("--other", "AMOUNT", "Freight and fees; the mean of earlier jobs where not said."),
                    BookVerbs.Given("--parts", "AMOUNT", "Cost of parts, where there is no earlier job.")],
                [new("spoolwright offer weigh 91bc --hourly 22", "What it would bring, with a range, and what would change your mind.")],
                    Weigh),
            v.Verb("list", "Lists the offers.", [], [new("spoolwright offer list", "With what became of them.")], List),
            v.Verb("decide", "Says what became of an offer.",
                [OfferName(), BookVerbs.Word("decision", "bought, declined or open."),
                BookVerbs.Given("--job", "JOB", "The job that came of it.")],
                [new("spoolwright offer decide 91bc bought --job 3f2a", "Later offers learn from the job.")],
                c =>
                    $"offer {c.Need("offer")}: {KebabWord.Plain(new OfferDesk(c.Book).Learn(new OfferDesk(c.Book).Find(c.Need("offer")), o => o with { Decision = c.Word("decision", OfferDecision.Open), JobId = c.Text("--job") is { } job ? new JobDesk(c.Book).Find(job).Id : o.JobId }).Decision)}"
            ),
            v.Verb(
                "price",
                "Writes a price down that such a deck fetched elsewhere.",
                [
                    BookVerbs.Word("profile", "The kind of deck."),
                    BookVerbs.Word("price", "What it fetched."),
                    BookVerbs.Given("--where", "TEXT", "Where it was seen.", required: true),
                    BookVerbs.Given("--day", "DAY", "When; today where not said."),
                ],
                [
                    new(
                        "spoolwright offer price \"Marrowby 74 R\" \"940 EUR\" --where \"auction in Fernwick\"",
                        "The shop's own sales count by themselves."
                    ),
                ],
                c =>
                    $"{new OfferDesk(c.Book).AddPrice(c.Need("profile"), c.Money("price")!.Value, c.Day("--day"), c.Need("--where")).Price} is written down",
                makesBook: true
            )
        );
    }

    public static Command Money(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("money", "What a job costs, what the deck fetched, and what an hour brought.",
            "Amounts are exact decimals with their currency; amounts of several currencies are never added.",
            v.Verb("cost", "Writes a cost of a job down.",
                [BookVerbs.JobName(), BookVerbs.Word("amount", "How much."), BookVerbs.Word("what", "For what."),
                    BookVerbs.Given("--kind", "KIND", "deck, freight, part, fee or other; other where not said."),
                    BookVerbs.Given("--day", "DAY", "When; today where not said.")],
                [new("spoolwright money cost 3f2a 180 \"the deck itself\" --kind deck", "Parts from stock count by themselves.")],
                c =>
                    $"{new OfferDesk(c.Book).AddCost(c.Job.Id, c.Word("--kind", CostKind.Other), c.Money("amount")!.Value, c.Day("--day"), c.Need("what")).Amount} is written down"
            ),
            v.Verb(
                "sold",
                "Writes a sale down.",
                [
                    BookVerbs.JobName(),
                    BookVerbs.Word("price", "What it fetched."),
                    BookVerbs.Word("buyer", "Who bought it."),
                    BookVerbs.Given("--day", "DAY", "When; today where not said."),
                    BookVerbs.Given("--months", "N", "Months of warranty; the shop's own where not said."),
                    BookVerbs.Given("--terms", "TEXT", "What it covers.")],
                [new("spoolwright money sold 3f2a \"940 EUR\" \"J. Tolland\" --months 12", "The buyer becomes the deck's owner.")],
                c =>
                    $"{new OfferDesk(c.Book).Sell(c.Job, c.Money("price")!.Value, c.Day("--day"), c.Need("buyer"), c.Whole("--months"), c.Text("--terms")).Price} from {c.Need("buyer")}{(new CheckDesk(c.Book).Board(c.Job.Id).OpenInWords is { } open ? $"; {open}" : "")}"
            ),
            v.Verb(
                "show",
                "Shows a job's money.",
                [BookVerbs.JobName()],
                [new("spoolwright money show 3f2a", "Costs, hours, margin, and what an hour brought.")],
                c =>
                {
                    var money = new OfferDesk(c.Book).MoneyOf(c.Job.Id, c.Shop.Currency);
                    c.Say($"Deck {money.Paid}, parts {money.Parts}, other {money.Other}, {PlanCommand.Hours(money.Hours)} h");
                    if (money.PartsWithoutPrice.Count > 0)
                        c.Say($"Parts without a price, not reckoned: {string.Join("; ", money.PartsWithoutPrice)}");
                    c.Say(
                        money.Fetched is { } price
                            ? $"Fetched {price}: margin {money.Margin}{(money.Hourly is { } hourly ? $", {hourly} for each hour" : "")}"
                            : "Not sold yet"
                    );
                    return ExitCode.Done;
                }
            )
        );
    }

    private static Argument<string> OfferName() => BookVerbs.Word("offer", "The offer's number, or its first digits.");

    private static IEnumerable<Symbol> State() =>
    [
        BookVerbs.Given("--works", "WORD", "yes, partly, no or unknown."),
        BookVerbs.Given("--handled", "WORD", "untouched, lubricated, repaired or unknown."),
        BookVerbs.Given("--missing", "TEXT", "What is missing; nothing where it is complete."),
        BookVerbs.Several("--part", "PART=WORD",
            "Condition of heads, motors, case or electronics, or any other part: good, worn, bad or missing. May be repeated."),
    ];

    private static Offer Said(BookCall c, Offer offer) => offer with
    {
        Working = c.Word("--works", offer.Working),
        Handled = c.Word("--handled", offer.Handled),
        Missing = c.Text("--missing") is { } missing ? missing.Trim() is "nothing" or "none" or "" ? "" : missing : offer.Missing,
        Parts = [.. offer.Parts.Where(p => !c.Many("--part").Any(n => n.Split('=')[0] == p.Split('=')[0])), .. c.Many("--part")],
    };

    private static int List(BookCall c)
    {
        c.Table(["!Offer", "Profile", "~Asked", "Seller", "!Day", "!Became"], new OfferDesk(c.Book).Offers().Select(o => new[]
        {
            CheckBoard.ShortKey(o.Root), o.ProfileName, o.Asked.ToString(), o.Seller,
                o.Day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), KebabWord.Plain(o.Decision),
        }));
        return ExitCode.Done;
    }

    private static int Weigh(BookCall c)
    {
        var desk = new OfferDesk(c.Book);
        var weighed = desk.Weigh(desk.Find(c.Need("offer")), new OfferTerms(c.Money("--other"), c.Money("--hourly"), c.Money("--parts")));
        var (w, currency) = (weighed.Weighing, weighed.Offer.Asked.Currency);
        c.Table(["", "~Expected", "~95 of 100", "Rests on"],
        [
            ["Hours", Figure(w.Hours.Mean, 1), Within(w.Hours, 1), w.Hours.Basis],
            ["Parts", Figure(w.Parts.Mean, 0), Within(w.Parts, 0), w.Parts.Basis],
            ["Price fetched", Figure(w.Price.Mean, 0), Within(w.Price, 0), w.Price.Basis],
            ["Asked and other", Figure((double)(weighed.Offer.Asked.Amount + weighed.OtherCosts.Amount), 0), "", ""],
            [$"Margin, {currency}", Figure(w.Margin.Middle, 0), Ends(w.Margin, 0), "price less asked, parts and other costs"],
            [$"For each hour, {currency}", Figure(w.Hourly.Middle, 1), Ends(w.Hourly, 1), "60,000 draws of hours, parts and price"],
        ]);
        if (weighed.LeftOut > 0)
            c.Say($"{weighed.LeftOut} earlier jobs or prices are in another currency and were left out.");
        c.Say(weighed.WantedHourly.Amount == 0
            ? "No wanted hourly earning is set (spoolwright shop set --hourly), so an hour counts for nothing here."
            : $"At {weighed.WantedHourly} for each hour: {(w.Buy ? "buy" : "leave it")} ({Signed(w.Net)} {currency} over what the hours should bring; it pays up to {Figure(w.MostToPay, 0)} {currency}).");
        c.Say(w.Questions.Count == 0 ? "No single answer would change that." : "Worth asking first, by what the answer is worth:");
        foreach (var q in w.Questions.Take(4))
            c.Say(
                $"  {q.Question.Text} ({Figure(q.Worth, 0)} {currency}; \"{string.Join("\" or \"", q.Turning)}\" would turn the decision)"
            );
        return ExitCode.Done;
    }

    private static string Within(Foreseen f, int decimals)
    {
        var within = Bench.Instruments.Confidence.Student(f.Freedom) * Math.Sqrt(f.Variance);
        return $"{Figure(Math.Max(0, f.Mean - within), decimals)} to {Figure(f.Mean + within, decimals)}";
    }

    private static string Ends(Range95 range, int decimals) => range.Low is null ? "too uncertain to say"
        : $"{Figure(range.Low.Value, decimals)} to {Figure(range.High!.Value, decimals)}";

    private static string Figure(double value, int decimals) =>
        value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);

    private static string Signed(double value) => (value < 0 ? "−" : "+") + Figure(Math.Abs(value), 0);
}
