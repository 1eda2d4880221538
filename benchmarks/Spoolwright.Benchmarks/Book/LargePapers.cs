using System.Security.Cryptography;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>What else a job leaves in the book: marks, sittings, functions, faults, photos, parts, costs, sale, offer, listing,
/// sign-off.</summary>
internal static class LargePapers
{
    // No page reads the picture but to send it on.
    private static readonly byte[] Picture = [.. Enumerable.Range(0, 4000).Select(n => (byte)n)];

    public static void File(ServiceBook book, LargeStore store, Job job, Deck deck, BookClock clock, Random random)
    {
        var day = job.Opened;
        clock.Stands = day.AddHours(70);
        book.Work(w =>
        {
            Plan(w, job, random);
            Functions(w, job, random);
            Money(w, store, job, deck, random);
            return 0;
        });
        string hash = Convert.ToHexStringLower(SHA256.HashData(Picture));
        book.AddPhoto(
            new Photo
            {
                JobId = job.Id,
                Mark = Mark.AsFound,
                Assembly = "transport",
                Caption = LargeWords.Faults(random, 1),
                Sha256 = hash,
            },
            new PhotoImage(hash, 1600, 1200, Picture)
        );
        if (random.Next(4) == 0)
            Sign(book, job);
    }

    private static void Plan(BookWork w, Job job, Random random)
    {
        var minute = 0;
        foreach (var task in w.Standing<JobTask>(job.Id))
        {
            if (random.Next(12) == 0)
                continue;
            w.Add(
                new TaskMark
                {
                    JobId = job.Id,
                    TaskKey = task.Key,
                    State = TaskState.Done,
                    Remark = random.Next(8) == 0 ? LargeWords.Work(random) : null,
                }
            );
            if (random.Next(3) != 0)
                continue;
            var from = job.Opened.AddMinutes(minute);
            minute += random.Next(10, 60);
            var sitting = w.Add(
                new ClockEntry
                {
                    JobId = job.Id,
                    TaskKey = task.Key,
                    Day = LargeBook.Day(from),
                    Started = from,
                    Ended = from.AddMinutes(random.Next(5, 90)),
                }
            );
            if (random.Next(10) == 0)
                w.Correct(sitting.Id, sitting with { Ended = from.AddMinutes(random.Next(5, 90)), Remark = "the clock ran on over lunch" });
        }
    }

    private static void Functions(BookWork w, Job job, Random random)
    {
        foreach (var check in w.Standing<JobCheck>(job.Id))
        {
            var broken = random.Next(8) == 0;
            w.Add(
                new CheckResult
                {
                    JobId = job.Id,
                    CheckKey = check.Key,
                    Mark = Mark.AsFound,
                    Outcome = broken ? CheckOutcome.Fault : CheckOutcome.Works,
                    Note = broken ? LargeWords.Faults(random, 1) : null,
                }
            );
            w.Add(
                new CheckResult
                {
                    JobId = job.Id,
                    CheckKey = check.Key,
                    Mark = Mark.AsLeft,
                    Outcome = CheckOutcome.Works,
                }
            );
        }

        for (int n = 0; n < 2; n++)
        {
            var fault = w.Add(
                new Fault
                {
                    JobId = job.Id,
                    Assembly = "transport",
                    What = LargeWords.Faults(random, 2),
                    FoundAt = Mark.AsFound,
                }
            );
            w.Correct(fault.Id, fault with { State = FaultState.Fixed, Words = LargeWords.Work(random) });
        }

        w.Add(new LoadedTape { JobId = job.Id, Kind = LoadedTapeKind.Scrap, Name = "old reel" });
        w.Add(new Accessory { JobId = job.Id, Name = "dust cover", Note = random.Next(3) == 0 ? "cracked" : null });
    }

    private static void Money(BookWork w, LargeStore store, Job job, Deck deck, Random random)
    {
        var day = LargeBook.Day(job.Opened);
        Money Euro(int least, int most) => new(random.Next(least, most), "EUR");
        var offer = new Offer
        {
            ProfileName = deck.ProfileName,
            SerialNumber = deck.SerialNumber,
            Seller = LargeWords.Person(random),
            Asked = Euro(60, 300),
            Day = day,
            Working = (Working)random.Next(4),
            Handled = (Handled)random.Next(4),
            Parts = [$"heads={Offer.Grades[random.Next(3)]}"],
            Decision = OfferDecision.Bought,
            JobId = job.Id,
        };
        w.Add(offer);
        if (random.Next(5) == 0)
            w.Add(offer with { Decision = OfferDecision.Declined, JobId = null, SerialNumber = null, Remark = "too dear" });
        w.Add(
            new PriceFetched
            {
                ProfileName = deck.ProfileName,
                Price = Euro(500, 1200),
                Day = day,
                Source = "market at Almsby",
            }
        );
        w.Add(
            new JobCost
            {
                JobId = job.Id,
                Kind = CostKind.Deck,
                Amount = offer.Asked,
                Day = day,
                What = "the deck",
            }
        );
        var freight = w.Add(
            new JobCost
            {
                JobId = job.Id,
                Kind = CostKind.Freight,
                Amount = Euro(10, 60),
                Day = day,
                What = "fetched by van",
            }
        );
        if (random.Next(10) == 0)
            w.Correct(freight.Id, freight with { Amount = Euro(10, 60) });
        w.Add(new JobCost { JobId = job.Id, Kind = CostKind.Fee, Amount = Euro(5, 40), Day = day, What = "fee of the market" });
        for (int n = 0; n < 3; n++)
            w.Add(
                new SupplyUse
                {
                    LotId = store.Take().Root,
                    JobId = job.Id,
                    Quantity = 1,
                    Place = n == 0 ? "capstan" : "counter",
                    Day = day,
                }
            );
        var buyer = LargeWords.Person(random);
        w.Add(
            new DeckOwner
            {
                DeckId = deck.Id,
                Name = buyer,
                Since = day.AddDays(4),
            }
        );
        w.Add(
            new Sale
            {
                JobId = job.Id,
                Price = Euro(500, 1200),
                Day = day.AddDays(4),
                Buyer = buyer,
                WarrantyMonths = 12,
                Terms = "Work and parts.",
            }
        );
        w.Add(
            new ListingText
            {
                JobId = job.Id,
                Title = "Restored and measured",
                Words = LargeWords.Work(random),
                Asked = Euro(500, 1200),
            }
        );
    }

    private static void Sign(ServiceBook book, Job job)
    {
        string json = JsonRecord.Write(RecordComposer.Compose(book.ReadJob(job.Id), Judge.Readings, book.Now, "benchmark", null, null));
        book.Add(
            new SignOff
            {
                JobId = job.Id,
                RecordSha256 = new string('0', 64),
                RecordJson = json,
                Sheet = "{}",
                KeyFingerprint = "0000",
                SignedAt = book.Now,
                SignedBy = "Large shop",
            }
        );
    }
}
