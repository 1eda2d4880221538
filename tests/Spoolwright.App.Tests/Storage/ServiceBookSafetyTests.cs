using Dapper;
using Microsoft.Data.Sqlite;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>What was measured cannot be changed, and what goes wrong is said and leaves nothing half-written.</summary>
public sealed class ServiceBookSafetyTests
{
    [Theory]
    [InlineData("UPDATE reading SET value = 0")]
    [InlineData("DELETE FROM reading")]
    [InlineData("UPDATE measurement SET measured_at = '2020-01-01T00:00:00.0000000Z'")]
    [InlineData("DELETE FROM measurement")]
    [InlineData("UPDATE capture SET seconds = 1")]
    [InlineData("DELETE FROM capture")]
    [InlineData("UPDATE note SET text = ''")]
    [InlineData("DELETE FROM note")]
    [InlineData("UPDATE trace SET points = 0")]
    [InlineData("DELETE FROM trace")]
    [InlineData("DELETE FROM measurement_instrument")]
    [InlineData("UPDATE unmeasured SET reason = ''")]
    public void Rows_ChangedBehindTheProgram_AreRefused(string sql)
    {
        using var disk = new BookOnDisk();
        disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), [BookOnDisk.Speed(0.45)], notes: [Signal.Note.Hint("a", "b")],
            traces: [new Bench.Measurements.Trace("speed", Channel.Both, "s", "%", [1], [2])]));
        disk.Book.FileUnmeasured(new Unmeasured(disk.Job.Id, BookOnDisk.Forward19, Mark.AsFound, "no belt"));
        using var raw = new SqliteConnection($"Data Source={disk.Path};Pooling=False");
        var refusal = Assert.Throws<SqliteException>(() => raw.Execute(sql));
        Assert.Contains("append-only", refusal.Message, StringComparison.Ordinal);
        Assert.Equal(0.45, disk.Book.ReadJob(disk.Job.Id).Measurements[0].Result.Readings[0].Value);
    }

    [Fact]
    public void Filing_OfAnUnknownJob_LeavesNothing()
    {
        using var disk = new BookOnDisk();
        var refusal = Assert.Throws<ServiceBookException>(() => disk.Book.FileMeasurement(disk.Filing() with { JobId = Guid.NewGuid() }));
        Assert.Equal("refused", refusal.Code);
        AssertOneLine(refusal);
        using var raw = new SqliteConnection($"Data Source={disk.Path};Pooling=False");
        Assert.Equal(0, raw.ExecuteScalar<long>("SELECT (SELECT COUNT(*) FROM measurement) + (SELECT COUNT(*) FROM reading) + (SELECT COUNT(*) FROM capture)"));
    }

    [Fact]
    public void Filing_WithANumberThatIsNotFinite_IsRefusedByName()
    {
        using var disk = new BookOnDisk();
        var mistake = Assert.Throws<ArgumentException>(() =>
            disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), [BookOnDisk.Speed(double.NaN)])));
        Assert.Contains("speed-error", mistake.Message, StringComparison.Ordinal);
        Assert.Empty(disk.Book.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void Book_WithoutWalOrForeignKeys_IsNotWhatWeOpen()
    {
        using var disk = new BookOnDisk();
        using var raw = new SqliteConnection($"Data Source={disk.Path};Pooling=False");
        Assert.Equal("wal", raw.ExecuteScalar<string>("PRAGMA journal_mode"));
        Assert.Equal(1, raw.ExecuteScalar<int>("SELECT COUNT(*) FROM pragma_foreign_key_list('job')"));
        Assert.Throws<ServiceBookException>(() => disk.Book.OpenJob(Guid.NewGuid(), "a deck that is not there", BookOnDisk.Day));
    }

    [Fact]
    public void Book_HeldByAnotherProgram_IsSaidAndNothingIsWritten()
    {
        using var disk = new BookOnDisk();
        using ServiceBook hasty = ServiceBook.Open(disk.Path, TimeSpan.FromSeconds(1));
        using var raw = new SqliteConnection($"Data Source={disk.Path};Pooling=False");
        raw.Open();
        raw.Execute("BEGIN IMMEDIATE");
        var held = Assert.Throws<ServiceBookException>(() => hasty.FileMeasurement(disk.Filing()));
        Assert.Equal("locked", held.Code);
        AssertOneLine(held);
        Assert.Empty(hasty.ReadJob(disk.Job.Id).Measurements); // reading goes on meanwhile
        raw.Execute("ROLLBACK");
        hasty.FileMeasurement(disk.Filing());
        Assert.Single(hasty.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void Book_OpenedByEightAtOnce_LosesNoEntry()
    {
        string folder = Directory.CreateTempSubdirectory("spoolwright-many-").FullName;
        string path = Path.Combine(folder, "new", "service.book");
        try
        {
            // All eight make the same new book, each then adds a deck, a job and five readings.
            var threads = Enumerable.Range(0, 8).Select(n => Task.Factory.StartNew(
                () =>
                {
                    using ServiceBook book = ServiceBook.Open(path, TimeSpan.FromSeconds(60));
                    Deck deck = book.AddDeck("Meridian A7", "{}", $"A7-{n}", "deck");
                    Job job = book.OpenJob(deck.Id, "work", BookOnDisk.Day);
                    for (int i = 0; i < 5; i++)
                        book.FileUnmeasured(new Unmeasured(job.Id, BookOnDisk.Forward19, Mark.AsFound, $"reason {i}"));
                    return job.Id;
                },
                TestContext.Current.CancellationToken, TaskCreationOptions.LongRunning, TaskScheduler.Default)).ToArray();
#pragma warning disable xUnit1031 // the point is to have them all run at once
            Task.WaitAll(threads, TestContext.Current.CancellationToken);
            using ServiceBook after = ServiceBook.OpenExisting(path);
            Assert.Equal(8, after.Decks().Count);
            Assert.All(threads, t => Assert.Equal(5, after.ReadJob(t.Result).Unmeasured.Count));
#pragma warning restore xUnit1031
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void Folder_ThatMayNotBeWritten_IsSaidInOneLine()
    {
        using var disk = new BookOnDisk();
        disk.Book.FileMeasurement(disk.Filing());
        disk.Book.Dispose();
        AsStranger.Run(disk.Folder, () =>
        {
            var fresh = Assert.Throws<ServiceBookException>(() => ServiceBook.Open(Path.Combine(disk.Folder, "other.book")));
            Assert.Contains(fresh.Code, (string[])["cannot-open", "read-only"]);
            AssertOneLine(fresh);
            var deeper = Assert.Throws<ServiceBookException>(() => ServiceBook.Open(Path.Combine(disk.Folder, "new", "other.book")));
            Assert.Equal("read-only", deeper.Code);
            var present = Assert.Throws<ServiceBookException>(() =>
            {
                using ServiceBook book = ServiceBook.Open(disk.Path);
                book.FileMeasurement(disk.Filing(5));
            });
            Assert.Contains(present.Code, (string[])["cannot-open", "read-only"]);
            AssertOneLine(present);
        });
        Assert.Single(Directory.GetFiles(disk.Folder, "*.book"));
        using ServiceBook again = ServiceBook.Open(disk.Path);
        Assert.Single(again.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void File_ThatIsNoBook_IsSaid()
    {
        string folder = Directory.CreateTempSubdirectory("spoolwright-nobook-").FullName;
        try
        {
            string text = Path.Combine(folder, "letter.txt"), foreign = Path.Combine(folder, "other.db");
            File.WriteAllText(text, new string('x', 4096));
            Assert.Equal("not-a-book", Assert.Throws<ServiceBookException>(() => ServiceBook.Open(text)).Code);
            Assert.Equal(new string('x', 4096), File.ReadAllText(text));
            using (var raw = new SqliteConnection($"Data Source={foreign};Pooling=False"))
                raw.Execute("CREATE TABLE recipe (name TEXT)");
            Assert.Equal("not-a-book", Assert.Throws<ServiceBookException>(() => ServiceBook.Open(foreign)).Code);
            Assert.Equal("not-found", Assert.Throws<ServiceBookException>(() =>
                ServiceBook.OpenExisting(Path.Combine(folder, "none.book"))).Code);
            Assert.False(File.Exists(Path.Combine(folder, "none.book")));
        }
        finally
        {
            SqliteConnection.ClearAllPools();
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void Book_OfANewerProgram_IsLeftAlone()
    {
        using var disk = new BookOnDisk();
        using (var raw = new SqliteConnection($"Data Source={disk.Path};Pooling=False"))
            raw.Execute("INSERT INTO schema_step (number, name, applied) VALUES (999, 'later', 'x')");
        var newer = Assert.Throws<ServiceBookException>(() => ServiceBook.Open(disk.Path));
        Assert.Equal("newer-book", newer.Code);
        AssertOneLine(newer);
    }

    internal static void AssertOneLine(ServiceBookException e)
    {
        Assert.DoesNotContain('\n', e.Message);
        Assert.EndsWith(".", e.Message, StringComparison.Ordinal);
    }
}
