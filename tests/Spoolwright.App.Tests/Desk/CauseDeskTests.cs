using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Reports;
using Spoolwright.App.Tests.Storage;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.App.Tests.Desk;

/// <summary>A shop's finished jobs teach how often causes are met. Written once, run on each engine.</summary>
public abstract class CauseDeskTests(BookKind kind)
{
    [Fact]
    public void FinishedJobs_TeachHowOftenACauseIsMet()
    {
        using var shop = new BookOnDisk(kind);
        Guid first = Job(shop, "A-1", done: true, closed: true), second = Job(shop, "A-2", done: true, closed: true);
        Job(shop, "A-3", done: true, closed: false);
        Job(shop, "A-4", done: false, closed: true);
        var desk = new CauseDesk(shop.Book);
        var counts = desk.Counts().ToDictionary(c => c.CauseId);
        Assert.Equal(3, desk.Jobs);
        // Two directions and channels in each job; in the last one it was named and nobody did what mends it, so that place says nothing.
        Assert.Equal((2, 11), (counts["dirty-replay-head"].Met, counts["dirty-replay-head"].Places));
        Assert.Equal((2, 2), (counts["capstan"].Met, counts["capstan"].Places));
        Assert.Equal((0, 3), (counts["speed"].Met, counts["speed"].Places));
        // By the beta distribution, written out: a file's 3 % worth 40 places, and 2 of 11.
        var known = desk.Knowledge(new Dictionary<string, double> { ["belt"] = 0.2 });
        Assert.Equal(((40 * 0.03) + 2) / (40 + 11), known.Causes.Single(c => c.Id == "dirty-replay-head").Prior, 12);
        Assert.Equal(0.2, known.Causes.Single(c => c.Id == "belt").Prior);

        var (ailments, _) = desk.Of(first, CauseBook.Default);
        Assert.Equal(["right", "right"], desk.Mended(first, ailments).Select(m => m.Word));
        Assert.NotEqual(first, second);
    }

    [Fact]
    public void Memory_SparesWeighingTwice_AndIsMadeAgainWhenLost()
    {
        using var shop = new BookOnDisk(kind);
        Job(shop, "A-1", done: true, closed: true);
        var file = Path.Combine(shop.Folder, "learned", "causes.json");
        var first = new CauseDesk(shop.Book, new CauseMemory(file)).Counts();
        Assert.True(File.Exists(file));
        Assert.Equal(first, new CauseDesk(shop.Book, new CauseMemory(file)).Counts());
        // It is what is kept that is read: another figure in it comes out again.
        File.WriteAllText(file, File.ReadAllText(file).Replace("\"Met\":1", "\"Met\":0", StringComparison.Ordinal));
        Assert.All(new CauseDesk(shop.Book, new CauseMemory(file)).Counts(), c => Assert.Equal(0, c.Met));
        File.WriteAllText(file, "not this");
        Assert.Equal(first, new CauseDesk(shop.Book, new CauseMemory(file)).Counts());
    }

    private static Guid Job(BookOnDisk shop, string serial, bool done, bool closed)
    {
        var sample = AilingJob.File();
        var deck = shop.Book.AddDeck("Invented", sample.Deck.ProfileJson, serial, "");
        var job = shop.Book.OpenJob(deck.Id, "Whole restoration", BookOnDisk.Day);
        var plan = new PlanDesk(shop.Book);
        plan.LayOut(job.Id, PlanLibrary.Default, JobDesk.ProfileOf(deck));
        foreach (var key in done ? new[] { "clean-path", "rebuild-capstan" } : [])
            plan.Done(job.Id, key, "done all the same");
        foreach (var m in sample.Measurements)
            shop.Book.FileMeasurement(shop.Filing(BookOnDisk.Sound(1), m.Result.Readings, m.Entry.Measurement, [], m.Result.Traces) with { JobId = job.Id, Condition = m.Entry.Condition, Mark = m.Entry.Mark, MeasuredAt = m.Entry.MeasuredAt });
        if (closed)
            shop.Book.CloseJob(job.Id, BookOnDisk.Day.AddDays(3));
        return job.Id;
    }
}

public sealed class SqliteCauseDeskTests() : CauseDeskTests(BookKind.Sqlite);

public sealed class PostgresCauseDeskTests() : CauseDeskTests(BookKind.Postgres);
