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
        Act act = disk.Book.Change(
            "Edited",
            j => j.Update("deck", Columns.Id(disk.Deck.Id), new Columns { ["description"] = "Walnut case" })
        )!;
        Assert.Single(disk.Book.Search("walnut"));
        Assert.Empty(disk.Book.Search("speeds"));
        disk.Book.Undo(act.Id);
        Assert.Empty(disk.Book.Search("walnut"));
        Assert.Single(disk.Book.Search("speeds"));
    }

    [Fact]
    public void Entry_CorrectedAndTakenBack_IsFoundByTheWordsThatStand()
    {
        using var disk = new BookOnDisk(kind);
        var fault = disk.Book.Add(
            new Bench.Service.Checks.Fault
            {
                JobId = disk.Job.Id,
                Assembly = "transport",
                What = "Idler slips",
                FoundAt = Bench.Mark.AsFound,
                State = default,
            }
        );
        var hit = Assert.Single(disk.Book.Search("idler transp"));
        Assert.Equal(("fault", fault.Id, disk.Job.Id, disk.Deck.Id), (hit.Kind, hit.Id, hit.JobId, hit.DeckId));
        var corrected = disk.Book.Correct(fault.Id, fault with { What = "Solenoid weak" });
        Assert.Empty(disk.Book.Search("idler"));
        Assert.Equal(fault.Id, Assert.Single(disk.Book.Search("solenoid")).Id); // by the first of its line
        disk.Book.Withdraw<Bench.Service.Checks.Fault>(corrected.Id, "a mistake");
        Assert.Empty(disk.Book.Search("solenoid"));
    }

    [Fact]
    public void Hits_OfCommonWords_AreTheSameAsOfRareOnes()
    {
        using var disk = new BookOnDisk(kind);
        using (var raw = disk.Raw())
        {
            // More entries than a word of few may have: the other way of asking.
            for (int i = 1; i <= 2000; i++)
            {
                Dapper.SqlMapper.Execute(raw, $"INSERT INTO search_entry (number, kind, ref, deck_id, job_id, title, body, at) VALUES ({i + 100}, 'job', '{Guid.NewGuid()}', NULL, NULL, '', "
                    + $"'{i}', '2026-03-14T08:00:00.{i:0000000}Z'); INSERT INTO search_word (word, entry) VALUES ('common', {i + 100}), ('n{i % 7}', {i + 100}), ('rare{i % 400}', {i + 100})");
            }
        }

        Assert.Equal(Enumerable.Range(0, 5).Select(n => $"{2000 - n}"), disk.Book.Search("comm", 5).Select(h => h.Body));
        Assert.Equal(
            [1999, 1992, 1985],
            disk.Book.Search("common n4", 3).Select(h => int.Parse(h.Body, System.Globalization.CultureInfo.InvariantCulture))
        );
        Assert.Equal(
            [1995, 1595, 1195, 795, 395],
            disk.Book.Search("rare395 common").Select(h => int.Parse(h.Body, System.Globalization.CultureInfo.InvariantCulture))
        );
        Assert.Equal(
            [1995],
            disk.Book.Search("rare395 common n0").Select(h => int.Parse(h.Body, System.Globalization.CultureInfo.InvariantCulture))
        );
    }

    [Fact]
    public void Hits_OfCommonWordsInOldEntriesAlone_AreFoundBehindAllNewerOnes()
    {
        using var disk = new BookOnDisk(kind);
        using (var raw = disk.Raw())
        {
            // 1,600 old entries hold "old", 400 of them "apart" too; 5,400 newer ones hold "new" and 2,000 of those "apart".
            foreach (int[] some in Enumerable.Range(1, 7000).Chunk(500))
            {
                Dapper.SqlMapper.Execute(
                    raw,
                    "INSERT INTO search_entry (number, kind, ref, deck_id, job_id, title, body, at) VALUES "
                        + string.Join(
                            ", ",
                            some.Select(i =>
                                $"({i + 100}, 'job', '{Guid.NewGuid()}', NULL, NULL, '', '{i}', '2026-03-14T08:00:00.{i:0000000}Z')"
                            )
                        )
                );
                Dapper.SqlMapper.Execute(
                    raw,
                    "INSERT INTO search_word (word, entry) VALUES "
                        + string.Join(
                            ", ",
                            some.SelectMany(i =>
                                new[] { i <= 1600 ? "old" : "new", i <= 400 || i > 5000 ? "apart" : "other" }.Select(w =>
                                    $"('{w}', {i + 100})"
                                )
                            )
                        )
                );
            }
        }

        Assert.Equal(["1600", "1599", "1598"], disk.Book.Search("old", 3).Select(h => h.Body));
        Assert.Equal(["400", "399", "398"], disk.Book.Search("apart old", 3).Select(h => h.Body));
        Assert.Equal(["7000", "6999"], disk.Book.Search("new apart", 2).Select(h => h.Body));
        Assert.Empty(disk.Book.Search("new old"));
    }

    [Fact]
    public void Tick_WithoutAWord_IsNotSearchedFor_AndIsFoundOnceItHasOne()
    {
        using var disk = new BookOnDisk(kind);
        var mark = disk.Book.Add(
            new Bench.Service.Plans.TaskMark
            {
                JobId = disk.Job.Id,
                TaskKey = "strip",
                State = Bench.Service.Plans.TaskState.Done,
            }
        );
        Assert.Empty(disk.Book.Search("strip"));
        disk.Book.Correct(mark.Id, mark with { Remark = "a screw was sheared" });
        Assert.Equal(mark.Id, Assert.Single(disk.Book.Search("strip sheared")).Id);
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
