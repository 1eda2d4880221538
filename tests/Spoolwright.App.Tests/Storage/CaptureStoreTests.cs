using Dapper;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>Captures wherever a book keeps them: arrive whole or not at all, damage and loss are found, and they can be moved.</summary>
public abstract class CaptureStoreTests(BookKind kind)
{
    private static readonly byte[] Long = BookOnDisk.Sound(8, 2 * CaptureTable.PartBytes + 12345);

    [Theory]
    [InlineData("database")]
    [InlineData("folder")]
    public void Captures_MovedAndFiledThere_ComeBackWhole(string where)
    {
        using var disk = new BookOnDisk(kind);
        string hash = disk.Book.FileMeasurement(disk.Filing(Long, [])).Capture.Sha256;
        string place = where == "folder" ? Path.Combine(disk.Folder, "share") : where;
        disk.Book.MoveCaptures(place);
        string second = disk.Book.FileMeasurement(disk.Filing(5)).Capture.Sha256;
        Assert.Empty(disk.Book.CheckCaptures());
        using (var stream = disk.Book.OpenCapture(hash))
        {
            Assert.Equal(Long.Length, stream.Length);
            using var all = new MemoryStream();
            stream.CopyTo(all);
            Assert.Equal(Long, all.ToArray());
            foreach (int at in (int[])[CaptureTable.PartBytes - 3, 0, Long.Length - 7, CaptureTable.PartBytes])
            {
                byte[] some = new byte[7];
                stream.Position = at;
                stream.ReadExactly(some);
                Assert.Equal(Long.AsSpan(at, 7).ToArray(), some);
            }
        }

        using var raw = disk.Raw();
        Assert.Equal(where == "folder" ? 0 : 4, raw.ExecuteScalar<int>("SELECT COUNT(*) FROM capture_part"));
        using var again = ServiceBook.OpenExisting(disk.Path);
        using var opened = again.OpenCapture(second);
        Assert.Equal(5000, opened.Length);
    }

    [Fact]
    public void Captures_MovedThereAndBack_AreAllThere()
    {
        using var disk = new BookOnDisk(kind);
        for (int seed = 1; seed <= 3; seed++)
            disk.Book.FileMeasurement(disk.Filing(seed));
        string share = Path.Combine(disk.Folder, "share");
        int there = disk.Book.MoveCaptures(share);
        Assert.Equal(3, there);
        Assert.Equal(3, disk.Book.MoveCaptures(ServiceBook.InDatabase));
        Assert.Empty(disk.Book.CheckCaptures());
        Assert.Equal(3, Directory.GetFiles(share, "*.wav", SearchOption.AllDirectories).Length); // what lay in a folder stays there
    }

    [Fact]
    public void Folder_OfAShareThatIsNotConnected_IsSaidAndNothingIsWrittenThere()
    {
        using var disk = new BookOnDisk(kind);
        string hash = disk.Book.FileMeasurement(disk.Filing()).Capture.Sha256;
        string share = Path.Combine(disk.Folder, "share");
        disk.Book.MoveCaptures(share);
        Directory.Move(share, share + "-away");
        Directory.CreateDirectory(share); // the empty folder that a share is mounted on
        foreach (var call in (Action[])[() => disk.Book.OpenCapture(hash), () => disk.Book.FileMeasurement(disk.Filing(2))])
        {
            var away = Assert.Throws<ServiceBookException>(call);
            Assert.Equal("captures-away", away.Code);
            ServiceBookSafetyTests.AssertOneLine(away);
        }

        Assert.Equal("captures-away", Assert.Single(disk.Book.CheckCaptures()).Code);
        Assert.Empty(Directory.GetFileSystemEntries(share));
        Assert.Single(disk.Book.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void Folder_OfAnotherBook_IsRefused()
    {
        using var disk = new BookOnDisk(kind);
        using var other = new BookOnDisk(kind);
        string share = Path.Combine(disk.Folder, "share");
        disk.Book.MoveCaptures(share);
        var refusal = Assert.Throws<ServiceBookException>(() => other.Book.MoveCaptures(share));
        Assert.Equal("refused", refusal.Code);
        ServiceBookSafetyTests.AssertOneLine(refusal);
    }

    [Fact]
    public void Capture_MissingWhenTheyAreMoved_KeepsThemWhereTheyAre()
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.MoveCaptures(ServiceBook.InDatabase);
        string hash = disk.Book.FileMeasurement(disk.Filing()).Capture.Sha256;
        using (var raw = disk.Raw())
            raw.Execute("DELETE FROM capture_part");
        Assert.Equal(
            "capture-missing",
            Assert.Throws<ServiceBookException>(() => disk.Book.MoveCaptures(Path.Combine(disk.Folder, "share"))).Code
        );
        Assert.Equal("capture-missing", Assert.Single(disk.Book.CheckCaptures()).Code);
        disk.Book.FileMeasurement(disk.Filing()); // the same sound heals it, where captures were kept before
        Assert.Empty(disk.Book.CheckCaptures());
        using var opened = disk.Book.OpenCapture(hash);
    }

    [Fact]
    public void Capture_DamagedInTheDatabase_IsSaidAndHealedByFilingItAgain()
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.MoveCaptures(ServiceBook.InDatabase);
        string hash = disk.Book.FileMeasurement(disk.Filing(3)).Capture.Sha256;
        byte[] bytes = BookOnDisk.Sound(3);
        bytes[4321] ^= 0x10;
        using (var raw = disk.Raw())
            raw.Execute("UPDATE capture_part SET data = @bytes", new { bytes });
        var damaged = Assert.Throws<ServiceBookException>(() => disk.Book.OpenCapture(hash));
        Assert.Equal("capture-damaged", damaged.Code);
        ServiceBookSafetyTests.AssertOneLine(damaged);
        disk.Book.FileMeasurement(disk.Filing(3));
        Assert.Empty(disk.Book.CheckCaptures());
    }

    [Fact]
    public void Capture_ChangedSinceItWasMeasured_IsRefusedByTheDatabaseToo()
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.MoveCaptures(ServiceBook.InDatabase);
        var changed = Assert.Throws<ServiceBookException>(() =>
            disk.Book.FileMeasurement(disk.Filing(3) with { OpenCapture = () => new MemoryStream(BookOnDisk.Sound(4)) }));
        Assert.Equal("capture-changed", changed.Code);
        using var raw = disk.Raw();
        Assert.Equal(0, raw.ExecuteScalar<int>("SELECT COUNT(*) FROM capture_part"));
        Assert.Empty(disk.Book.ReadJob(disk.Job.Id).Measurements);
    }
}

/// <summary>The same in a SQLite file.</summary>
public sealed class SqliteCaptureStoreTests() : CaptureStoreTests(BookKind.Sqlite);

/// <summary>The same in PostgreSQL.</summary>
public sealed class PostgresCaptureStoreTests() : CaptureStoreTests(BookKind.Postgres);
