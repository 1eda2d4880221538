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
    public void Transaction_LostInItsCommit_IsToldByItsOwnRow_WhateverOthersCommittedMeanwhile()
    {
        using var disk = new BookOnDisk(BookKind.Postgres);
        using var engine = new PostgresEngine(disk.Path, TimeSpan.FromSeconds(20));
        engine.Prepare(mayMake: false, BookOnDisk.Day);
        WriteTicket kept = Begun(commit: true), lost = Begun(commit: false);
        for (int i = 0; i < 20; i++)
            disk.Book.OpenJob(disk.Deck.Id, $"of another bench {i}", BookOnDisk.Day);
        Assert.True(engine.WasCommitted(kept, null));
        Assert.False(engine.WasCommitted(lost, null));

        WriteTicket Begun(bool commit)
        {
            using var raw = disk.Raw();
            using var transaction = raw.BeginTransaction();
            WriteTicket ticket = engine.PutTicket(raw, transaction);
            if (commit)
                transaction.Commit();
            return ticket;
        }
    }

    [Fact]
    public async Task Transaction_StillAtItsCommit_IsWaitedFor()
    {
        var stop = TestContext.Current.CancellationToken;
        using var disk = new BookOnDisk(BookKind.Postgres);
        using var engine = new PostgresEngine(disk.Path, TimeSpan.FromSeconds(60));
        engine.Prepare(mayMake: false, BookOnDisk.Day);
        using var raw = disk.Raw();
        using var transaction = raw.BeginTransaction();
        raw.Execute("SELECT pg_advisory_xact_lock(hashtextextended('spoolwright ' || current_schema(), 0))", transaction: transaction);
        WriteTicket ticket = engine.PutTicket(raw, transaction);
        var asked = Task.Run(() => engine.WasCommitted(ticket, null), stop);
        await Task.Delay(500, stop);
        Assert.False(asked.IsCompleted);
        await transaction.CommitAsync(stop);
        Assert.True(await asked.WaitAsync(TimeSpan.FromSeconds(60), stop));
    }

    [Fact]
    public void Connection_CutInTheCommitItself_LeavesTheEntryOnce()
    {
        using var disk = new BookOnDisk(BookKind.Postgres);
        using (var raw = disk.Raw())
        {
            // Runs inside the commit; a sequence counts on though the transaction is lost.
            raw.Execute("""
                CREATE SEQUENCE tries;
                CREATE FUNCTION cut() RETURNS trigger AS $$ BEGIN IF nextval('tries') < 3 THEN PERFORM pg_terminate_backend(pg_backend_pid()); END IF; RETURN NULL; END $$ LANGUAGE plpgsql;
                CREATE CONSTRAINT TRIGGER cut AFTER INSERT ON job DEFERRABLE INITIALLY DEFERRED FOR EACH ROW EXECUTE FUNCTION cut();
                """);
        }

        disk.Book.OpenJob(disk.Deck.Id, "cut", BookOnDisk.Day);
        Assert.Single(disk.Book.Jobs(), j => j.What == "cut");
        using var after = disk.Raw();
        Assert.Equal(3, after.ExecuteScalar<long>("SELECT last_value FROM tries"));
        // Rows that were heard of go with the bench's next transaction.
        disk.Book.OpenJob(disk.Deck.Id, "next", BookOnDisk.Day);
        Assert.Equal(1, after.ExecuteScalar<long>("SELECT COUNT(*) FROM write_ticket"));
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
