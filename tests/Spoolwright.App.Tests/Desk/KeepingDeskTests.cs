using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Storage;
using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Desk;

/// <summary>Parts by lot, instruments through time, offers by earlier jobs: through the desks, in a book on disk.</summary>
public sealed class KeepingDeskTests
{
    private static readonly DateOnly Day = new(2026, 3, 1);

    [Fact]
    public void Recall_OfALotThatFailed_NamesEveryDeckAndOwner_AndFollowsACorrectedDelivery()
    {
        using var shop = new Shop();
        var desk = new SupplyDesk(shop.Book);
        desk.Keep("capstan belt 350", SupplyKind.Belt, "piece", 1);
        var lot = desk.Receive("capstan belt", "Harrow Rubber", "HR-118", Day, 10, new Money(3.2m, "EUR"));
        // The delivery is corrected after something was fitted: what was fitted stays with it.
        desk.Fit(shop.Job.Id, "capstan belt", 2, "capstan", Day);
        shop.Book.Correct(lot.Id, lot with { UnitPrice = new Money(3.4m, "EUR") });
        Assert.Equal(8, desk.Board().Find("capstan belt").Left);
        Assert.Equal(new Money(6.8m, "EUR"), new OfferDesk(shop.Book).MoneyOf(shop.Job.Id, "EUR").Parts);
        var where = Assert.Single(desk.Doubt("hr-118", "cracked after a month"));
        Assert.Equal(("740 2201", "E. Marsh", "capstan"), (where.Deck.SerialNumber, where.Owner, where.Use.Place));
        Assert.Contains("no lot", Assert.Throws<EntryException>(() => desk.Fit(shop.Job.Id, "capstan belt", 1, "capstan", Day)).Message,
            StringComparison.Ordinal);
        Assert.Contains("no lot has the number", Assert.Throws<EntryException>(() => desk.Doubt("HR-999", "x")).Message,
            StringComparison.Ordinal);
        desk.Count("capstan belt", "HR-118", 9, Day);
        Assert.Equal(9, desk.Board().Find("capstan belt").Lots.Single().Left);
    }

    [Fact]
    public void Doubt_EnteredToday_ShowsOnReadingsOfBefore_InTheRecordToo()
    {
        using var shop = new Shop();
        File(shop, shop.Job.Id, "G1", 0.3, Mark.AsFound);
        var desk = new InstrumentDesk(shop.Book);
        desk.Keep(new KeptInstrument { Kind = "test tape", Name = "G1" });
        Assert.Empty(desk.WithDoubts(shop.Book.ReadJob(shop.Job.Id)).Measurements[0].Result.Notes);
        shop.Clock.Wait(60 * 24 * 30);
        desk.Note("G1", InstrumentEventKind.Doubt, shop.Book.Now.AddDays(-60), "runs 0.3 % slow");
        var note = Assert.Single(desk.WithDoubts(shop.Book.ReadJob(shop.Job.Id)).Measurements[0].Result.Notes);
        Assert.Equal("instrument-doubtful", note.Code);
        Assert.Equal("Marrowby 74 R 740 2201", desk.Touched(desk.Find("G1")).Newest.Single().Leaning.Deck);
        Assert.Equal(1, desk.Find("G1").PlaysBy(shop.Book.Now));
        var record = new SignOffDesk(shop.Book).Record(shop.Job.Id, shop.Book.Now);
        Assert.Contains("runs 0.3 % slow", Spoolwright.Reports.HtmlRecord.Write(record), StringComparison.Ordinal);
        Assert.Throws<EntryException>(() => desk.Note("G1", InstrumentEventKind.Doubt, shop.Book.Now.AddDays(1), "x"));
        Assert.Throws<EntryException>(() => desk.Keep(new KeptInstrument { Kind = "test-tape", Name = "G1" }));
    }

    [Fact]
    public void Offer_IsWeighedByTheShopsOwnClosedJobs()
    {
        using var shop = new Shop();
        var (desk, plan) = (new OfferDesk(shop.Book), new PlanDesk(shop.Book));
        for (var i = 0; i < 3; i++)
        {
            var job = i == 0 ? shop.Job : shop.Jobs.Open(shop.Jobs.TakeIn(Shop.Profile, $"740 30{i}", ""), "again");
            plan.Enter(job.Id, "look-over", $"{14 + i} h", Shop.Zone);
            desk.AddCost(job.Id, CostKind.Deck, new Money(200, "EUR"), Day, "deck");
            desk.AddCost(job.Id, CostKind.Part, new Money(70 + 10 * i, "EUR"), Day, "parts");
            desk.AddCost(job.Id, CostKind.Freight, new Money(30, "EUR"), Day, "freight");
            desk.Sell(job, new Money(880 + 40 * i, "EUR"), Day, $"buyer {i}");
            shop.Jobs.Close(job);
        }

        var offer = desk.Add(new Offer { ProfileName = "Marrowby 74 R", Seller = "R. Pell", Asked = new Money(250, "EUR"), Day = Day });
        var weighed = desk.Weigh(offer, new OfferTerms(WantedHourly: new Money(20, "EUR")));
        Assert.Equal(3, weighed.EarlierJobs);
        Assert.Equal(new Money(30, "EUR"), weighed.OtherCosts);
        // Nothing is known of any of the four decks, so the unknowns fall out for hours and parts.
        Assert.Equal(15, weighed.Weighing.Hours.Mean, 9);
        Assert.Equal(80, weighed.Weighing.Parts.Mean, 9);
        Assert.True(weighed.Weighing.Margin.Low < weighed.Weighing.Margin.Middle);
        var known = desk.Learn(offer, o => o with { Handled = Handled.Lubricated });
        Assert.Equal(offer.Root, known.Root);
        Assert.True(desk.Weigh(known, new OfferTerms(WantedHourly: new Money(20, "EUR"))).Weighing.Net < weighed.Weighing.Net);
        Assert.Equal("buyer 2", shop.Jobs.Owners(shop.Jobs.FindDeck("740 302").Id)[^1].Name);
        var money = desk.MoneyOf(shop.Job.Id, "EUR");
        Assert.Equal((new Money(580, "EUR"), new Money(41.43m, "EUR")), (money.Margin, money.Hourly));
        Assert.Throws<EntryException>(() => desk.Sell(shop.Job, new Money(1, "EUR"), Day, "twice"));
        Assert.Contains("cannot be reckoned", Assert.Throws<EntryException>(() =>
            desk.Weigh(offer, new OfferTerms(WantedHourly: new Money(20, "GBP")))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Field_OfAProfile_HoldsEachDecksLastReading_AndTypedOnesAreNoRepeats()
    {
        using var shop = new Shop();
        var other = shop.Jobs.Open(shop.Jobs.TakeIn(Shop.Profile, "740 3300", ""), "another");
        File(shop, shop.Job.Id, "T", 0.9, Mark.AsFound);
        File(shop, shop.Job.Id, "T", 0.10, Mark.AsLeft);
        File(shop, shop.Job.Id, "T", 0.14, Mark.AsLeft);
        File(shop, other.Id, "T", 0.5, Mark.AsLeft);
        var field = new FieldDesk(shop.Book).Of("Marrowby 74 R", shop.Deck);
        var speed = field.Quantities.Single(q => q.Key.Quantity == "speed-error");
        Assert.Equal([0.14, 0.5], speed.Decks.Select(d => d.AsLeft!.Value));
        Assert.Equal((0, 1), speed.StandOf(shop.Deck.Id));
        var repeats = Assert.Single(field.Repeats);
        Assert.Equal(0.04 / Math.Sqrt(2), repeats.Deviation, 12);
        Assert.Throws<EntryException>(() => new FieldDesk(shop.Book).Of("Nobody's 1"));
        Assert.Throws<EntryException>(() => new FieldDesk(shop.Book).Of("Marrowby 74 R", null, "speed-eror"));
    }

    [Fact]
    public void Aftercare_ProvesDriftBeyondBothUncertainties_AndSaysWhenTheLimitIsReached()
    {
        using var shop = new Shop();
        File(shop, shop.Job.Id, "T", 0.10, Mark.AsLeft);
        shop.Clock.Wait(60 * 24 * 365.25);
        var later = shop.Jobs.Open(shop.Deck, "year check");
        File(shop, later.Id, "T", 0.30, Mark.AsFound);
        var care = new FieldDesk(shop.Book).Since(shop.Job);
        var line = Assert.Single(care.Lines);
        Assert.True(line.Proven);
        Assert.Equal(0.2, line.Change, 12);
        // 0.2 % a year, and 0.2 % are left to the limit of 0.5 %: another year.
        Assert.InRange(line.LimitReached!.Value.DayNumber - DateOnly.FromDateTime(line.LaterAt.UtcDateTime).DayNumber, 363, 368);
        Assert.Equal(line.LimitReached, care.ServiceBy);
        File(shop, later.Id, "T", 0.1005, Mark.AsFound);
        Assert.False(new FieldDesk(shop.Book).Since(shop.Job).Lines.Single().Proven);
        Assert.Throws<EntryException>(() => new FieldDesk(shop.Book).Since(later));
    }

    private static void File(Shop shop, Guid job, string tape, double value, Mark mark)
    {
        var sound = BookOnDisk.Sound((int)(value * 10000) + (int)mark);
        shop.Clock.Wait(1);
        shop.Book.FileMeasurement(new Filing
        {
            JobId = job,
            Condition = BookOnDisk.Forward19,
            Mark = mark,
            Capture = new Capture("a.wav", Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(sound)), 48000, 2, 10),
            OpenCapture = () => new MemoryStream(sound),
            Result = new MeasurementResult("speed", [BookOnDisk.Speed(value)], [], []),
            Limits = JobDesk.ProfileOf(shop.Deck).Limits,
            Instruments = [new Instrument("test tape", tape)],
            MeasuredAt = shop.Book.Now,
            ProgramVersion = "0.1.0",
        });
    }
}
