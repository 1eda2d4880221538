using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>What people edit can be undone, and the journal keeps every state it was in.</summary>
public abstract class JournalTests(BookKind kind)
{
    private static readonly DateTimeOffset Later = BookOnDisk.Day.AddDays(2).ToUniversalTime();

    private static Act? Edit(BookOnDisk disk, string what, Guid deck, string description) =>
        disk.Book.Change(what, journal => journal.Update("deck", Columns.Id(deck), new Columns { ["description"] = description }));

    [Fact]
    public void Job_ClosedByMistake_IsOpenAgainAfterUndoAndClosedAfterUndoingThat()
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.CloseJob(disk.Job.Id, Later);
        Act closing = disk.Book.Acts().Single();
        Assert.Equal(("Closed the job of A7-00412", null, null), (closing.What, closing.Undoes, closing.UndoneBy));

        Act undoing = disk.Book.Undo(closing.Id, "bench two");
        Assert.Equal(disk.Job, disk.Book.ReadJob(disk.Job.Id).Job);
        Assert.Equal(undoing.Id, disk.Book.Acts().Single(a => a.Id == closing.Id).UndoneBy);

        disk.Book.Undo(undoing.Id);
        Assert.Equal(Later, disk.Book.ReadJob(disk.Job.Id).Job.Closed);
        Assert.Equal(["Closed the job of A7-00412", "Undone: Closed the job of A7-00412", "Undone: Undone: Closed the job of A7-00412"],
            disk.Book.History("job", disk.Job.Id).Select(h => h.Act.What));
    }

    [Fact]
    public void Act_UndoneTwice_IsRefused()
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.CloseJob(disk.Job.Id, Later);
        Act closing = disk.Book.Acts().Single();
        disk.Book.Undo(closing.Id);
        var again = Assert.Throws<ServiceBookException>(() => disk.Book.Undo(closing.Id));
        Assert.Equal("refused", again.Code);
        ServiceBookSafetyTests.AssertOneLine(again);
        Assert.Equal("not-found", Assert.Throws<ServiceBookException>(() => disk.Book.Undo(Guid.NewGuid())).Code);
        Assert.Equal(2, disk.Book.Acts().Count);
    }

    [Fact]
    public void Act_WhoseRowWasChangedSince_IsLeftUntilTheLaterOneIsUndone()
    {
        using var disk = new BookOnDisk(kind);
        Act first = Edit(disk, "First", disk.Deck.Id, "one")!, second = Edit(disk, "Second", disk.Deck.Id, "two")!;
        var since = Assert.Throws<ServiceBookException>(() => disk.Book.Undo(first.Id));
        Assert.Equal("changed-since", since.Code);
        ServiceBookSafetyTests.AssertOneLine(since);
        Assert.Equal("two", disk.Book.Decks()[0].Description);
        disk.Book.Undo(second.Id);
        Assert.Equal("one", disk.Book.Decks()[0].Description);
        disk.Book.Undo(first.Id);
        Assert.Equal(disk.Deck, disk.Book.Decks()[0]);
    }

    [Fact]
    public void Rows_AddedAndRemovedByOneAct_AreUndoneTogether()
    {
        using var disk = new BookOnDisk(kind);
        Guid added = Guid.CreateVersion7();
        Act act = disk.Book.Change(
            "Swapped the jobs",
            journal =>
            {
                journal.Remove("job", Columns.Id(disk.Job.Id));
                journal.Insert(
                    "job",
                    Columns.Id(added),
                    new Columns
                    {
                        ["deck_id"] = disk.Deck.Id,
                        ["opened"] = Later,
                        ["closed"] = null,
                        ["what"] = "Ärger — “mit” Ω",
                    }
                );
            }
        )!;
        Assert.Equal([added], disk.Book.Jobs().Select(j => j.Id));
        Assert.Equal([null, "added"], disk.Book.Changes(act.Id).Select(c => c.Before is null ? "added" : null));
        Act back = disk.Book.Undo(act.Id);
        Assert.Equal([disk.Job], disk.Book.Jobs());
        disk.Book.Undo(back.Id);
        Job again = Assert.Single(disk.Book.Jobs());
        Assert.Equal((added, "Ärger — “mit” Ω", Later), (again.Id, again.What, again.Opened));
    }

    [Fact]
    public void Undo_OfARowThatOthersLeanOn_IsRefusedInWords()
    {
        using var disk = new BookOnDisk(kind);
        Guid deck = Guid.CreateVersion7();
        Act taken = disk.Book.Change("Took a deck in", journal => journal.Insert("deck", Columns.Id(deck),
            new Columns { ["profile_name"] = "Meridian A7", ["profile_json"] = "{}", ["serial_number"] = "A7-2", ["description"] = "" }))!;
        disk.Book.OpenJob(deck, "work", Later);
        var refusal = Assert.Throws<ServiceBookException>(() => disk.Book.Undo(taken.Id));
        Assert.Equal("refused", refusal.Code);
        ServiceBookSafetyTests.AssertOneLine(refusal);
        Assert.Equal(2, disk.Book.Decks().Count);
        Assert.Null(disk.Book.Acts().Single().UndoneBy);
    }

    [Fact]
    public void Edit_OfWhatAnotherChangedMeanwhile_IsRefusedAndOtherColumnsAreNot()
    {
        using var disk = new BookOnDisk(kind);
        Edit(disk, "Other bench", disk.Deck.Id, "theirs");
        var meanwhile = Assert.Throws<ServiceBookException>(() =>
            disk.Book.Change(
                "Mine",
                journal =>
                    journal.Update(
                        "deck",
                        Columns.Id(disk.Deck.Id),
                        new Columns { ["description"] = "mine" },
                        seen: new Columns { ["description"] = disk.Deck.Description }
                    )
            )
        );
        Assert.Equal("changed-meanwhile", meanwhile.Code);
        ServiceBookSafetyTests.AssertOneLine(meanwhile);
        Assert.Equal("theirs", disk.Book.Decks()[0].Description);
        disk.Book.Change("Serial number", journal => journal.Update("deck", Columns.Id(disk.Deck.Id),
            new Columns { ["serial_number"] = "A7-9" }, seen: new Columns { ["serial_number"] = disk.Deck.SerialNumber }));
        Assert.Equal(("theirs", "A7-9"), (disk.Book.Decks()[0].Description, disk.Book.Decks()[0].SerialNumber));
    }

    [Fact]
    public void Act_ThatChangesNothing_IsNotWrittenDown()
    {
        using var disk = new BookOnDisk(kind);
        Assert.Null(Edit(disk, "Same", disk.Deck.Id, disk.Deck.Description));
        Assert.Empty(disk.Book.Acts());
    }

    [Fact]
    public void Act_ThatFailsHalfWay_LeavesNeitherRowNorJournal()
    {
        using var disk = new BookOnDisk(kind);
        Assert.Throws<ServiceBookException>(() => disk.Book.Change("Half", journal =>
        {
            journal.Update("deck", Columns.Id(disk.Deck.Id), new Columns { ["description"] = "half" });
            journal.Update("deck", Columns.Id(Guid.NewGuid()), new Columns { ["description"] = "none" });
        }));
        Assert.Equal(disk.Deck, disk.Book.Decks()[0]);
        Assert.Empty(disk.Book.Acts());
    }

    [Theory]
    [InlineData("UPDATE act SET what = ''")]
    [InlineData("DELETE FROM act")]
    [InlineData("UPDATE act_change SET before_json = NULL")]
    [InlineData("DELETE FROM act_change")]
    public void Journal_ChangedBehindTheProgram_IsRefused(string sql)
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.CloseJob(disk.Job.Id, Later);
        Assert.Contains("append-only", disk.RefusalOf(sql), StringComparison.Ordinal);
    }
}

/// <summary>The same in a SQLite file.</summary>
public sealed class SqliteJournalTests() : JournalTests(BookKind.Sqlite);

/// <summary>The same in PostgreSQL.</summary>
public sealed class PostgresJournalTests() : JournalTests(BookKind.Postgres);
