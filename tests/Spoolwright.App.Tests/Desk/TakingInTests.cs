using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Tests.Desk;

/// <summary>What a shop writes down once: a deck, an earlier job, a cost, a delivery, and telling entries apart.</summary>
public sealed class TakingInTests
{
    [Fact]
    public void Deck_ThatTheBookHas_IsRefusedAndItsOwnersStayAsTheyAre()
    {
        using var shop = new Shop();
        Assert.Equal("the book has Marrowby 74 R 740 2201 already; open a job on it, or write down its new owner",
            Assert.Throws<EntryException>(() => shop.Jobs.TakeIn(Shop.Profile, " 740 2201 ", "another", "B. Nobody")).Message);
        Assert.Equal("E. Marsh", Assert.Single(shop.Jobs.Owners(shop.Deck.Id)).Name);
    }

    [Fact]
    public void Job_BegunEarlier_HoldsTheHoursOfThatDay()
    {
        using var shop = new Shop();
        var job = shop.Jobs.OpenOn(shop.Deck, "Belts", new DateOnly(2026, 2, 14));
        // Midnight of Dublin's winter.
        Assert.Equal(new DateTimeOffset(2026, 2, 14, 0, 0, 0, TimeSpan.Zero), job.Opened);
        var desk = new PlanDesk(shop.Book);
        desk.Enter(job.Id, "look-over", "14.2. 0:10-1:40", Shop.Zone);
        Assert.Equal(90, desk.Board(job.Id).Spent.TotalMinutes);
        Assert.Contains(
            "lies before",
            Assert.Throws<EntryException>(() => desk.Enter(job.Id, "look-over", "13.2. 1 h", Shop.Zone)).Message,
            StringComparison.Ordinal
        );
        Assert.Equal(shop.Book.Now, shop.Jobs.OpenOn(shop.Deck, "Lamps", new DateOnly(2026, 3, 26)).Opened);
        Assert.Equal("2026-03-27 lies in the future; a job is opened on the day it begins",
            Assert.Throws<EntryException>(() => shop.Jobs.OpenOn(shop.Deck, "Lamps", new DateOnly(2026, 3, 27))).Message);
    }

    [Fact]
    public void Amount_ThatCannotBeReckonedWith_IsRefusedBeforeItIsInTheBook()
    {
        using var shop = new Shop();
        var (desk, day) = (new OfferDesk(shop.Book), new DateOnly(2026, 3, 26));
        const string Foreign = "12.00 USD is not in the shop's currency, in which a job is reckoned; give it in EUR, at the rate you paid";
        Assert.Equal(
            Foreign,
            Assert.Throws<EntryException>(() => desk.AddCost(shop.Job.Id, CostKind.Other, new Money(12, "USD"), day, "import")).Message
        );
        Assert.Equal(Foreign, Assert.Throws<EntryException>(() => desk.Sell(shop.Job, new Money(12, "USD"), day, "J. Tolland")).Message);
        var cost = desk.AddCost(shop.Job.Id, CostKind.Other, new Money(12, "EUR"), day, "import");
        Assert.Equal(
            Foreign,
            Assert
                .Throws<EntryException>(() => desk.CorrectCost(shop.Job.Id, cost.Id, CostKind.Other, new Money(12, "USD"), day, "import"))
                .Message
        );
        Assert.Equal(new Money(12, "EUR"), desk.MoneyOf(shop.Job.Id, "EUR").Other);
        var offer = desk.Add(new Offer { ProfileName = "Marrowby 74 R", Asked = new Money(1, "EUR"), Seller = "R. Pell", Day = day });
        Assert.StartsWith("-20.00 EUR for an hour makes no sense", Assert.Throws<EntryException>(() =>
            desk.Weigh(offer, new OfferTerms(WantedHourly: new Money(-20, "EUR")))).Message, StringComparison.Ordinal);
        var supplies = new SupplyDesk(shop.Book);
        supplies.Keep("belt", SupplyKind.Belt, "piece", 1);
        Assert.StartsWith("a price of -3.00 EUR for one makes no sense", Assert.Throws<EntryException>(() =>
            supplies.Receive("belt", "Harrow Rubber", "H-1", day, 5, new Money(-3, "EUR"))).Message, StringComparison.Ordinal);
        supplies.Receive("belt", "Harrow Rubber", "H-1", day, 5, null);
        Assert.Equal(
            "-4 cannot be counted; expected 0 or more",
            Assert.Throws<EntryException>(() => supplies.Count("belt", "H-1", -4, day)).Message
        );
        Assert.Equal(
            "-3.00 EUR for an hour makes no sense; expected 0 or more",
            Assert
                .Throws<EntryException>(() =>
                    new ShopDesk(shop.Book).Set(new ShopDesk(shop.Book).Facts with { HourlyWanted = new Money(-3, "EUR") })
                )
                .Message
        );
    }

    [Theory]
    [InlineData("testtape", "test-tape")]
    [InlineData("Test_Tape ", "test-tape")]
    [InlineData("audio interface", "audio-interface")]
    [InlineData("torque gauge", "torque-gauge")]
    public void Instrument_OfAKindWrittenOtherwise_IsOfThatKind(string typed, string kind)
    {
        using var shop = new Shop();
        Assert.Equal(kind, new InstrumentDesk(shop.Book).Keep(new Bench.Service.Register.KeptInstrument { Kind = typed, Name = "A" }).Kind);
    }

    [Fact]
    public void Entries_InWords_AreToldByDeckTitleAndSupply()
    {
        using var shop = new Shop();
        var (plan, supplies, day) = (new PlanDesk(shop.Book), new SupplyDesk(shop.Book), new DateOnly(2026, 3, 26));
        plan.Enter(shop.Job.Id, "look-over", "5 min", Shop.Zone);
        new CheckDesk(shop.Book).Tick(shop.Job.Id, "lamps", Bench.Mark.AsFound, Bench.Service.Checks.CheckOutcome.Works, null);
        supplies.Keep("belt 350", SupplyKind.Belt, "piece", 1);
        supplies.Receive("belt", "Harrow Rubber", "H-1", day, 5, null);
        supplies.Fit(shop.Job.Id, "belt", 2, "capstan", day);
        var instruments = new InstrumentDesk(shop.Book);
        instruments.Keep(new Bench.Service.Register.KeptInstrument { Kind = "tension-gauge", Name = "spring gauge" });
        instruments.Note("spring gauge", Bench.Service.Register.InstrumentEventKind.Doubt, shop.Book.Now, "reads 8 % high");
        var late = shop.Book.Lately(7);
        var entries = late.Select(e => shop.Book.Read(late)[e.Id]).ToList();
        var words = new EntryWords(shop.Book, entries);
        Assert.Equal(
        [
            (null, "spring gauge: doubt: reads 8 % high"),
            (null, "tension-gauge spring gauge"),
            ("740 2201", "2 of belt 350, lot H-1: capstan"),
            (null, "belt 350, lot H-1: 5 from Harrow Rubber"),
            (null, "belt 350"),
            ("740 2201", "Lamps, as found: works"),
            ("740 2201", "Look the deck over before it gets power, 2026-03-26: 5 min"),
        ], entries.Select(e => (words.DeckOf(e), words.Of(e))));
    }
}
