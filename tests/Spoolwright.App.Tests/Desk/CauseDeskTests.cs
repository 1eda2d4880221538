using Dapper;
using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Reports;
using Spoolwright.App.Tests.Storage;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Storage;

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
        Assert.Equal((3, 0, 0), (desk.Lessons.Finished, desk.Lessons.Weighed, desk.Lessons.Taught));
        Assert.Empty(desk.Learn(TimeSpan.MaxValue, null, TestContext.Current.CancellationToken));
        var counts = desk.Counts().ToDictionary(c => c.CauseId);
        Assert.Equal((3, 3, 3, null), (desk.Lessons.Finished, desk.Lessons.Weighed, desk.Lessons.Taught, desk.SoFar));
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
    public void Lessons_AreKeptInTheBook_UntilSomethingIsAddedToTheJob()
    {
        using var shop = new BookOnDisk(kind);
        var job = Job(shop, "A-1", done: true, closed: true);
        var first = Learned(shop.Book);
        Assert.Contains(first, c => c.Met > 0);
        // What is kept is read: another figure in it comes out again, and nothing is weighed anew.
        using (var raw = shop.Raw())
            raw.Execute("UPDATE cause_lesson SET counts = 'belt 1/7'");
        Assert.Equal([new CauseCount("belt", 1, 7)], Learned(shop.Book));

        // Opened again it teaches nothing; closed again as it was, what was weighed holds.
        shop.Book.UndoLast();
        Assert.Null(shop.Book.JobHead(job).Job.Closed);
        Assert.Equal((0, 0), (new CauseDesk(shop.Book).Lessons.Finished, new CauseDesk(shop.Book).Lessons.Weighed));
        shop.Book.UndoLast();
        Assert.Equal((1, 1), (new CauseDesk(shop.Book).Lessons.Finished, new CauseDesk(shop.Book).Lessons.Weighed));

        // A task's mark, a measurement: each puts the job among those that are to be weighed.
        new PlanDesk(shop.Book).Done(job, "clean-path", "once more");
        Assert.Equal("0 of 1 finished jobs are weighed so far", new CauseDesk(shop.Book).SoFar);
        Assert.Equal(first, Learned(shop.Book));
        shop.Book.FileMeasurement(shop.Filing() with { JobId = job });
        Assert.Equal("0 of 1 finished jobs are weighed so far", new CauseDesk(shop.Book).SoFar);
        Assert.Equal(0, new CauseDesk(shop.Book).Lessons.Taught);
        Learned(shop.Book);
        Assert.Null(new CauseDesk(shop.Book).SoFar);
    }

    [Fact]
    public void Job_AddedToWhileItWasWeighed_IsNotKept()
    {
        using var shop = new BookOnDisk(kind);
        var job = Job(shop, "A-1", done: true, closed: true);
        var before = shop.Book.Finished(job)!;
        new PlanDesk(shop.Book).Done(job, "clean-path", "meanwhile");
        Assert.False(shop.Book.KeepLesson(before, "laws", [new CauseCount("belt", 1, 7)]));
        Assert.Equal(0, shop.Book.CauseLessons("laws").Weighed);
        Assert.True(shop.Book.KeepLesson(shop.Book.Finished(job)!, "laws", [new CauseCount("belt", 1, 7)]));
        Assert.Equal(1, shop.Book.CauseLessons("laws").Weighed);
        Assert.Equal(0, shop.Book.CauseLessons("other laws").Weighed);
        Assert.Null(shop.Book.Finished(shop.Job.Id)); // open
    }

    [Fact]
    public async Task TwoBenches_ThatLearnAtOnce_CountEachJobOnce()
    {
        using var shop = new BookOnDisk(kind);
        for (var n = 0; n < 6; n++)
            Job(shop, $"A-{n}", done: n % 2 == 0, closed: true);
        using var other = ServiceBook.OpenExisting(shop.Path, TimeSpan.FromSeconds(30));
        using var first = new CauseLearner(shop.Book);
        using var second = new CauseLearner(other);
        first.Begin();
        second.Begin();
        while (first.Works || second.Works)
            await Task.Delay(20, TestContext.Current.CancellationToken);
        Assert.Equal(
            (6, 6, 6),
            (new CauseDesk(other).Lessons.Finished, new CauseDesk(other).Lessons.Weighed, new CauseDesk(other).Lessons.Taught)
        );
        var counts = new CauseDesk(other).Counts().ToDictionary(c => c.CauseId);
        // As for three of the test above: in each of the three that were mended one of four places, in the others one of them says nothing.
        Assert.Equal((3, 21), (counts["dirty-replay-head"].Met, counts["dirty-replay-head"].Places));
        using var raw = shop.Raw();
        Assert.Equal(6, raw.ExecuteScalar<int>("SELECT COUNT(*) FROM cause_lesson"));
    }

    [Fact]
    public void Learning_ThatIsStopped_SaysHowFarItCame_AndGoesOn()
    {
        using var shop = new BookOnDisk(kind);
        for (var n = 0; n < 3; n++)
            Job(shop, $"A-{n}", done: true, closed: true);
        var desk = new CauseDesk(shop.Book);
        desk.Learn(TimeSpan.MaxValue, _ => false, TestContext.Current.CancellationToken);
        Assert.Equal("1 of 3 finished jobs are weighed so far", desk.SoFar);
        desk.Learn(TimeSpan.Zero, null, TestContext.Current.CancellationToken);
        using (var cancelled = new CancellationTokenSource())
        {
            cancelled.Cancel();
            desk.Learn(TimeSpan.MaxValue, stop: cancelled.Token);
        }

        Assert.Equal(1, desk.Lessons.Weighed);
        using (var learner = new CauseLearner(shop.Book))
            learner.Begin();
        var between = new CauseDesk(shop.Book).Lessons.Weighed;
        Assert.InRange(between, 1, 3);
        desk.Learn(TimeSpan.MaxValue, null, TestContext.Current.CancellationToken);
        Assert.Equal((3, null), (desk.Lessons.Weighed, desk.SoFar));
    }

    private static IReadOnlyList<CauseCount> Learned(ServiceBook book)
    {
        var desk = new CauseDesk(book);
        Assert.Empty(desk.Learn(TimeSpan.MaxValue));
        return desk.Counts();
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
            shop.Book.FileMeasurement(
                shop.Filing(BookOnDisk.Sound(1), m.Result.Readings, m.Entry.Measurement, [], m.Result.Traces) with
                {
                    JobId = job.Id,
                    Condition = m.Entry.Condition,
                    Mark = m.Entry.Mark,
                    MeasuredAt = m.Entry.MeasuredAt,
                }
            );
        if (closed)
            shop.Book.CloseJob(job.Id, BookOnDisk.Day.AddDays(3));
        return job.Id;
    }
}

public sealed class SqliteCauseDeskTests() : CauseDeskTests(BookKind.Sqlite);

public sealed class PostgresCauseDeskTests() : CauseDeskTests(BookKind.Postgres);
