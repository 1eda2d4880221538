using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Practice.Scenario;
using Spoolwright.Storage;

namespace Spoolwright.App.Demo;

/// <summary>
/// The year before the demonstration's deck: a small shop in an invented town, a dozen decks of invented makers, by a seeded script
/// through the very desks that commands and
/// pages use. No sound is made for these decks: their readings are typed in, and each of them says that it is invented history.
/// </summary>
internal sealed class ShopYear
{
    private const int Seed = 1974;

    private readonly ServiceBook book;
    private readonly MovedClock clock;
    private readonly ShopYearWork work;
    private readonly Random random = new(Seed);
    private readonly OfferDesk offers;
    private readonly JobDesk jobs;
    private readonly string marrowby;

    private ShopYear(ServiceBook book, MovedClock clock, string profileJson)
    {
        (this.book, this.clock, marrowby) = (book, clock, profileJson);
        (offers, jobs, work) = (new OfferDesk(book), new JobDesk(book), new ShopYearWork(book, clock, random));
    }

    /// <summary>Writes the year into a book, up to the job of the demonstration's own deck, which is open when it returns.</summary>
    /// <param name="path">The book.</param>
    /// <param name="profileJson">The demonstration's profile.</param>
    /// <param name="now">When the year ends.</param>
    /// <param name="keyFile">Where to make the shop's key.</param>
    /// <param name="handover">Folder for one signed record.</param>
    public static Job Write(string path, string profileJson, DateTimeOffset now, string keyFile, string handover)
    {
        var moved = new MovedClock(now.AddDays(-372));
        using var opened = ServiceBook.Open(path, clock: moved);
        var year = new ShopYear(opened, moved, profileJson);
        return year.Run(now, keyFile, handover);
    }

    private Job Run(DateTimeOffset now, string keyFile, string handover)
    {
        new ShopDesk(book).Set(new ShopFacts
        {
            Name = "Bench in Saltmarsh Lane",
            Place = "Harrowmere (an invented town)",
            Currency = "EUR",
            Zone = "UTC",
            HourlyWanted = new Money(24, "EUR"),
            WarrantyMonths = 12,
            WarrantyTerms = "Work and fitted parts. Not the wear of heads, and not what happens on the way to another owner.",
        });
        var profiles = new ProfileDesk(book);
        profiles.Keep(marrowby);
        profiles.Copy(AutoReverseDeck.Name, "Olverstone 3");
        profiles.Keep(DeckProfileFile.ToJson(OneDirection(DeckProfileFile.Parse(marrowby).Value!, "Ketterby 52")));
        work.StockUp();
        work.KeepInstruments();
        foreach (var (price, months, where) in new[] { (880, 1, "auction in Harrowmere"), (1040, 3, "private sale, told by the buyer"),
            (930, 5, "auction in Lower Tidding") })
            offers.AddPrice(AutoReverseDeck.Name, new Money(price, "EUR"), Today.AddDays(-30 * months), where + " (invented)");
        var sold = new List<Job>();
        foreach (var (deck, i) in ShopYearDecks.All.Select((d, i) => (d, i)))
        {
            clock.Time = MovedClock.Morning(now.AddDays(-366 + 30.5 * i));
            sold.Add(Restore(deck, profiles));
            if (i == 4)
                work.Doubts();
        }

        // The last of them was signed with the shop's key and handed over.
        var last = sold[^1];
        SignOffDesk.NewKey(keyFile);
        new SignOffDesk(book).Sign(last, keyFile, handover);
        Returned(sold[1]);
        clock.Time = MovedClock.Morning(Max(clock.Time, now.AddDays(-9)));
        Offered();
        return OwnDeck(now);
    }

    private DateOnly Today => DateOnly.FromDateTime(clock.Time.UtcDateTime);

    private Job Restore(ShopYearDeck deck, ProfileDesk profiles)
    {
        var offer = offers.Add(new Offer
        {
            ProfileName = deck.Profile,
            SerialNumber = deck.Serial,
            Seller = deck.Seller,
            Asked = new Money(deck.Asked, "EUR"),
            Day = Today,
            Working = deck.Working,
            Handled = deck.Handled,
            Missing = deck.Missing,
            Parts = deck.Parts,
        });
        var taken = jobs.TakeIn(profiles.Text(deck.Profile), deck.Serial, "Invented deck of an invented year", deck.Seller, null);
        clock.Wait(60 * 24 * 3);
        var job = jobs.Open(taken, "Whole restoration");
        offers.Learn(offer, o => o with { Decision = OfferDecision.Bought, JobId = job.Id });
        offers.AddCost(job.Id, CostKind.Deck, new Money(deck.Asked, "EUR"), Today, "the deck itself");
        offers.AddCost(job.Id, CostKind.Freight, new Money(24 + random.Next(20), "EUR"), Today, "fetched by van");
        work.Restore(job, taken, deck.Hard);
        offers.Sell(job, new Money(deck.Fetched, "EUR"), Today.AddDays(6), deck.Buyer);
        clock.Wait(60 * 24 * 2);
        jobs.Close(job);
        return job;
    }

    // Bought by the buyer of the second deck eight months ago, and back for its year check.
    private void Returned(Job earlier)
    {
        var deck = jobs.DeckOf(earlier);
        var job = jobs.Open(deck, "Measured again for its owner: reverse sounded dull");
        work.MeasuredAgain(job, earlier);
        new CheckDesk(book).AddFault(job.Id, "head block", "reverse azimuth has moved", Mark.AsFound);
        new PlanDesk(book).Enter(job.Id, "as-found-readings", "45 min", TimeZoneInfo.Utc, "the year check");
    }

    private void Offered()
    {
        offers.Add(new Offer
        {
            ProfileName = AutoReverseDeck.Name,
            SerialNumber = "740 1507",
            Seller = "O. Brandreth (invented)",
            Asked = new Money(370, "EUR"),
            Day = Today,
            Parts = ["case=good"]
        });
        var dear = offers.Add(new Offer
        {
            ProfileName = AutoReverseDeck.Name,
            Seller = "house clearance in Lower Tidding",
            Asked = new Money(720, "EUR"),
            Day = Today,
            Handled = Handled.Lubricated
        });
        offers.Learn(dear, o => o with { Decision = OfferDecision.Declined, Remark = "sprayed throughout" });
    }

    // The deck that the demonstration plays: its hours, functions and parts; its sound is measured after this.
    private Job OwnDeck(DateTimeOffset now)
    {
        clock.Time = MovedClock.Morning(Max(clock.Time, now.AddDays(-8)));
        var deck = jobs.TakeIn(marrowby, AutoReverseDeck.SerialNumber, "Invented deck of the demonstration", "H. Quillfeather (invented)",
            new DateOnly(1979, 5, 1));
        var job = jobs.Open(deck, "Restoration, shown with the practice deck");
        offers.AddCost(job.Id, CostKind.Deck, new Money(210, "EUR"), Today, "the deck itself");
        work.Tasks(job, 1, Stage.RunIn);
        work.Functions(job, leftToo: true);
        work.Fit(job);
        jobs.AddAccessory(job.Id, "two reel adapters", null);
        jobs.AddAccessory(job.Id, "dust cover", "cracked at one corner");
        foreach (var (mark, hair) in new[] { (Mark.AsFound, true), (Mark.AsLeft, false) })
            new PhotoDesk(book).Add(job.Id, mark, "head block", "a drawing in the place of a photo: the deck is invented",
                DrawnPicture.HeadBlock(hair));
        new ListingDesk(book).Keep(job.Id, "Auto-reverse deck, rebuilt and measured (invented)",
            "Both directions, both speeds, both tape settings: every figure below was measured on this deck.", new Money(980, "EUR"));
        return job;
    }

    private static DeckProfile OneDirection(DeckProfile profile, string name) => profile with
    {
        Name = name,
        Directions = [Direction.Forward],
        Tracks = [.. profile.Tracks.Where(t => t.Direction == Direction.Forward)],
        RotatingParts = [.. profile.RotatingParts.Where(p => p.Directions.Count == 0 || p.Directions.Contains(Direction.Forward))
            .Select(p => p with { Directions = [] })],
        Limits = [.. profile.Limits.Where(l => l.Direction is null or Direction.Forward && l.Quantity != "reverse-leak")],
    };

    private static DateTimeOffset Max(DateTimeOffset a, DateTimeOffset b) => a > b ? a : b;
}
