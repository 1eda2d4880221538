using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>What a shop writes down seldom; put into a large book once it is full.</summary>
internal static class LargeRest
{
    private const int Some = 200;

    public static void Keep(ServiceBook book)
    {
        if (book.Standing<LotDoubt>().Count > 0)
            return;
        var random = new Random(11);
        var (jobs, lots) = (book.Jobs(), book.Standing<Lot>());
        book.Work(w =>
        {
            for (int n = 0; n < Some; n++)
            {
                var job = jobs[random.Next(jobs.Count)];
                w.Add(new LotDoubt { LotId = lots[random.Next(lots.Count)].Root, Why = LargeWords.Faults(random, 1) });
                w.Add(new CheckAcceptance { JobId = job.Id, CheckKey = "lamps", Words = LargeWords.Faults(random, 1) });
            }

            w.Add(
                new Offer
                {
                    ProfileName = book.ProfileLines()[0].ProfileName,
                    Seller = LargeWords.Person(random),
                    Asked = new Money(150, "EUR"),
                    Day = LargeBook.Day(w.Now),
                }
            );
            return 0;
        });
        for (int n = 0; n < Some; n++)
            book.FileUnmeasured(
                new Unmeasured(
                    jobs[random.Next(jobs.Count)].Id,
                    new Condition(Direction.Forward, 19.05),
                    Mark.AsFound,
                    LargeWords.Faults(random, 1)
                )
            );
    }
}
