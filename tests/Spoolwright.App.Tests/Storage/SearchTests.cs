using Spoolwright.Bench.Service;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>Whatever was written down is found by the beginnings of its words.</summary>
public abstract class SearchTests(BookKind kind)
{
    [Theory]
    [InlineData("belts", "job")]
    [InlineData("PINCH roll", "job")]
    [InlineData("replaced belt", "job")]
    [InlineData("a7 00412", "deck job")]
    [InlineData("merid auto", "deck")]
    [InlineData("clips 12.4", "measurement")]
    [InlineData("clips 12,4", "measurement")]
    [InlineData("muhsam", "measurement")]
    [InlineData("mühsam", "measurement")]
    [InlineData("tar", "unmeasured")]
    [InlineData("belts nothing", "")]
    [InlineData("elts", "")]
    [InlineData(" .,- ' \" % _ ; DROP", "")]
    [InlineData("", "")]
    public void Words_Typed_FindWhatHoldsThemAll(string question, string kinds)
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), [BookOnDisk.Speed(1)],
            notes: [Note.Warning("clipped", "Left clips at 12.4 s."), Note.Hint("a", "Mühsam geregelt.")]));
        disk.Book.FileUnmeasured(new Unmeasured(disk.Job.Id, BookOnDisk.Forward19, Bench.Mark.AsFound, "Idler turned to tar."));
        var hits = disk.Book.Search(question);
        Assert.Equal(kinds.Split(' ', StringSplitOptions.RemoveEmptyEntries), hits.Select(h => h.Kind).Order(StringComparer.Ordinal));
        Assert.All(hits, h => Assert.Equal(disk.Deck.Id, h.DeckId));
    }

    [Fact]
    public void Row_EditedAndUndone_IsFoundByItsWordsOfNow()
    {
        using var disk = new BookOnDisk(kind);
        Act act = disk.Book.Change("Edited", j => j.Update("deck", Columns.Id(disk.Deck.Id), new Columns { ["description"] = "Walnut case" }))!;
        Assert.Single(disk.Book.Search("walnut"));
        Assert.Empty(disk.Book.Search("speeds"));
        disk.Book.Undo(act.Id);
        Assert.Empty(disk.Book.Search("walnut"));
        Assert.Single(disk.Book.Search("speeds"));
    }

    [Fact]
    public void Hits_MoreThanAsked_AreTheNewest()
    {
        using var disk = new BookOnDisk(kind);
        for (int i = 0; i < 20; i++)
            disk.Book.OpenJob(disk.Deck.Id, $"relay {i}", BookOnDisk.Day.AddDays(i % 7 * 10 + i));
        var newest = disk.Book.Jobs().OrderByDescending(j => j.Opened).Take(5).Select(j => j.Id);
        Assert.Equal(newest, disk.Book.Search("relay", 5).Select(h => h.Id));
    }

    [Fact]
    public void Index_OfABookWithoutOne_IsMadeAtItsOpening()
    {
        using var disk = new BookOnDisk(kind);
        using (var raw = disk.Raw())
            Dapper.SqlMapper.Execute(raw, "DELETE FROM search_word; DELETE FROM search_entry; DELETE FROM setting WHERE name = 'search'");
        Assert.Empty(disk.Book.Search("belts"));
        using ServiceBook again = ServiceBook.OpenExisting(disk.Path);
        Assert.Single(again.Search("belts"));
    }
}

/// <summary>In a SQLite file.</summary>
public sealed class SqliteSearchTests() : SearchTests(BookKind.Sqlite);

/// <summary>In PostgreSQL.</summary>
public sealed class PostgresSearchTests() : SearchTests(BookKind.Postgres);
