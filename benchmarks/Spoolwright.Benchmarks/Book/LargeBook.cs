using Spoolwright.App.Desk;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>
/// Fills a book as a shop would in a lifetime, through the same calls that the program makes: jobs of a hundred readings each in four
/// measurements, with plan, clock, functions, faults, photos, parts, money, listing and sign-off. The same seed gives the same book.
/// What it says is invented.
/// </summary>
internal static class LargeBook
{
    private const int MeasurementsOfAJob = 4, DecksInTen = 8, Kinds = 12;

    /// <summary>Readings of a book of that many jobs.</summary>
    public static long Readings(int jobs) => (long)jobs * MeasurementsOfAJob * LargeReadings.OfAMeasurement;

    public static void Fill(ServiceBook book, BookClock clock, int jobs, string profileText)
    {
        var profile = DeckProfileFile.Parse(profileText).Value ?? throw new InvalidOperationException("the profile cannot be read");
        DeckProfile[] kinds = [.. Enumerable.Range(0, Kinds).Select(n => profile with { Name = $"{profile.Name} {n}" })];
        string[] texts = [.. kinds.Select(DeckProfileFile.ToJson)];
        var random = new Random(2026);
        var decks = new List<Deck>();
        var day = new DateTimeOffset(1996, 1, 2, 8, 0, 0, TimeSpan.Zero);
        clock.Stands = day;
        new ShopDesk(book).Set(
            new ShopFacts
            {
                Name = "Large shop",
                Currency = "EUR",
                Zone = "Europe/Dublin",
                HourlyWanted = new Money(35, "EUR"),
                WarrantyMonths = 12,
                WarrantyTerms = "Work and parts.",
            }
        );
        var store = new LargeStore(book, random);
        for (int i = 0; i < jobs; i++)
        {
            day = day.AddHours(random.Next(20, 80));
            clock.Stands = day;
            store.Keep(day);
            if (decks.Count == 0 || random.Next(10) < DecksInTen)
                decks.Add(
                    new JobDesk(book).TakeIn(
                        texts[random.Next(Kinds)],
                        $"F{decks.Count:00000}-{random.Next(1000):000}",
                        LargeWords.Faults(random, 1),
                        LargeWords.Person(random),
                        Day(day)
                    )
                );
            Deck deck = decks[random.Next(Math.Max(0, decks.Count - 400), decks.Count)];
            Job job = new JobDesk(book).Open(deck, $"{LargeWords.Work(random)}. Found: {LargeWords.Faults(random, 3)}.", day);
            LargeReadings.File(book, job, profile, day, random);
            LargePapers.File(book, store, job, deck, clock, random);
            if (i < jobs - 5)
                new JobDesk(book).Close(job, day.AddDays(3));
        }

        clock.Stands = null;
    }

    internal static DateOnly Day(DateTimeOffset at) => DateOnly.FromDateTime(at.UtcDateTime);
}
