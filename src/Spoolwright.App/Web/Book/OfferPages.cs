using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Web.Book;

/// <summary>Offers: what they would bring, and what to ask first.</summary>
internal static class OfferPages
{
    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> ListVerbs { get; } = new Dictionary<string, Func<BookVisit, Written>>
    {
        ["add"] = v =>
        {
            var offer = new OfferDesk(v.Book).Add(Said(v, new Offer
            {
                ProfileName = v.Need("profile", "the kind of deck"),
                Asked = v.NeedMoney("asked", "the asked price"),
                Seller = v.Need("seller", "the seller"),
                SerialNumber = v.Text("serial"),
                Day = v.Day("day"),
                Remark = v.Text("remark"),
            }));
            return new Written("the offer is in the book", offer) { To = $"/book/offer/{offer.Root}" };
        },
        ["price"] = v => new Written("the price is written down", new OfferDesk(v.Book).AddPrice(v.Need("profile", "the kind of deck"), v.NeedMoney("price", "the price"), v.Day("day"), v.Need("where", "where it was seen"))),
    };

    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> Verbs { get; } =
        new Dictionary<string, Func<BookVisit, Written>>
        {
            ["learn"] = v => new Written(
                "what was known before stays in the book",
                new OfferDesk(v.Book).Learn(
                    Find(v),
                    o => Said(v, o) with { Asked = v.Money("asked") ?? o.Asked, Remark = v.Text("remark") ?? o.Remark }
                )
            ),
            ["decide"] = v => new Written(
                $"the offer is {v.Need("decision", "what became of it")}",
                new OfferDesk(v.Book).Learn(
                    Find(v),
                    o =>
                        o with
                        {
                            Decision = v.Word("decision", OfferDecision.Open),
                            JobId = v.Text("job") is { } job ? new JobDesk(v.Book).Find(job).Id : o.JobId,
                            Remark = v.Text("remark") ?? o.Remark,
                        }
                )
            ),
        };

    public static BookPage List(BookVisit v)
    {
        var (offers, ofOffers) = v.Book.Look(w => (w.Newest<Offer>(nameof(Offer.Day), v.Most), w.Count<Offer>()));
        var (prices, ofPrices) = v.Book.Look(w => (w.Newest<PriceFetched>(nameof(PriceFetched.Day), v.Most), w.Count<PriceFetched>()));
        return new BookPage("Offers")
        {
            Lines = ["Enter weighs the one chosen: margin, hourly earning, and the questions worth asking first."],
            Tables =
            [
                new PageTable(
                    "offers",
                    "Offers",
                    [
                        new("day", "Day"),
                        new("profile", "Kind"),
                        new("serial_number", "Serial number"),
                        new("asked", "Asked", ColumnKind.Figures),
                        new("seller", "Seller"),
                        new("decision", "Became", ColumnKind.State),
                        new("remark", "Remark"),
                    ],
                    [
                        .. offers.Select(o => new PageRow(
                            [
                                BookVisit.Day(o.Day),
                                o.ProfileName,
                                o.SerialNumber,
                                o.Asked.ToString(),
                                o.Seller,
                                KebabWord.Plain(o.Decision),
                                o.Remark,
                            ],
                            o.Root.ToString(),
                            $"/book/offer/{o.Root}"
                        )),
                    ]
                )
                {
                    Empty = "No offer is written down: A adds one.",
                    Count = ofOffers,
                },
                new PageTable(
                    "prices",
                    "Prices fetched elsewhere",
                    [new("day", "Day"), new("profile", "Kind"), new("price", "Price", ColumnKind.Figures), new("where", "Where")],
                    [
                        .. prices.Select(p => new PageRow(
                            [BookVisit.Day(p.Day), p.ProfileName, p.Price.ToString(), p.Source],
                            p.Id.ToString()
                        )),
                    ]
                )
                {
                    Count = ofPrices,
                },
            ],
            More = json => PageSender.Words(json, "profiles", new ProfileDesk(v.Book).Names()),
        };
    }

    public static BookPage Weigh(BookVisit v)
    {
        var offer = Find(v);
        var lines = new List<string>
        {
            $"{offer.Seller} asks {offer.Asked}{(offer.SerialNumber is { } serial ? $" for number {serial}" : "")}, {offer.Day:yyyy-MM-dd}; it is {KebabWord.Plain(offer.Decision)}.{(offer.Remark is { } remark ? $" Remark: {remark.TrimEnd('.')}." : "")}",
            $"Known of it: does it run: {KebabWord.Plain(offer.Working)}; in hand before: {KebabWord.Plain(offer.Handled)}; missing: {offer.Missing switch { null => "not known", "" => "nothing", var m => m }}{string.Concat(offer.Parts.Select(p => "; " + p.Replace("=", " ", StringComparison.Ordinal)))}.",
        };
        try
        {
            var weighed = new OfferDesk(v.Book).Weigh(
                offer,
                new OfferTerms(Parts: v.Query("parts") is { Length: > 0 } typed ? Money.Parse(typed, v.Shop.Currency) : null)
            );
            return Weighed(offer, weighed, lines);
        }
        catch (EntryException e)
        {
            // An offer that cannot be weighed yet still has a page, to learn more on.
            return new BookPage($"Offer: {offer.ProfileName}") { Lines = lines, Warnings = [$"It cannot be weighed: {e.Message}."] };
        }
    }

    private static BookPage Weighed(Offer offer, WeighedOffer weighed, List<string> lines)
    {
        var (w, currency) = (weighed.Weighing, offer.Asked.Currency);
        lines.Add(weighed.WantedHourly.Amount == 0 ? "The shop has not said what an hour should bring, so an hour counts for nothing here."
            : $"At {weighed.WantedHourly} for each hour: {(w.Buy ? "buy it" : "leave it")}. It brings {Signed(w.Net)} {currency} against what the hours should bring, and pays up to {w.MostToPay.ToString("0", CultureInfo.InvariantCulture)} {currency}.");
        if (weighed.LeftOut > 0)
            lines.Add($"{weighed.LeftOut} earlier jobs or prices are in another currency and were left out.");
        return new BookPage($"Offer: {offer.ProfileName}")
        {
            Lines = lines,
            Links = offer.JobId is { } job ? [new("the job that came of it", $"/book/job/{job}")] : [],
            Tables =
            [
                new PageTable("weighed", "What it would bring",
                    [new("what", "What"), new("expected", "Expected", ColumnKind.Figures), new("low", "95 of 100, from", ColumnKind.Figures), new("high", "to", ColumnKind.Figures), new("unit", "Unit"), new("basis", "Rests on")],
                    [
                        Within("Hours", w.Hours, 1, "h"), Within("Parts", w.Parts, 0, currency), Within("Price fetched", w.Price, 0, currency),
                        new PageRow(["Asked and other costs", Math.Round((double)(offer.Asked.Amount + weighed.OtherCosts.Amount), 2), null, null, currency, $"{weighed.OtherCosts} of it other costs"]),
                        Ends("Margin", w.Margin, 0, currency, "price less asked, parts and other costs"), Ends("For each hour", w.Hourly, 1, currency, "60,000 draws of hours, parts and price"),
                    ]),
                new PageTable("questions", "Worth asking first", [new("question", "Question"), new("worth", $"The answer is worth, {currency}", ColumnKind.Figures), new("turning", "Answers that turn the decision")],
                    [.. w.Questions.Select(q => new PageRow([q.Question.Text, Math.Round(q.Worth), string.Join(" or ", q.Turning)]))])
                { Empty = "No single answer would change the decision." },
            ],
        };
    }

    private static PageRow Within(string what, Foreseen f, int decimals, string unit)
    {
        var within = Bench.Instruments.Confidence.Student(f.Freedom) * Math.Sqrt(f.Variance);
        return new PageRow([
            what,
            Math.Round(f.Mean, decimals),
            Math.Round(Math.Max(0, f.Mean - within), decimals),
            Math.Round(f.Mean + within, decimals),
            unit,
            f.Basis,
        ]);
    }

    private static PageRow Ends(string what, Range95 range, int decimals, string unit, string basis) =>
        new([
            what,
            Math.Round(range.Middle, decimals),
            range.Low is { } low ? Math.Round(low, decimals) : null,
            range.High is { } high ? Math.Round(high, decimals) : null,
            unit,
            range.Low is null ? $"{basis}; too uncertain for a range" : basis,
        ]);

    private static Offer Find(BookVisit v) => v.Book.Look(w => w.Current<Offer>(v.Id("offer")));

    private static Offer Said(BookVisit v, Offer offer)
    {
        string[] parts =
        [
            .. new[] { "heads", "motors", "case", "electronics" }.Where(p => v.Text(p) is not null).Select(p => $"{p}={v.Text(p)}"),
        ];
        return offer with
        {
            Working = v.Word("works", offer.Working),
            Handled = v.Word("handled", offer.Handled),
            Missing = v.Text("missing") is { } missing ? missing is "nothing" or "none" ? "" : missing : offer.Missing,
            Parts = [.. offer.Parts.Where(p => !parts.Any(n => n.Split('=')[0] == p.Split('=')[0])), .. parts],
        };
    }

    private static string Signed(double value) => (value < 0 ? "−" : "+") + Math.Abs(value).ToString("0", CultureInfo.InvariantCulture);
}
