using CsCheck;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>What goes into the book comes out as it was.</summary>
public abstract class ServiceBookRoundTripTests(BookKind kind)
{
    /// <summary>Doubles of every size, subnormals among them; the book holds no NaN, and −0 has a test of its own.</summary>
    private static readonly Gen<double> Finite =
        Gen.OneOf(Gen.Double[-100, 100], Gen.Const(double.Epsilon), Gen.Const(double.MaxValue), Gen.Const(-1.0 / 3), Gen.Const(0.1),
        Gen.Const(3.0), Gen.Double.Where(d => double.IsFinite(d) && (d != 0 || !double.IsNegative(d))));

    [Fact]
    public void Readings_OfAnySize_ComeBackToTheLastBit()
    {
        using var disk = new BookOnDisk(kind);
        int seed = 0;
        Gen.Select(Finite, Finite, Finite, Finite).List[1, 40].Sample(
            numbers =>
            {
                var readings = numbers.Select((n, i) => new Reading
                {
                    Quantity = "flutter-line",
                    Value = n.Item1,
                    Unit = "%",
                    Uncertainty = i % 3 == 0 ? null : n.Item2,
                    FrequencyHz = n.Item3,
                    Parts = i % 2 == 0 ? [] : [new UncertaintyPart("noise", n.Item4), new UncertaintyPart("test-tape", null)],
                    Channel = (Channel)(i % 3),
                    Method = "µ weighted, 0,2 Hz to 200 Hz [IEC60386:1972]",
                    Part = i % 4 == 0 ? "capstan" : null,
                    Confidence = i % 4 == 0 ? 0.8 : null,
                    Judgeable = i % 5 != 0,
                }).ToList();
                var curve = new Trace("flutter-spectrum", Channel.Both, "Hz", "%", numbers.Select(n => n.Item1).ToList(), numbers
                    .Select(n => n.Item2).ToList());
                CaptureEntry entry = disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(++seed, 64), readings, traces: [curve]));
                FiledMeasurement back = disk.Book.ReadJob(disk.Job.Id).Measurements.Single(m => m.Entry.Id == entry.Id);
                Assert.Equal(readings.Count, back.Result.Readings.Count);
                for (int i = 0; i < readings.Count; i++)
                {
                    Reading put = readings[i], got = back.Result.Readings[i];
                    Assert.Equal(BitConverter.DoubleToInt64Bits(put.Value), BitConverter.DoubleToInt64Bits(got.Value));
                    Assert.Equal(put.Parts, got.Parts);
                    Assert.Equal(put with { Parts = [] }, got with { Parts = [] });
                }

                Assert.Equal(curve.X.Select(BitConverter.DoubleToInt64Bits), back.Result.Traces[0].X
                    .Select(BitConverter.DoubleToInt64Bits));
                Assert.Equal(curve.Y.Select(BitConverter.DoubleToInt64Bits), back.Result.Traces[0].Y
                    .Select(BitConverter.DoubleToInt64Bits));
            },
            iter: 40,
            threads: 1);
    }

    [Fact]
    public void Reading_OfNegativeZero_ComesBackAsZero()
    {
        // SQLite keeps a real without fraction as an integer, which has one zero: the only number that is not kept bit for bit.
        using var disk = new BookOnDisk(kind);
        disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), [BookOnDisk.Speed(-0.0)]));
        Assert.Equal(0L, BitConverter.DoubleToInt64Bits(disk.Book.ReadJob(disk.Job.Id).Measurements[0].Result.Readings[0].Value));
    }

    [Fact]
    public void Job_ReadByAnotherProgram_HoldsEverythingThatWasFiled()
    {
        using var disk = new BookOnDisk(kind);
        Note[] notes = [Note.Warning("clipped", "Left clips at 12.4 s; lower the input."), Note.Hint("long", new string('é', 5000)),
            Note.Error("no-tone", "No tone at 16 kHz.")];
        Filing filing = disk.Filing(BookOnDisk.Sound(7), [BookOnDisk.Speed(-0.125)], notes: notes) with
        {
            Condition =
            new Condition(Direction.Reverse, 9.53, "Low noise"),
            Mark = Mark.FirstRun
        };
        CaptureEntry entry = disk.Book.FileMeasurement(filing);
        disk.Book.FileUnmeasured(new Unmeasured(disk.Job.Id, BookOnDisk.Forward19, Mark.AsFound, "Belt gone; the reels did not turn."));
        disk.Book.FileUnmeasured(new Unmeasured(disk.Job.Id, BookOnDisk.Forward19, Mark.AsLeft, "No level tape at this speed.",
            "playback"));
        disk.Book.CloseJob(disk.Job.Id, BookOnDisk.Day.AddDays(2));
        disk.Book.Dispose();

        using ServiceBook other = ServiceBook.OpenExisting(disk.Path);
        Job job = Assert.Single(other.Jobs(disk.Deck.Id));
        JobFile file = other.ReadJob(job.Id);
        Assert.Equal(disk.Deck, file.Deck);
        Assert.Equal(disk.Deck, other.FindDeck("Meridian A7", "A7-00412"));
        Assert.Equal(disk.Job with { Closed = BookOnDisk.Day.AddDays(2).ToUniversalTime() }, file.Job);
        FiledMeasurement filed = Assert.Single(file.Measurements);
        Assert.Equal(entry with { Instruments = [] }, filed.Entry with { Instruments = [] });
        Assert.Equal(filing.Instruments, filed.Entry.Instruments);
        Assert.Equal(filing.MeasuredAt, filed.Entry.MeasuredAt);
        Assert.Equal(TimeSpan.Zero, filed.Entry.MeasuredAt.Offset);
        Assert.Equal(notes, filed.Result.Notes);
        Limit limit = Assert.Single(filed.Limits);
        Assert.Equal((-0.2, 0.2, "made-up manual, page 12"), (limit.Min, limit.Max, limit.Source));
        Assert.Equal(2, file.Unmeasured.Count);
        Assert.Equal("playback", file.Unmeasured[1].Measurement);
        Assert.Null(file.Unmeasured[0].Measurement);
        using Stream sound = other.OpenCapture(entry.Capture.Sha256);
        using var bytes = new MemoryStream();
        sound.CopyTo(bytes);
        Assert.Equal(BookOnDisk.Sound(7), bytes.ToArray());
    }

    [Fact]
    public void Limits_WithMasks_ComeBackWhole()
    {
        using var disk = new BookOnDisk(kind);
        Limit[] limits =
        [
            new() { Quantity = "response", Mask = [new MaskStep(40, 100, -5, 3), new MaskStep(100, 12500, -3, 3)], SpeedCmPerS = 19.05,
                Direction = Direction.Reverse, Source = "shop" },
            new() { Quantity = "wow-flutter-quasi-peak", Max = 0.07, TapeSetting = "Low noise", FrequencyHz = 3150, Source =
                "made-up manual" },
        ];
        disk.Book.FileMeasurement(disk.Filing() with { Limits = limits });
        IReadOnlyList<Limit> back = disk.Book.ReadJob(disk.Job.Id).Measurements[0].Limits;
        Assert.Equal(limits[0].Mask, back[0].Mask);
        Assert.Equal(limits[0] with { Mask = [] }, back[0] with { Mask = [] });
        Assert.Equal(limits[1] with { Mask = [] }, back[1] with { Mask = [] });
    }

    [Fact]
    public void Measurement_Superseded_StaysAndNamesItsSuccessorReadingByReading()
    {
        using var disk = new BookOnDisk(kind);
        Reading line = new() { Quantity = "flutter-line", Value = 0.02, Unit = "%", FrequencyHz = 12.5, Method = "line" };
        CaptureEntry first = disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), [line, BookOnDisk.Speed(0.45)]));
        CaptureEntry second = disk.Book.FileMeasurement(disk.Filing(BookOnDisk.Sound(2),
            [BookOnDisk.Speed(0.05), line with { FrequencyHz = 12.6 }]) with
        { Supersedes = first.Id });
        JobFile file = disk.Book.ReadJob(disk.Job.Id);
        FiledMeasurement old = file.Measurements.Single(m => m.Entry.Id == first.Id), now =
            file.Measurements.Single(m => m.Entry.Id == second.Id);
        Assert.Equal(second.Id, old.SupersededBy);
        Assert.Null(now.SupersededBy);
        Assert.Equal(0.45, old.Result.Readings[1].Value);
        Assert.Equal(new ReadingKey(first.Id, 1), now.Readings[0].Supersedes);
        Assert.Null(now.Readings[1].Supersedes);

        var again = Assert.Throws<ServiceBookException>(() => disk.Book.FileMeasurement(disk.Filing(3) with { Supersedes = first.Id }));
        Assert.Equal("refused", again.Code);
        Assert.Equal(2, disk.Book.ReadJob(disk.Job.Id).Measurements.Count);
    }
}

/// <summary>The same in a SQLite file.</summary>
public sealed class SqliteServiceBookRoundTripTests() : ServiceBookRoundTripTests(BookKind.Sqlite);

/// <summary>The same in PostgreSQL.</summary>
public sealed class PostgresServiceBookRoundTripTests() : ServiceBookRoundTripTests(BookKind.Postgres);
