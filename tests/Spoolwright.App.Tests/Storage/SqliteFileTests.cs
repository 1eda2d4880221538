using Dapper;
using Microsoft.Data.Sqlite;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>What can go wrong with a book that is a file.</summary>
public sealed class SqliteFileTests
{
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
    public void Folder_ThatMayNotBeWritten_IsSaidInOneLine()
    {
        using var disk = new BookOnDisk();
        disk.Book.FileMeasurement(disk.Filing());
        disk.Book.Dispose();
        AsStranger.Run(disk.Folder, () =>
        {
            var fresh = Assert.Throws<ServiceBookException>(() => ServiceBook.Open(Path.Combine(disk.Folder, "other.book")));
            Assert.Contains(fresh.Code, (string[])["cannot-open", "read-only"]);
            ServiceBookSafetyTests.AssertOneLine(fresh);
            var deeper = Assert.Throws<ServiceBookException>(() => ServiceBook.Open(Path.Combine(disk.Folder, "new", "other.book")));
            Assert.Equal("read-only", deeper.Code);
            var present = Assert.Throws<ServiceBookException>(() =>
            {
                using ServiceBook book = ServiceBook.Open(disk.Path);
                book.FileMeasurement(disk.Filing(5));
            });
            Assert.Contains(present.Code, (string[])["cannot-open", "read-only"]);
            ServiceBookSafetyTests.AssertOneLine(present);
        });
        Assert.Single(Directory.GetFiles(disk.Folder, "*.book"));
        using ServiceBook again = ServiceBook.Open(disk.Path);
        Assert.Single(again.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void Book_ThatMayNotBeWritten_IsRead()
    {
        using var disk = new BookOnDisk();
        disk.Book.FileMeasurement(disk.Filing());
        disk.Book.Dispose();
        SqliteConnection.ClearAllPools();
        Assert.False(File.Exists(disk.Path + "-wal"));
        AsStranger.Run(disk.Folder, () =>
        {
            using ServiceBook book = ServiceBook.OpenExisting(disk.Path);
            Assert.Single(book.ReadJob(disk.Job.Id).Measurements);
            Assert.Single(book.Decks());
            var refused = Assert.Throws<ServiceBookException>(() => book.OpenJob(disk.Deck.Id, "no", BookOnDisk.Day));
            Assert.Equal("read-only", refused.Code);
        });
        Assert.Empty(Directory.GetFiles(disk.Folder, "*-wal").Concat(Directory.GetFiles(disk.Folder, "*-shm")));
    }

    [Fact]
    public void Book_ThatMayNotBeWritten_WithALogBesideIt_IsNotReadWithoutIt()
    {
        using var disk = new BookOnDisk();
        disk.Book.FileMeasurement(disk.Filing());
        // As a kill leaves it: what was written last stands in the log alone.
        string left = Path.Combine(disk.Folder, "left.book");
        File.Copy(disk.Path, left);
        File.Copy(disk.Path + "-wal", left + "-wal");
        Assert.True(new FileInfo(left + "-wal").Length > 0);
        AsStranger.Run(disk.Folder, () =>
        {
            var e = Assert.Throws<ServiceBookException>(() => ServiceBook.OpenExisting(left));
            Assert.Contains("left.book-wal holds what is not yet in it", e.Message, StringComparison.Ordinal);
            ServiceBookSafetyTests.AssertOneLine(e);
        });
    }

    [Fact]
    public void Book_OfAnEarlierProgram_ThatMayNotBeWritten_SaysWhatToDo()
    {
        using var disk = new BookOnDisk();
        disk.Book.Dispose();
        using (var raw = disk.Raw())
            raw.Execute("UPDATE setting SET value = '0' WHERE name = 'summaries'");
        SqliteConnection.ClearAllPools();
        AsStranger.Run(disk.Folder, () =>
        {
            var e = Assert.Throws<ServiceBookException>(() => ServiceBook.OpenExisting(disk.Path));
            Assert.Contains("of an earlier program", e.Message, StringComparison.Ordinal);
            Assert.Contains("Copy it to a folder of your own", e.Message, StringComparison.Ordinal);
            ServiceBookSafetyTests.AssertOneLine(e);
        });
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
}
