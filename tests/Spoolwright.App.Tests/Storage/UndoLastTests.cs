using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>One undo for entries and for changes of decks and jobs, in the order in which they were done.</summary>
public abstract class UndoLastTests(BookKind kind)
{
    [Fact]
    public void Undo_OfEitherKind_TakesTheLastThing_AndOnceMoreDoesItAgain()
    {
        using var disk = new BookOnDisk(kind);
        var (book, job) = (disk.Book, disk.Job.Id);
        Assert.Equal("not-found", Assert.Throws<ServiceBookException>(() => book.UndoLast()).Code);
        book.Add(new Accessory { JobId = job, Name = "cover" });
        book.CloseJob(job, BookOnDisk.Day.AddDays(1));
        book.Add(new Accessory { JobId = job, Name = "reel" });

        Assert.Equal("Undone: accessory", book.UndoLast());
        Assert.Equal(["cover"], book.Standing<Accessory>(job).Select(a => a.Name));
        Assert.Equal("Undone: accessory", book.UndoLast()); // its undoing is the last thing now
        Assert.Equal(["cover", "reel"], book.Standing<Accessory>(job).Select(a => a.Name));

        Act edited = book.Change(
            "Edited the deck",
            j => j.Update("deck", Columns.Id(disk.Deck.Id), new Columns { ["description"] = "edited" })
        )!;
        Assert.Equal("Undone: Edited the deck", book.UndoLast());
        Assert.Equal(disk.Deck.Description, book.ReadDeck(disk.Deck.Id).Description);
        Assert.Equal("Undone: Undone: Edited the deck", book.UndoLast());
        Assert.Equal("edited", book.ReadDeck(disk.Deck.Id).Description);
        Assert.NotEqual(default, edited.Id);
        Assert.NotNull(book.JobHead(job).Job.Closed); // nothing before the last thing was touched
    }

    [Fact]
    public void Entries_WrittenTogether_AreUndoneTogether()
    {
        using var disk = new BookOnDisk(kind);
        var (book, job) = (disk.Book, disk.Job);
        book.Add(new DeckOwner { DeckId = disk.Deck.Id, Name = "before" });
        book.Work(w =>
        {
            w.Add(new DeckOwner { DeckId = disk.Deck.Id, Name = "buyer" });
            return w.Add(new Sale { JobId = job.Id, Price = new Money(900, "EUR"), Day = new DateOnly(2026, 3, 20), Buyer = "buyer" });
        });
        Assert.Equal("Undone: sale, owner", book.UndoLast());
        Assert.Empty(book.Standing<Sale>(job.Id));
        Assert.Equal(["before"], book.Standing<DeckOwner>(disk.Deck.Id).Select(o => o.Name));
        book.UndoLast();
        Assert.Equal(["before", "buyer"], book.Standing<DeckOwner>(disk.Deck.Id).Select(o => o.Name).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Plan_LaidOutLast_HasNoUndo()
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.Work(w =>
        {
            for (int n = 0; n < 30; n++)
                w.Add(new Accessory { JobId = disk.Job.Id, Name = $"{n}" });
            return 0;
        });
        Assert.Equal("refused", Assert.Throws<ServiceBookException>(() => disk.Book.UndoLast()).Code);
        Assert.Equal(Enumerable.Range(0, 30).Select(n => $"{n}"), disk.Book.Standing<Accessory>(disk.Job.Id).Select(a => a.Name)); // in the order they were written in
    }

    [Fact]
    public void Keys_MadeInOneMillisecond_KeepTheirOrder()
    {
        Guid[] keys = [.. Enumerable.Range(0, 20_000).Select(_ => RowId.New())];
        Assert.Equal(keys, keys.OrderBy(k => k.ToString(), StringComparer.Ordinal));
        Assert.Equal(keys.Length, keys.Distinct().Count());
        Assert.All(keys, k => Assert.Equal((7, true), (k.Version, k.Variant is >= 8 and <= 11)));
    }
}

/// <summary>In a SQLite file.</summary>
public sealed class SqliteUndoLastTests() : UndoLastTests(BookKind.Sqlite);

/// <summary>In PostgreSQL.</summary>
public sealed class PostgresUndoLastTests() : UndoLastTests(BookKind.Postgres);
