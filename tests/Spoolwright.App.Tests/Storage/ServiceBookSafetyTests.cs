using Dapper;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>What was measured cannot be changed, and what goes wrong is said and leaves nothing half-written.</summary>
public abstract class ServiceBookSafetyTests(BookKind kind)
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
        using var disk = new BookOnDisk(kind);
        disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), [BookOnDisk.Speed(0.45)], notes: [Signal.Note.Hint("a", "b")],
            traces: [new Bench.Measurements.Trace("speed", Channel.Both, "s", "%", [1], [2])]));
        disk.Book.FileUnmeasured(new Unmeasured(disk.Job.Id, BookOnDisk.Forward19, Mark.AsFound, "no belt"));
        Assert.Contains("append-only", disk.RefusalOf(sql), StringComparison.Ordinal);
        Assert.Equal(0.45, disk.Book.ReadJob(disk.Job.Id).Measurements[0].Result.Readings[0].Value);
    }

    [Fact]
    public void Filing_OfAnUnknownJob_LeavesNothing()
    {
        using var disk = new BookOnDisk(kind);
        var refusal = Assert.Throws<ServiceBookException>(() => disk.Book.FileMeasurement(disk.Filing() with { JobId = Guid.NewGuid() }));
        Assert.Equal("refused", refusal.Code);
        AssertOneLine(refusal);
        using var raw = disk.Raw();
        Assert.Equal(
            0,
            raw.ExecuteScalar<long>(
                "SELECT (SELECT COUNT(*) FROM measurement) + (SELECT COUNT(*) FROM reading) + (SELECT COUNT(*) FROM capture)"
            )
        );
    }

    [Fact]
    public void Filing_WithANumberThatIsNotFinite_IsRefusedByName()
    {
        using var disk = new BookOnDisk(kind);
        var mistake = Assert.Throws<ArgumentException>(() =>
            disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), [BookOnDisk.Speed(double.NaN)])));
        Assert.Contains("speed-error", mistake.Message, StringComparison.Ordinal);
        Assert.Empty(disk.Book.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void Book_HeldByAnotherProgram_IsSaidAndNothingIsWritten()
    {
        using var disk = new BookOnDisk(kind);
        using ServiceBook hasty = ServiceBook.Open(disk.Path, TimeSpan.FromSeconds(1));
        using (disk.Held())
        {
            var held = Assert.Throws<ServiceBookException>(() => hasty.FileMeasurement(disk.Filing()));
            Assert.Equal("locked", held.Code);
            AssertOneLine(held);
            Assert.Empty(hasty.ReadJob(disk.Job.Id).Measurements); // reading goes on meanwhile
        }

        hasty.FileMeasurement(disk.Filing());
        Assert.Single(hasty.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void Book_OpenedByEightAtOnce_LosesNoEntry()
    {
        string folder = Directory.CreateTempSubdirectory("spoolwright-many-").FullName;
        string path = kind == BookKind.Sqlite ? Path.Combine(folder, "new", "service.book") : SharedPostgres.NewAddress();
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
    public void Book_OfANewerProgram_IsLeftAlone()
    {
        using var disk = new BookOnDisk(kind);
        using (var raw = disk.Raw())
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

/// <summary>The same in a SQLite file.</summary>
public sealed class SqliteServiceBookSafetyTests() : ServiceBookSafetyTests(BookKind.Sqlite);

/// <summary>The same in PostgreSQL.</summary>
public sealed class PostgresServiceBookSafetyTests() : ServiceBookSafetyTests(BookKind.Postgres);
