using Spoolwright.App.Desk;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>Stock and instruments of a large book: sixty supplies, a delivery for every eighth job, test tapes that wear out.</summary>
internal sealed class LargeStore
{
    /// <summary>How many test tapes.</summary>
    public const int Tapes = 4;

    private const int Supplies = 60, JobsToADelivery = 8, InADelivery = 40;

    private readonly ServiceBook book;
    private readonly Random random;
    private readonly List<Supply> supplies = [];
    private readonly List<(Lot Lot, decimal Left)> lots = [];
    private int jobs;

    public LargeStore(ServiceBook book, Random random)
    {
        (this.book, this.random) = (book, random);
        var desk = new InstrumentDesk(book);
        desk.Keep(new KeptInstrument { Kind = "audio-interface", Name = "Bench interface" });
        for (int n = 0; n < Tapes; n++)
            desk.Keep(
                new KeptInstrument
                {
                    Kind = "test-tape",
                    Name = $"Tape {n}",
                    PlaysBefore = 3,
                    PlaysAtMost = n == 0 ? 2000 : 100_000,
                }
            );
        for (int n = 0; n < Supplies; n++)
            supplies.Add(new SupplyDesk(book).Keep($"{(SupplyKind)(n % 10)} number {n}", (SupplyKind)(n % 10), "piece", 4));
        book.Work(w => { foreach (var supply in supplies) Deliver(w, supply, w.Now); return 0; });
    }

    /// <summary>What comes in before the next job: a delivery now and then, and something about an instrument.</summary>
    public void Keep(DateTimeOffset day)
    {
        jobs++;
        if (jobs % JobsToADelivery == 0)
            book.Work(w => { Deliver(w, supplies[random.Next(Supplies)], day); return 0; });
        if (jobs % 200 == 0)
            new InstrumentDesk(book).Note(
                $"Tape {random.Next(Tapes)}",
                random.Next(2) == 0 ? InstrumentEventKind.FieldExposure : InstrumentEventKind.Doubt,
                day.AddDays(-20),
                "lay on a motor"
            );
        if (jobs % 250 == 0)
        {
            for (int n = 0; n < Tapes; n++)
                new InstrumentDesk(book).Note(
                    $"Tape {n}",
                    InstrumentEventKind.Calibrated,
                    day,
                    "compared with a new one",
                    LargeBook.Day(day.AddYears(2))
                );
        }
    }

    /// <summary>A lot that holds something still.</summary>
    public Lot Take()
    {
        int at = random.Next(lots.Count);
        while (lots[at].Left < 1)
            at = (at + 1) % lots.Count;
        lots[at] = (lots[at].Lot, lots[at].Left - 1);
        return lots[at].Lot;
    }

    private void Deliver(BookWork w, Supply supply, DateTimeOffset day) => lots.Add((w.Add(new Lot
    {
        SupplyId = supply.Root,
        Supplier = "Lowmoor Spares",
        Number = $"L{lots.Count:0000}",
        Received = LargeBook.Day(day),
        Quantity = InADelivery,
        UnitPrice = new Money(random.Next(2, 40), "EUR"),
    }), InADelivery));
}
