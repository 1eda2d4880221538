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
