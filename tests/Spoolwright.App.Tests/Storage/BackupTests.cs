using Dapper;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>Backups restore into either engine, row for row and capture for capture; what is not whole is refused or named.</summary>
public abstract class BackupTests(BookKind kind)
{
    [Theory]
    [InlineData(BookKind.Sqlite, false)]
    [InlineData(BookKind.Sqlite, true)]
    [InlineData(BookKind.Postgres, false)]
    [InlineData(BookKind.Postgres, true)]
    public void Book_RestoredFromABackup_IsTheSameToTheByte(BookKind into, bool asLines)
    {
        using var disk = Filled();
        string backups = Path.Combine(disk.Folder, "backups"), where = New(into, disk, "restored");
        BookCopy copy = disk.Book.Backup(backups, asLines);
        Assert.Empty(copy.Faults);
        BookCopy made = ServiceBook.Restore(backups, where);
        Assert.Equal((3, 0), (made.Captures, made.Faults.Count));
        using ServiceBook restored = ServiceBook.OpenExisting(where);
        Assert.Equal(Lines(disk.Book, disk), Lines(restored, disk));
        Assert.Empty(restored.Check());
        using var sound = restored.OpenCapture(disk.Book.ReadJob(disk.Job.Id).Measurements[0].Entry.Capture.Sha256);
        Assert.Equal(5000, sound.Length);
        // And it is a book like any other: it goes on, and its keys and triggers hold.
        restored.Undo(restored.Acts()[0].Id);
        restored.FileMeasurement(disk.Filing(77));
        using var raw = BookOnDisk.Raw(where);
        Assert.ThrowsAny<System.Data.Common.DbException>(() => raw.Execute("UPDATE reading SET value = 0"));
        Assert.ThrowsAny<System.Data.Common.DbException>(() => raw.Execute((into == BookKind.Sqlite ? "PRAGMA foreign_keys = ON; " : "")
            + "INSERT INTO note (measurement_id, ordinal, severity, code, text) VALUES ('nobody', 0, 'hint', 'a', 'b')"));
    }

    [Fact]
    public void Book_MovedToTheOtherEngineAndBack_GivesTheSameRecord()
    {
        using var disk = Filled();
        string there = New(kind == BookKind.Sqlite ? BookKind.Postgres : BookKind.Sqlite, disk, "there"), back = New(kind, disk, "back");
        string first = Path.Combine(disk.Folder, "first"), second = Path.Combine(disk.Folder, "second");
        disk.Book.Backup(first, asLines: true);
        ServiceBook.Restore(first, there);
        using (ServiceBook moved = ServiceBook.OpenExisting(there))
            moved.Backup(second, asLines: true);
        ServiceBook.Restore(second, back);
        using ServiceBook again = ServiceBook.OpenExisting(back);
        Assert.Equal(Record(disk.Book, disk.Job.Id), Record(again, disk.Job.Id));
        Assert.Equal(Lines(disk.Book, disk), Lines(again, disk));
    }

    [Fact]
    public void Backup_WhileBenchesWrite_IsOfOneMoment()
    {
        using var disk = Filled();
        using var stop = new CancellationTokenSource();
        var benches = Enumerable.Range(0, 2).Select(n => new Thread(() =>
        {
            using ServiceBook book = ServiceBook.OpenExisting(disk.Path, TimeSpan.FromSeconds(60));
            for (int i = 0; i < 60 && !stop.IsCancellationRequested; i++) // no more, or a slow machine copies captures for ever
                book.FileMeasurement(BenchProcess.Filing(disk.Job.Id, i % 2 == 0 ? null : BookOnDisk.Sound(1000 * n + i, 3000), 12));
        })).ToList();
        benches.ForEach(b => b.Start());
        var copies = Enumerable
            .Range(0, 3)
            .Select(i => disk.Book.Backup(Path.Combine(disk.Folder, "backups"), asLines: i % 2 == 0))
            .ToList();
        stop.Cancel();
        benches.ForEach(b => b.Join());
        int before = 0;
        foreach (BookCopy copy in copies)
        {
            Assert.Empty(copy.Faults);
            string where = New(BookKind.Sqlite, disk, Guid.NewGuid().ToString("N"));
            Assert.Empty(ServiceBook.Restore(copy.File, where).Faults);
            using ServiceBook restored = ServiceBook.OpenExisting(where);
            Assert.Empty(restored.Check());
            JobFile file = restored.ReadJob(disk.Job.Id);
            Assert.Empty(
                BenchProcess.Halves(file with { Measurements = [.. file.Measurements.Where(m => m.Result.Notes is [{ Code: "count" }])] })
            );
            Assert.True(file.Measurements.Count >= before);
            before = file.Measurements.Count;
        }
    }

    [Fact]
    public void Copy_CutShortOrChanged_IsRefusedAndMakesNothing()
    {
        using var disk = Filled();
        string lines = disk.Book.Backup(Path.Combine(disk.Folder, "backups"), asLines: true).File;
        byte[] whole = File.ReadAllBytes(lines);
        byte[] changed = [.. whole];
        changed[whole.Length / 2] ^= 1;
        foreach (
            byte[] spoilt in (byte[][])
                [
                    whole[..(whole.Length / 2)],
                    whole[..^1][..whole.AsSpan()[..^1].LastIndexOf((byte)'\n')],
                    changed,
                    [],
                    "no book\n"u8.ToArray(),
                ]
        )
        {
            string path = Path.Combine(disk.Folder, "spoilt.lines");
            File.WriteAllBytes(path, spoilt);
            foreach (var into in Enum.GetValues<BookKind>())
            {
                string where = New(into, disk, "never");
                var refusal = Assert.Throws<ServiceBookException>(() => ServiceBook.Restore(path, where));
                Assert.Contains(refusal.Code, (string[])["damaged", "not-a-book"]);
                ServiceBookSafetyTests.AssertOneLine(refusal);
                Assert.Equal("not-found", Assert.Throws<ServiceBookException>(() => ServiceBook.OpenExisting(where)).Code);
            }
        }
    }

    [Fact]
    public void Restore_OverABook_IsRefused()
    {
        using var disk = Filled();
        string backups = Path.Combine(disk.Folder, "backups"), before = Lines(disk.Book, disk);
        disk.Book.Backup(backups);
        var refusal = Assert.Throws<ServiceBookException>(() => ServiceBook.Restore(backups, disk.Path));
        Assert.Equal("refused", refusal.Code);
        ServiceBookSafetyTests.AssertOneLine(refusal);
        Assert.Equal(before, Lines(disk.Book, disk));
    }

    [Fact]
    public void Capture_DamagedInTheBook_IsNamedInTheBackupAndHealedFromAnEarlierOne()
    {
        using var disk = Filled();
        string good = Path.Combine(disk.Folder, "good"), share = Path.Combine(disk.Folder, "share");
        disk.Book.Backup(good);
        disk.Book.MoveCaptures(share);
        string spoilt = Directory.GetFiles(share, "*.wav", SearchOption.AllDirectories)[0];
        File.WriteAllText(spoilt, "spoilt");
        Assert.Contains("is damaged", Assert.Single(disk.Book.Check()), StringComparison.Ordinal);
        Assert.Equal("capture-damaged", Assert.Single(disk.Book.Backup(Path.Combine(disk.Folder, "later")).Faults).Code);
        Assert.Empty(disk.Book.Heal(good));
        Assert.Empty(disk.Book.Check());
    }

    [Fact]
    public void Check_OfABookThatSomebodyChanged_SaysWhat()
    {
        using var disk = Filled();
        Assert.Empty(disk.Book.Check());
        using (var raw = disk.Raw())
        {
            if (kind == BookKind.Sqlite)
                raw.Execute(
                    "PRAGMA foreign_keys = OFF; DROP TRIGGER note_no_delete; CREATE TABLE extra (x TEXT); INSERT INTO note VALUES ('nobody', 0, 'hint', 'a', 'b')"
                );
            else
                raw.Execute(
                    "DROP TRIGGER note_no_change ON note; CREATE TABLE extra (x TEXT); SET session_replication_role = replica; INSERT INTO note VALUES ('nobody', 0, 'hint', 'a', 'b')"
                );
        }

        string faults = string.Join('\n', disk.Book.Check());
        Assert.Contains("The trigger note_no_", faults, StringComparison.Ordinal);
        Assert.Contains("extra", faults, StringComparison.Ordinal);
        Assert.Contains("of note name", faults, StringComparison.Ordinal);
    }

    private static string New(BookKind kind, BookOnDisk disk, string name) =>
        kind == BookKind.Sqlite ? Path.Combine(disk.Folder, name, "service.book") : SharedPostgres.NewAddress();

    /// <summary>A book with something in every table, texts and figures of every kind among it.</summary>
    private BookOnDisk Filled()
    {
        var disk = new BookOnDisk(kind);
        string odd = "Ärger “mit” \\ \" \t\n Ω 🎚 </script> 'x' " + new string('é', 3000);
        CaptureEntry first = disk.Book.FileMeasurement(
            disk.Filing(
                BookOnDisk.Sound(1),
                [BookOnDisk.Speed(0.1 + 0.2), BookOnDisk.Speed(double.Epsilon), BookOnDisk.Speed(3), BookOnDisk.Speed(1e300)],
                notes: [Signal.Note.Hint("odd", odd)],
                traces: [new Trace("speed", Channel.Both, "s", "%", [1, 2.5], [-0.0, 1e-320])]
            )
        );
        disk.Book.FileMeasurement(disk.Filing(2) with { Supersedes = first.Id, MeasuredAt = BookOnDisk.Day.AddDays(-400) }); // it comes before what it supersedes
        disk.Book.FileMeasurement(disk.Filing(3));
        disk.Book.FileUnmeasured(
            new Unmeasured(disk.Job.Id, new Condition(Direction.Reverse, 9.53, odd[..20]), Mark.FirstRun, odd, "playback")
        );
        disk.Book.CloseJob(disk.Job.Id, BookOnDisk.Day.AddDays(2));
        disk.Book.Undo(disk.Book.Acts()[0].Id);
        return disk;
    }

    private static string Lines(ServiceBook book, BookOnDisk disk)
    {
        string folder = Path.Combine(disk.Folder, "lines-" + Guid.NewGuid().ToString("N"));
        return File.ReadAllText(book.Backup(folder, asLines: true).File);
    }

    private static string Record(ServiceBook book, Guid job) => JsonRecord.Write(
        RecordComposer.Compose(book.ReadJob(job), Judge.Readings, BookOnDisk.Day, "0.1.0", null, null));
}

/// <summary>Of a SQLite file.</summary>
public sealed class SqliteBackupTests() : BackupTests(BookKind.Sqlite);

/// <summary>Of a PostgreSQL database.</summary>
public sealed class PostgresBackupTests() : BackupTests(BookKind.Postgres);
