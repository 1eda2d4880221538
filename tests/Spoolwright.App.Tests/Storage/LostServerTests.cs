using Dapper;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>A PostgreSQL server that goes away in the middle of a call.</summary>
public sealed class LostServerTests
{
    [Fact]
    public void Server_CrashedWhileABenchWrites_HasEveryEntryOnceWhenItIsBack()
    {
        using var server = new PostgresServer();
        using var book = ServiceBook.Open(server.Address(), TimeSpan.FromSeconds(120));
        Deck deck = book.AddDeck("Meridian A7", "{}", "A7-1", "");
        Job job = book.OpenJob(deck.Id, "work", BookOnDisk.Day);
        var random = new Random(5);
        using var stop = new CancellationTokenSource();
        var written = new List<string>();
        Exception? failure = null;
        var bench = new Thread(() =>
        {
            try
            {
                for (int i = 0; !stop.IsCancellationRequested; i++)
                {
                    book.FileUnmeasured(new Unmeasured(job.Id, BookOnDisk.Forward19, Bench.Mark.AsFound, $"reason {i}"));
                    lock (written)
                        written.Add($"reason {i}");
                }
            }
            catch (Exception e)
            {
                failure = e;
            }
        });
        bench.Start();
        for (int crash = 0; crash < 6; crash++)
        {
            int before = Count();
            while (Count() < before + 5 && failure is null)
                Thread.Sleep(1);
            Thread.Sleep(random.Next(0, 20));
            server.Crash();
            server.Start();
        }

        stop.Cancel();
        bench.Join();
        Assert.Null(failure);
        // Each once: neither lost nor written again by the next try.
        Assert.Equal(written, book.ReadJob(job.Id).Unmeasured.Select(u => u.Reason));

        int Count()
        {
            lock (written)
                return written.Count;
        }
    }

    [Fact]
    public void Server_ThatStaysAway_IsSaidAndTheBookGoesOnWhenItIsBack()
    {
        using var server = new PostgresServer();
        using var book = ServiceBook.Open(server.Address(), TimeSpan.FromSeconds(1));
        Deck deck = book.AddDeck("Meridian A7", "{}", "A7-1", "");
        server.Crash();
        foreach (Action call in (Action[])[() => book.OpenJob(deck.Id, "work", BookOnDisk.Day), () => book.Decks()])
        {
            var gone = Assert.Throws<ServiceBookException>(call);
            Assert.Equal("gone", gone.Code);
            ServiceBookSafetyTests.AssertOneLine(gone);
        }

        server.Start();
        Assert.Single(book.Decks());
        Assert.Empty(book.Jobs());
        book.OpenJob(deck.Id, "work", BookOnDisk.Day);
        Assert.Single(book.Jobs());
    }

    [Fact]
    public void Connection_CutInsideATransaction_IsTriedAgainFromItsBeginning()
    {
        using var disk = new BookOnDisk(BookKind.Postgres);
        int tries = 0;
        disk.Book.Change("Edited", journal =>
        {
            journal.Update("deck", Columns.Id(disk.Deck.Id), new Columns { ["description"] = "edited" });
            if (++tries > 2)
                return;
            using var raw = disk.Raw();
            // From a connection of its own, as an administrator would.
            int own = journal.Connection.ExecuteScalar<int>("SELECT pg_backend_pid()", transaction: journal.Transaction);
            raw.Execute("SELECT pg_terminate_backend(@own)", new { own });
            journal.Connection.Execute("SELECT 1", transaction: journal.Transaction);
        });
        Assert.Equal(3, tries);
        Assert.Equal("edited", disk.Book.Decks()[0].Description);
        Assert.Single(disk.Book.Acts());
    }
}
