using System.Collections.Concurrent;
using Spoolwright.App.Web;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>Several benches on one deck and one job at once: nobody's entry is lost, and who comes second is told.</summary>
public abstract class TwoBenchTests(BookKind kind)
{
    private const int Benches = 4, Entries = 12;

    [Fact]
    public void Entries_OfSeveralBenchesOnOneJob_AreAllThereInOneOrder()
    {
        using var disk = new BookOnDisk(kind);
        var made = new ConcurrentBag<Guid>();
        AtOnce(disk, (book, n) =>
        {
            for (int i = 0; i < Entries; i++)
            {
                made.Add(book.FileMeasurement(BenchProcess.Filing(disk.Job.Id, BookOnDisk.Sound(i), 5)).Id); // all the same sounds
                book.FileUnmeasured(new Unmeasured(disk.Job.Id, BookOnDisk.Forward19, Bench.Mark.AsFound, $"bench {n}, {i}"));
            }
        });
        JobFile file = disk.Book.ReadJob(disk.Job.Id);
        Assert.Equal(made.Order(), file.Measurements.Select(m => m.Entry.Id).Order());
        Assert.Empty(BenchProcess.Halves(file));
        Assert.Equal(Benches * Entries, file.Unmeasured.Count);
        for (int n = 0; n < Benches; n++) // each bench's own in the order it wrote them
            Assert.Equal(
                Enumerable.Range(0, Entries).Select(i => $"bench {n}, {i}"),
                file.Unmeasured.Select(u => u.Reason).Where(r => r.StartsWith($"bench {n},", StringComparison.Ordinal))
            );
        Assert.Empty(disk.Book.Check());
    }

    [Fact]
    public void Turns_OfOneBench_PutInDoubtWhatAnotherMeasured()
    {
        using var disk = new BookOnDisk(kind);
        using var other = ServiceBook.Open(disk.Path);
        var here = new AdjustedLog(disk.Book);
        // A screw in fifty small turns is one note; another condition is another one.
        for (var turn = 0; turn < 50; turn++)
            here.Add(disk.Job.Id, "bias", BookOnDisk.Forward19);
        here.Add(disk.Job.Id, "bias", BookOnDisk.Forward19 with { Direction = Bench.Direction.Reverse });
        var there = new AdjustedLog(other).Of(disk.Job.Id);
        Assert.Equal([Bench.Direction.Forward, Bench.Direction.Reverse], there.Select(a => a.Condition.Direction));
        Assert.Equal(there[0], Doubt.Of("record", BookOnDisk.Forward19, there[0].At.AddSeconds(-1), there));
        Assert.Null(Doubt.Of("record", BookOnDisk.Forward19, there[1].At.AddSeconds(1), there));

        // Not what a person wrote: nothing to undo.
        Assert.DoesNotContain(disk.Book.Lately(20), e => e.Table == "turned_control");
        Assert.Contains(
            "adjustment",
            Assert.Throws<EntryException>(() => here.Add(disk.Job.Id, "paint", BookOnDisk.Forward19)).Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Measurement_SupersededBySeveralAtOnce_HasOneSuccessorAndTheOthersAreTold()
    {
        using var disk = new BookOnDisk(kind);
        Guid old = disk.Book.FileMeasurement(disk.Filing()).Id;
        var told = new ConcurrentBag<string>();
        AtOnce(disk, (book, n) =>
        {
            try
            {
                book.FileMeasurement(disk.Filing(10 + n) with { Supersedes = old });
            }
            catch (ServiceBookException e)
            {
                told.Add(e.Code);
            }
        });
        Assert.Equal(Enumerable.Repeat("refused", Benches - 1), told);
        Assert.Equal(2, disk.Book.ReadJob(disk.Job.Id).Measurements.Count);
    }

    [Fact]
    public void Deck_EditedBySeveralAtOnce_KeepsEveryonesWords()
    {
        using var disk = new BookOnDisk(kind);
        AtOnce(disk, (book, n) =>
        {
            for (int i = 0; i < Entries; i++)
            {
                // Reads, adds its own, writes; whoever was overtaken reads again.
                while (true)
                {
                    string shown = book.Decks().Single().Description;
                    try
                    {
                        book.Change("Added a remark", j => j.Update("deck", Columns.Id(disk.Deck.Id), new Columns { ["description"] = $"{shown}, {n}-{i}" },
                            seen: new Columns { ["description"] = shown }));
                        break;
                    }
                    catch (ServiceBookException e) when (e.Code == "changed-meanwhile")
                    {
                        // Again.
                    }
                }
            }
        });
        string[] words = disk.Book.Decks().Single().Description.Split(", ");
        Assert.Equal(
            Enumerable
                .Range(0, Benches)
                .SelectMany(n => Enumerable.Range(0, Entries).Select(i => $"{n}-{i}"))
                .Order(StringComparer.Ordinal),
            words.Where(w => w.Contains('-', StringComparison.Ordinal) && char.IsDigit(w[0])).Order(StringComparer.Ordinal)
        );
        Assert.Equal(Benches * Entries, disk.Book.History("deck", disk.Deck.Id).Count);
    }

    private static void AtOnce(BookOnDisk disk, Action<ServiceBook, int> work)
    {
        var failures = new ConcurrentBag<Exception>();
        using var start = new Barrier(Benches);
        var benches = Enumerable.Range(0, Benches).Select(n => new Thread(() =>
        {
            try
            {
                using ServiceBook book = ServiceBook.OpenExisting(disk.Path, TimeSpan.FromSeconds(60));
                start.SignalAndWait();
                work(book, n);
            }
            catch (Exception e)
            {
                failures.Add(e);
            }
        })).ToList();
        benches.ForEach(b => b.Start());
        benches.ForEach(b => b.Join());
        Assert.Empty(failures);
    }
}

/// <summary>In a SQLite file.</summary>
public sealed class SqliteTwoBenchTests() : TwoBenchTests(BookKind.Sqlite);

/// <summary>In PostgreSQL.</summary>
public sealed class PostgresTwoBenchTests() : TwoBenchTests(BookKind.Postgres);
