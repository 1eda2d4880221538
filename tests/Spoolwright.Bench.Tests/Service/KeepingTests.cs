using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Field;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.Bench.Tests.Service;

/// <summary>Stock by lot, instruments through time, decks among their kind.</summary>
public sealed class KeepingTests
{
    private static readonly DateOnly Day = new(2026, 3, 1);

    [Fact]
    public void Stock_CountsByLot_TakesTheOldestThatHoldsEnough_AndSkipsWhatIsDoubted()
    {
        var belt = New(new Supply { Name = "capstan belt 350", Kind = SupplyKind.Belt, Unit = "piece", ReorderAt = 2 });
        Lot first = New(Lot(belt, "A1", 5, "3.20 EUR")), second = New(Lot(belt, "A2", 4, "3.50 EUR") with { Received = Day.AddDays(30) });
        var job = Guid.NewGuid();
        var uses = new Dictionary<Guid, decimal> { [first.Root] = 4, [second.Root] = 1 };
        var stock = SupplyBoard.Of([belt], [second, first], uses, []).Find("capstan");
        Assert.Equal([1m, 3m], stock.Lots.Select(l => l.Left));
        Assert.Equal("A1", SupplyBoard.LotFor(stock, 1, null).Lot.Number);
        Assert.Equal("A2", SupplyBoard.LotFor(stock, 2, null).Lot.Number);
        Assert.Contains("has 1 piece left", Assert.Throws<EntryException>(() => SupplyBoard.LotFor(stock, 2, "A1")).Message,
            StringComparison.Ordinal);
        Assert.False(stock.MustReorder);
        var doubted = SupplyBoard.Of([belt], [first, second], uses, [new LotDoubt { LotId = second.Root, Why = "cracked after a month" }])
            .Find("capstan belt 350");
        Assert.True(doubted.MustReorder);
        Assert.Contains(
            "doubted",
            Assert.Throws<EntryException>(() => SupplyBoard.LotFor(doubted, 1, "A2")).Message,
            StringComparison.Ordinal
        );
        Assert.Equal(
            new Money(9.90m, "EUR"),
            Fitted.CostOf([new(belt, first, Use(first, job, 2)), new(belt, second, Use(second, job, 1))], "EUR").Cost
        );
    }

    [Fact]
    public void Instrument_Overdue_ShowsOnReadingsAfterTheDay_UntilItIsCalibrated()
    {
        var gauge = New(new KeptInstrument { Kind = "tension-gauge", Name = "G1", DueOn = new DateOnly(2026, 6, 30) });
        InstrumentEvent calibrated = New(new InstrumentEvent
        {
            InstrumentId = gauge.Root,
            Kind = InstrumentEventKind.Calibrated,
            Since =
            At(9, 1),
            DueOn = new DateOnly(2027, 9, 1),
            What = "weights"
        });
        var history = InstrumentHistory.Of([gauge], [calibrated], []).Single();
        Assert.Empty(history.DoubtsAt(At(6, 30)));
        Assert.Equal("instrument-overdue", Assert.Single(history.DoubtsAt(At(7, 1))).Code);
        Assert.Empty(history.DoubtsAt(At(9, 2)));
    }

    [Fact]
    public void Doubt_ReachesBackwards_AndNamesTheDecksItTouched()
    {
        var tape = New(new KeptInstrument { Kind = "test-tape", Name = "Levels" });
        Leaning[] leanings = [Lean("Levels", "test tape", 2, "a"), Lean("Levels", "test tape", 4, "b"),
            Lean("Levels", "test tape", 6, "c"), Lean("Other", "test tape", 6, "d")];
        InstrumentEvent doubt = New(new InstrumentEvent
        {
            InstrumentId = tape.Root,
            Kind = InstrumentEventKind.Doubt,
            Since = At(3, 1),
            What = "10 kHz is 2 dB low"
        }) with
        { Entered = At(7, 1) };
        var history = InstrumentHistory.Of([tape], [doubt], leanings).Single();
        Assert.Equal(["deck 4", "deck 6"], history.Touched.Select(t => t.Leaning.Deck));
        Assert.Contains("10 kHz is 2 dB low", history.Touched[0].Doubts[0].Text, StringComparison.Ordinal);
        InstrumentEvent cleared = New(new InstrumentEvent
        {
            InstrumentId = tape.Root,
            Kind = InstrumentEventKind.Cleared,
            Since = At(7, 2),
            What = "the meter was wrong"
        }) with
        { Entered = At(7, 2) };
        Assert.Empty(InstrumentHistory.Of([tape], [doubt, cleared], leanings).Single().Touched);
        InstrumentEvent again = doubt with { Id = Guid.NewGuid(), Entered = At(8, 1) };
        Assert.Equal(2, InstrumentHistory.Of([tape], [doubt, cleared, again], leanings).Single().Touched.Count);
        InstrumentEvent field = doubt with { Kind = InstrumentEventKind.FieldExposure, Since = At(5, 1) };
        Assert.Equal(["deck 6"], InstrumentHistory.Of([tape], [field], leanings).Single().Touched.Select(t => t.Leaning.Deck));
    }

    [Fact]
    public void Plays_CountEachCaptureOnce_AndWearOutTheTape()
    {
        var tape = New(new KeptInstrument { Kind = "test-tape", Name = "Levels", PlaysBefore = 10, PlaysAtMost = 11 });
        Leaning[] leanings = [Lean("Levels", "test-tape", 2, "a"), Lean("Levels", "test-tape", 2, "a"),
            Lean("Levels", "test-tape", 4, "b"), Lean("Levels", "test-tape", 5, "")];
        var history = InstrumentHistory.Of([tape], [], leanings).Single();
        Assert.Equal(12, history.PlaysBy(At(12, 1)));
        Assert.Empty(history.DoubtsAt(At(3, 1)));
        Assert.Equal("instrument-worn", Assert.Single(history.DoubtsAt(At(4, 2))).Code);
    }

    [Fact]
    public void Spans_OfDoubt_HoldEveryMomentThatIsDoubted_AndNoOther()
    {
        var random = new Random(5);
        var doubted = 0;
        for (var book = 0; book < 200; book++)
        {
            var tape = New(
                new KeptInstrument
                {
                    Kind = "test-tape",
                    Name = "T",
                    PlaysBefore = random.Next(4),
                    PlaysAtMost = random.Next(3) == 0 ? random.Next(1, 8) : null,
                    DueOn = random.Next(2) == 0 ? DateOnly.FromDateTime(At(random.Next(1, 13), random.Next(1, 28)).UtcDateTime) : null,
                }
            );
            var events = Enumerable
                .Range(0, random.Next(5))
                .Select(n =>
                    New(
                        new InstrumentEvent
                        {
                            InstrumentId = tape.Root,
                            Kind = (InstrumentEventKind)random.Next(5),
                            Since = At(random.Next(1, 13), random.Next(1, 28)).AddHours(random.Next(24)),
                            What = "x",
                            DueOn =
                                random.Next(2) == 0 ? DateOnly.FromDateTime(At(random.Next(1, 13), random.Next(1, 28)).UtcDateTime) : null,
                        }
                    ) with
                    {
                        Entered = At(12, 28).AddHours(n),
                    }
                )
                .ToList();
            var history = new InstrumentHistory(
                tape,
                events,
                [.. Enumerable.Range(0, 6).Select(n => Lean("T", "test-tape", random.Next(1, 13), $"{n}"))]
            );
            var spans = history.DoubtedSpans();
            Assert.All(spans.Zip(spans.Skip(1)), s => Assert.True(s.First.Until < s.Second.From));
            for (var at = At(1, 1).AddDays(-40); at < At(12, 28).AddDays(60); at = at.AddHours(random.Next(1, 40)))
            {
                var within = spans.Any(s => s.From <= at && !(s.Until <= at));
                Assert.Equal(history.DoubtsAt(at).Count > 0, within);
                doubted += within ? 1 : 0;
            }
        }

        Assert.InRange(doubted, 1000, 100_000);
    }

    [Fact]
    public void Field_GathersDecks_AndSaysWhereOneStands()
    {
        var key = new FieldKey("speed-error", "%", Direction.Forward, 19.05, null, Channel.Both, null, null, null, null);
        Guid[] decks = [.. Enumerable.Range(0, 4).Select(_ => Guid.NewGuid())];
        var readings = decks.SelectMany((d, i) => new[] { Read(d, i, Mark.AsFound, 1 + i, 1), Read(d, i, Mark.AsLeft, 0.1 * i, 2) })
            .Append(Read(decks[0], 0, Mark.AsLeft, 9, 3) with { Superseded = true }).ToList();
        var quantity = Assert.Single(DeckField.Quantities(readings));
        Assert.Equal(("speed-error, forward 19.05 cm/s", "Speed error, forward 19.05 cm/s"), (key.ToString(), key.Words));
        Assert.Equal((4, 2.5), (quantity.AsFound!.Count, quantity.AsFound.Mean));
        Assert.Equal(0.15, quantity.AsLeft!.Mean, 12);
        // Speed error lies either side of 0: nearer to it is a gain.
        Assert.Equal(2.35, quantity.Gain!.Mean, 12);
        Assert.Equal((2, 3), quantity.StandOf(decks[2]));
        Assert.Null(quantity.StandOf(Guid.NewGuid()));

        FieldReading Read(Guid deck, int serial, Mark mark, double value, int month) =>
            new(deck, $"{serial}", deck, Guid.NewGuid(), At(month, 1), mark, key, value, false, "tape", true);
    }

    [Fact]
    public void Repeats_PoolGroupsOfTheSameDeckTapeAndDay_ByTheDefinition()
    {
        var key = new FieldKey("speed-error", "%", Direction.Forward, 19.05, null, Channel.Both, null, null, null, null);
        FieldReading Read(int deck, double value, int day, string tape = "t", bool measured = true) =>
            new(new Guid(deck, 0, 0, new byte[8]), "s", Guid.Empty, Guid.NewGuid(), At(1, day), Mark.AsLeft, key, value, false, tape,
                measured);
        var repeats = Assert.Single(DeckField.Repeats([Read(1, 1.0, 1), Read(1, 1.2, 1), Read(1, 5, 2), Read(2, 2.0, 1), Read(2, 2.1, 1),
            Read(2, 2.2, 1), Read(3, 7, 1), Read(3, 8, 1, "other tape"), Read(4, 1, 1, "t", false), Read(4, 9, 1, "t", false)]));
        // Sums of squares 0.02 and 0.02 over 1 and 2 degrees of freedom.
        Assert.Equal(Math.Sqrt(0.04 / 3), repeats.Deviation, 12);
        Assert.Equal((3, 2), (repeats.Freedom, repeats.Groups));
        // Student's 97.5th percentile at 3 degrees is 3.182 (tables).
        Assert.Equal(3.182 * repeats.Deviation * Math.Sqrt(2), repeats.LeastDifference, 3);
    }

    private static T New<T>(T entry)
        where T : BookEntry
    {
        var id = Guid.NewGuid();
        return entry with { Id = id, Root = id, Entered = At(1, 1) };
    }

    private static Lot Lot(Supply supply, string number, decimal quantity, string price) =>
        new()
        {
            SupplyId = supply.Root,
            Supplier = "Harrow Rubber (invented)",
            Number = number,
            Received = Day,
            Quantity = quantity,
            UnitPrice = Money.Parse(price, null)
        };

    private static SupplyUse Use(Lot lot, Guid? job, decimal quantity) =>
        new() { LotId = lot.Root, JobId = job, Quantity = quantity, Place = "capstan", Day = Day };

    private static DateTimeOffset At(int month, int day) => new(2026, month, day, 12, 0, 0, TimeSpan.Zero);

    private static Leaning Lean(string name, string kind, int month, string sha) =>
        new(Guid.NewGuid(), Guid.NewGuid(), Guid.NewGuid(), $"deck {month}", "playback", At(month, 1), sha, kind, name);
}
