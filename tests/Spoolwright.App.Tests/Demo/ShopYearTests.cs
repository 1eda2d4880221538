using Spoolwright.App.Demo;
using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Demo;

/// <summary>The demonstration's year, written once for all tests of it.</summary>
public sealed class ShopYearFixture : IDisposable
{
    internal static readonly DateTimeOffset Now = new(2026, 11, 26, 14, 0, 0, TimeSpan.Zero);

    public ShopYearFixture()
    {
        Own = Write("book");
        Book = ServiceBook.Open(At("book.db"));
    }

    internal string Folder { get; } = Directory.CreateTempSubdirectory("spoolwright-year-").FullName;

    internal ServiceBook Book { get; }

    internal Job Own { get; }

    internal string At(string name) => Path.Combine(Folder, name);

    internal Job Write(string name) =>
        ShopYear.Write(
            At(name + ".db"),
            File.ReadAllText(Path.Combine(Tree.Root, "examples/deck-profile.json")),
            Now,
            At(name + ".pem"),
            At(name + "-handover")
        );

    public void Dispose()
    {
        Book.Dispose();
        Directory.Delete(Folder, recursive: true);
    }
}

/// <summary>The demonstration's year: every page has something true to show, and nothing invented passes for measured.</summary>
public sealed class ShopYearTests(ShopYearFixture year) : IClassFixture<ShopYearFixture>
{
    private readonly ServiceBook book = year.Book;

    [Fact]
    public void Year_HoldsADozenDecks_FromOfferToAftercare()
    {
        Assert.Equal(12, book.Decks().Count);
        Assert.Equal(13, book.Jobs().Count);
        Assert.Equal("740 1183", new JobDesk(book).DeckOf(year.Own).SerialNumber);
        Assert.All(book.Jobs(), j => Assert.True(j.Opened < ShopYearFixture.Now));
        Assert.DoesNotContain(book.Everything<Bench.Service.Plans.ClockEntry>(), c => c.Entered > ShopYearFixture.Now);

        // Hours, parts and prices differ from deck to deck, as those of a year do.
        var offers = new OfferDesk(book);
        var open = offers.Offers().Single(o => o.Decision == Bench.Service.Trade.OfferDecision.Open);
        var weighed = offers.Weigh(open);
        Assert.Equal(7, weighed.EarlierJobs);
        Assert.True(weighed.Weighing.Margin.Low < weighed.Weighing.Margin.High);
        Assert.NotEmpty(weighed.Weighing.Questions);
        Assert.True(weighed.Weighing.Hours.Variance > 0);

        // A lot that failed, a gauge that was doubted, a deck that drifted, a record that was signed.
        Assert.True(new SupplyDesk(book).Recall("B-4402").Select(w => w.Deck.Id).Distinct().Count() >= 3);
        Assert.Contains(book.Standing<InstrumentEvent>(), e => e.Kind == InstrumentEventKind.Doubt);
        var returned = book.Jobs().Single(j => j.What.StartsWith("Measured again", StringComparison.Ordinal));
        var care = new FieldDesk(book).Since(book.Jobs(returned.DeckId)[0]);
        Assert.Contains(care.Lines, l => l.Proven && l.Key.Quantity == "azimuth-angle");
        Assert.True(SignOffDesk.Check(Path.Combine(year.At("book-handover"), SignOffDesk.SheetName), null).Whole);
        Assert.Contains(book.Everything<Bench.Service.Plans.ClockEntry>(), c => c.Supersedes is not null && c.Seconds is not null);

        var field = new FieldDesk(book).Of("Marrowby 74 R");
        Assert.Equal(7, field.Quantities.Single(q => q.Key is { Quantity: "speed-error", Direction: Direction.Forward, SpeedCmPerS: 19.05 })
            .Decks.Count);
        Assert.Empty(field.Repeats);
    }

    [Fact]
    public void Readings_WithoutSound_AllSayThatTheyAreInvented()
    {
        var all = book.Jobs().SelectMany(j => book.ReadJob(j.Id).Measurements).ToList();
        Assert.NotEmpty(all);
        Assert.All(all, m =>
        {
            Assert.Contains(m.Result.Notes, n => n.Code == "invented-history");
            Assert.All(m.Result.Readings, r => Assert.StartsWith("invented history", r.Method, StringComparison.Ordinal));
            Assert.Equal("", m.Entry.Capture.Sha256);
        });
    }

    [Fact]
    public void Field_OnTheCommandLine_CallsQuantitiesByPeoplesNames()
    {
        var run = CliRun.Of("field", "Marrowby 74 R", "--deck", "740 1366", "--book", year.At("book.db"));
        Assert.Equal(0, run.Code);
        Assert.Contains("Channel balance, forward", run.Output, StringComparison.Ordinal);
        foreach (var quantity in book.Jobs().SelectMany(j => book.ReadJob(j.Id).Measurements).SelectMany(m => m.Result.Readings)
            .Select(r => r.Quantity).Distinct())
            Assert.DoesNotContain(quantity, run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Instruments_OverdueOrWorn_AreInDoubtInAWord_AndWhyUnderTheTable()
    {
        var path = year.At("tapes.db");
        foreach (var (name, more) in new (string, string[])[] { ("Old tape", ["--due", "2020-01-31"]), ("Worn tape", ["--played", "301", "--at-most", "300"]) })
        {
            CliRun.Of("shop", "show", "--book", path);
            Assert.Equal(0, CliRun.Of(["instrument", "keep", "test-tape", name, .. more, "--book", path]).Code);
        }

        var list = CliRun.Of("instrument", "list", "--book", path).Output;
        Assert.Matches(@"Old tape +2020-01-31 +0 +0 +in doubt", list);
        Assert.Matches(@"Worn tape +301 of 300 +0 +in doubt", list);
        Assert.Contains("was due on 2020-01-31 and was not certified since.", list.Replace('\n', ' '), StringComparison.Ordinal);
        Assert.DoesNotContain("this was measured", list, StringComparison.Ordinal);
    }

    [Fact]
    public void Year_WrittenTwice_IsTheSame()
    {
        year.Write("again");
        using var other = ServiceBook.Open(year.At("again.db"));
        Assert.Equal(Values(book, "clock_entry", "seconds"), Values(other, "clock_entry", "seconds"));
        Assert.Equal(Values(book, "reading", "value"), Values(other, "reading", "value"));

        static IEnumerable<string?> Values(ServiceBook of, string table, string column)
        {
            var read = of.ReadTable(table);
            var at = read.Columns.ToList().IndexOf(column);
            return read.Rows.Select(r => Convert.ToString(r[at], System.Globalization.CultureInfo.InvariantCulture))
                .Order(StringComparer.Ordinal);
        }
    }
}
