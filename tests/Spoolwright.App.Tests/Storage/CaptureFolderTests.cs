using Spoolwright.Bench.Service;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>Captures lie under their hash, arrive whole or not at all, and damage is found.</summary>
public sealed class CaptureFolderTests
{
    [Fact]
    public void Capture_Filed_LiesUnderItsHash()
    {
        using var disk = new BookOnDisk();
        CaptureEntry entry = disk.Book.FileMeasurement(disk.Filing(3));
        string hash = entry.Capture.Sha256, path = Path.Combine(disk.Folder, "captures", hash[..2], hash + ".wav");
        Assert.Equal(BookOnDisk.Sound(3), File.ReadAllBytes(path));
        Assert.Equal([path], Directory.GetFiles(disk.Book.CapturesFolder, "*", SearchOption.AllDirectories));
        Assert.Empty(disk.Book.CheckCaptures());
    }

    [Fact]
    public void Capture_MeasuredTwice_IsKeptOnce()
    {
        using var disk = new BookOnDisk();
        disk.Book.FileMeasurement(disk.Filing(3));
        bool opened = false;
        Filing second = disk.Filing(BookOnDisk.Sound(3), [], "azimuth");
        disk.Book.FileMeasurement(second with
        {
            OpenCapture = () =>
            {
                opened = true;
                return second.OpenCapture!();
            },
        });
        Assert.False(opened);
        Assert.Single(Directory.GetFiles(disk.Book.CapturesFolder, "*", SearchOption.AllDirectories));
        Assert.Equal(2, disk.Book.ReadJob(disk.Job.Id).Measurements.Count);
    }

    [Fact]
    public void Capture_WithOneBitTurned_IsDamagedAndHealedByFilingItAgain()
    {
        using var disk = new BookOnDisk();
        string hash = disk.Book.FileMeasurement(disk.Filing(3)).Capture.Sha256;
        string path = Path.Combine(disk.Folder, "captures", hash[..2], hash + ".wav");
        byte[] bytes = File.ReadAllBytes(path);
        bytes[4321] ^= 0x10;
        File.WriteAllBytes(path, bytes);

        var damaged = Assert.Throws<ServiceBookException>(() => disk.Book.OpenCapture(hash));
        Assert.Equal("capture-damaged", damaged.Code);
        ServiceBookSafetyTests.AssertOneLine(damaged);
        Assert.Equal("capture-damaged", Assert.Single(disk.Book.CheckCaptures()).Code);

        disk.Book.FileMeasurement(disk.Filing(3));
        Assert.Empty(disk.Book.CheckCaptures());
    }

    [Fact]
    public void Capture_Removed_IsMissingAndItsReadingsStand()
    {
        using var disk = new BookOnDisk();
        string hash = disk.Book.FileMeasurement(disk.Filing(3)).Capture.Sha256;
        Directory.Delete(disk.Book.CapturesFolder, recursive: true);
        Assert.Equal("capture-missing", Assert.Throws<ServiceBookException>(() => disk.Book.OpenCapture(hash)).Code);
        Assert.Equal(hash, Assert.Single(disk.Book.CheckCaptures()).Sha256);
        Assert.Single(disk.Book.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void Capture_ChangedSinceItWasMeasured_IsRefused()
    {
        using var disk = new BookOnDisk();
        var changed = Assert.Throws<ServiceBookException>(() =>
            disk.Book.FileMeasurement(disk.Filing(3) with { OpenCapture = () => new MemoryStream(BookOnDisk.Sound(4)) }));
        Assert.Equal("capture-changed", changed.Code);
        AssertNothingKept(disk);
    }

    [Fact]
    public void Disk_FullHalfWayThroughACapture_LeavesNothing()
    {
        using var disk = new BookOnDisk();
        var full = Assert.Throws<ServiceBookException>(() =>
            disk.Book.FileMeasurement(disk.Filing(3) with { OpenCapture = () => new BrokenStream(errorNumber: 28) }));
        Assert.Equal("disk-full", full.Code);
        Assert.StartsWith("No room is left for the captures folder /", full.Message, StringComparison.Ordinal);
        ServiceBookSafetyTests.AssertOneLine(full);
        AssertNothingKept(disk);
    }

    [Fact]
    public void PassingFiles_OfAKilledProgram_AreSweptADayLater()
    {
        using var disk = new BookOnDisk();
        string folder = Directory.CreateDirectory(Path.Combine(disk.Book.CapturesFolder, "ab")).FullName;
        string old = Path.Combine(folder, ".arriving-old"), young = Path.Combine(folder, ".arriving-young");
        File.WriteAllText(old, "half a capture");
        File.WriteAllText(young, "arriving now");
        File.SetLastWriteTimeUtc(old, DateTime.UtcNow.AddDays(-2));
        using ServiceBook again = ServiceBook.Open(disk.Path);
        Assert.False(File.Exists(old));
        Assert.True(File.Exists(young));
    }

    private static void AssertNothingKept(BookOnDisk disk)
    {
        Assert.Empty(disk.Book.ReadJob(disk.Job.Id).Measurements);
        Assert.Empty(Directory.GetFiles(disk.Book.CapturesFolder, "*",
            new EnumerationOptions { RecurseSubdirectories = true, AttributesToSkip = 0 }));
    }

    /// <summary>Gives some bytes and then fails as a full disk does: with the system's own error number.</summary>
    private sealed class BrokenStream(int errorNumber) : MemoryStream(BookOnDisk.Sound(3))
    {
        private bool given;

        public override int Read(byte[] buffer, int offset, int count)
        {
            if (given)
                throw new IOException("No space left on device", errorNumber);
            given = true;
            return base.Read(buffer, offset, Math.Min(count, 1000));
        }

        public override int Read(Span<byte> buffer)
        {
            byte[] some = new byte[buffer.Length];
            int read = Read(some, 0, some.Length);
            some.AsSpan(0, read).CopyTo(buffer);
            return read;
        }
    }
}
