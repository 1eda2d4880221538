using System.Security.Cryptography;
using System.Text;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Measurements.Typed;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;

namespace Spoolwright.App.Tests.Storage;

/// <summary>
/// Every field of everything that is filed comes back, those that the contract types gain later among them; and typed readings are filed
/// like any others.
/// </summary>
public abstract class WholeRecordTests(BookKind kind)
{
    [Fact]
    public void Filing_WithEveryFieldFilled_ComesBackFieldByField()
    {
        using var disk = new BookOnDisk(kind);
        Reading[] readings = [Filled.Of<Reading>(1), Filled.Of<Reading>(2)];
        Note[] notes = [Filled.Of<Note>()];
        Trace[] traces = [Filled.Of<Trace>()];
        Limit[] limits = [Filled.Of<Limit>()];
        Instrument[] instruments = [Filled.Of<Instrument>()];
        var condition = Filled.Of<Condition>();
        var capture = Filled.Of<Capture>() with { Sha256 = Convert.ToHexStringLower(SHA256.HashData(BookOnDisk.Sound(9))) };
        var result = new MeasurementResult("speed", readings, notes, traces);
        disk.Book.FileMeasurement(disk.Filing(9) with
        {
            Capture = capture,
            Result = result,
            Limits = limits,
            Instruments = instruments,
            Condition = condition,
        });

        var back = Assert.Single(disk.Book.ReadJob(disk.Job.Id).Measurements);
        Assert.Empty(Filled.Differences(result, back.Result));
        Assert.Empty(Filled.Differences(readings, back.Readings.Select(r => r.Reading).ToArray()));
        Assert.Empty(Filled.Differences(limits, back.Limits));
        Assert.Empty(Filled.Differences(instruments, back.Entry.Instruments));
        Assert.Empty(Filled.Differences(condition, back.Entry.Condition));
        Assert.Empty(Filled.Differences(capture, back.Entry.Capture));
    }

    [Fact]
    public void Filled_EveryPropertyOfAReading_DiffersFromItsDefault()
    {
        // The test above proves nothing of a field that it left as a reading without it would have it.
        var bare = new Reading { Quantity = "", Value = 0, Unit = "", Method = "" };
        var differing = Filled.Differences(Filled.Of<Reading>(), bare).Select(d => d.Split('.', '[')[0]).ToHashSet();
        Assert.Equal(typeof(Reading).GetProperties().Where(p => p.CanWrite).Select(p => p.Name).Order(), differing.Order());
    }

    [Fact]
    public void Sheet_OfTypedReadings_IsFiledWithItsFile()
    {
        using var disk = new BookOnDisk(kind);
        byte[] bytes = Encoding.UTF8.GetBytes("""
            { "tape": "Fallow long play", "tension": [
                { "reel": "supply", "fill": "full", "direction": "forward", "readings": ["55 gf", "56 gf"], "uncertainty": "3 gf" },
                { "reel": "supply", "fill": "full", "direction": "reverse", "readings": ["61 gf"], "uncertainty": "3 gf" } ] }
            """);
        var sheet = BenchSheetFile.Parse(Encoding.UTF8.GetString(bytes));
        Assert.True(sheet.Value is not null, string.Join('\n', sheet.Problems));
        var measured = SheetMeasurement.Run(Catalogue.Find("tension")!, "tension sheet.json", bytes, sheet.Value, SheetSettings.None, []);
        Assert.Contains(measured.Result.Readings, r => r.Direction == Direction.Reverse && r.Place is not null);
        disk.Book.FileMeasurement(
            disk.Filing() with
            {
                Capture = measured.Capture,
                OpenCapture = () => new MemoryStream(bytes),
                Result = measured.Result,
            }
        );

        var back = Assert.Single(disk.Book.ReadJob(disk.Job.Id).Measurements);
        Assert.Equal(
            new Capture("tension sheet.json", Convert.ToHexStringLower(SHA256.HashData(bytes)), null, null, null),
            back.Entry.Capture
        );
        Assert.Empty(Filled.Differences(measured.Result, back.Result));
        Assert.Empty(disk.Book.CheckCaptures());
        using var kept = disk.Book.OpenCapture(back.Entry.Capture.Sha256);
        Assert.Equal(bytes.Length, kept.Length);
    }

    [Fact]
    public void Reading_TypedWithoutAFile_IsFiledWithoutACapture()
    {
        using var disk = new BookOnDisk(kind);
        var typed = new Capture("", "", null, null, null);
        var reading = new Reading
        {
            Quantity = "wind-time",
            Value = 92,
            Unit = "s",
            Uncertainty = 1,
            Method = "stopwatch",
            Place = "forward",
        };
        var filing = disk.Filing() with
        {
            Capture = typed,
            OpenCapture = null,
            Result = new MeasurementResult("wind-time", [reading], [], []),
        };
        disk.Book.FileMeasurement(filing);
        disk.Book.FileMeasurement(filing);
        var file = disk.Book.ReadJob(disk.Job.Id);
        Assert.Equal([typed, typed], file.Measurements.Select(m => m.Entry.Capture));
        Assert.Equal("", file.Measurements[0].Readings[0].CaptureSha256);
        Assert.Empty(disk.Book.CheckCaptures());
    }

    [Fact]
    public void Capture_HalfOfSoundOrWithoutItsFile_IsRefused()
    {
        using var disk = new BookOnDisk(kind);
        var good = disk.Filing();
        Assert.Throws<ArgumentException>(() => disk.Book.FileMeasurement(good with { OpenCapture = null }));
        Assert.Throws<ArgumentException>(() => disk.Book.FileMeasurement(good with { Capture = good.Capture with { Sha256 = "" } }));
        Assert.Throws<ArgumentException>(() => disk.Book.FileMeasurement(good with { Capture = good.Capture with { Channels = null } }));
        Assert.Throws<ArgumentException>(() =>
            disk.Book.FileMeasurement(good with { Capture = good.Capture with { Sha256 = "" }, OpenCapture = null })
        );
        Assert.Empty(disk.Book.ReadJob(disk.Job.Id).Measurements);
    }

    [Fact]
    public void Readings_OfOtherPlacesAndUnits_AreNotTakenForOneAnother()
    {
        using var disk = new BookOnDisk(kind);
        Reading At(string place, string unit) => new() { Quantity = "tension", Value = 1, Unit = unit, Method = "gauge", Place = place };
        Reading[] readings = [At("supply, full", "gf"), At("supply, full", "N"), At("take-up, full", "gf"), At("take-up, full", "N")];
        var first = disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), readings, "tension"));
        var second = disk.Book.FileMeasurement(
            disk.Filing(BookOnDisk.Sound(2), [.. readings.Reverse()], "tension") with
            {
                Supersedes = first.Id,
            }
        );
        var now = disk.Book.ReadJob(disk.Job.Id).Measurements.Single(m => m.Entry.Id == second.Id);
        Assert.Equal([3, 2, 1, 0], now.Readings.Select(r => r.Supersedes!.Value.Ordinal));
    }
}

/// <summary>The same in a SQLite file.</summary>
public sealed class SqliteWholeRecordTests() : WholeRecordTests(BookKind.Sqlite);

/// <summary>The same in PostgreSQL.</summary>
public sealed class PostgresWholeRecordTests() : WholeRecordTests(BookKind.Postgres);
