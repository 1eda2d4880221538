using Spoolwright.App.Cli;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Measurements.Typed;
using Spoolwright.Bench.Service;
using Spoolwright.Practice.Scenario;
using Spoolwright.Storage;

namespace Spoolwright.App.Demo;

/// <summary>
/// The bench of the demonstration: captures are measured by the very call that <c>measure</c> makes, told no more than a person could say,
/// and filed in the service book.
/// </summary>
internal sealed class DemoBench(DemoFolder folder, DeckProfile profile, ServiceBook book, Job job, TimeProvider clock)
{
    private readonly Dictionary<(Condition, Mark), List<Reading>> _played = [];

    // The same with the interface left in, for record's part: it stands in the recording as well, and falls out of the difference.
    private readonly Dictionary<(Condition, Mark), List<Reading>> _heard = [];
    private readonly Dictionary<(string File, string Measurement), Guid> _filed = [];
    private LoopbackCalibration? _loopback;

    /// <summary>Measures the interface's loopback and keeps it as its calibration.</summary>
    public void Calibrate(DemoCapture capture)
    {
        var settings = new MeasurementSettings { InterfaceName = BenchInterface.Name, CapturedOn = Today };
        var measured = FileMeasurement.Run(Catalogue.Find("loopback")!, folder.Capture(capture.FileName), channels: null, settings, []);
        File.WriteAllText(
            folder.Calibration,
            LoopbackFile.ToJson(LoopbackCalibration.Of(measured.Result, measured.Capture, BenchInterface.Name, Today))
        );
        _loopback = InputFiles.Parsed(folder.Calibration, LoopbackFile.Parse, null);
        FileAll(capture, [measured]);
        folder.LeaveToTheBook(capture.FileName, measured.Capture.Sha256);
    }

    /// <summary>Measures captures, two at a time, and files them in their order.</summary>
    public void Run(IReadOnlyList<DemoCapture> captures, IProgress<double>? progress)
    {
        var done = 0;
        var wantedAgain = new List<(string File, string Sha256)>();
        foreach (
            var (capture, measured, heard) in captures
                .AsParallel()
                .AsOrdered()
                .WithDegreeOfParallelism(2)
                .WithMergeOptions(ParallelMergeOptions.NotBuffered)
                .Select(c => (c, Measured(c, _loopback), c.TestTape is { IsSpeedTape: false } ? Measured(c, null) : []))
        )
        {
            FileAll(capture, measured);
            if (heard.Count > 0)
            {
                _played[(capture.Condition, capture.Mark)] = [.. measured.SelectMany(m => m.Result.Readings)];
                _heard[(capture.Condition, capture.Mark)] = [.. heard.SelectMany(m => m.Result.Readings)];
            }

            if (capture.Own?.Kind == OwnCapture.Tone)
                wantedAgain.Add((capture.FileName, measured[0].Capture.Sha256));
            else
                folder.LeaveToTheBook(capture.FileName, measured[0].Capture.Sha256);
            progress?.Report((double)++done / captures.Count);
        }

        // Tones were wanted again, to hold their erasure against.
        foreach (var (file, hash) in wantedAgain)
            folder.LeaveToTheBook(file, hash);
    }

    /// <summary>Takes what was typed in at the bench, through the gauge's own curve, as <c>measure tension SHEET</c> does.</summary>
    public void Typed(Condition condition)
    {
        var gauge = new GaugeCurve(InputFiles.Parsed(folder.Gauge, GaugeFile.Parse, "check-gauge"));
        foreach (
            var (mark, path) in new[]
            {
                (Mark.AsFound, folder.Sheet("bench-sheet-as-found.json")),
                (Mark.AsLeft, folder.Sheet("bench-sheet-as-left.json")),
            }
        )
        {
            var bytes = InputFiles.Bytes(path);
            var sheet = InputFiles.ParsedText(path, InputFiles.TextOf(bytes), BenchSheetFile.Parse, "check-sheet");
            var settings = new SheetSettings { Gauges = [gauge], Profile = profile, SpeedCmPerS = condition.SpeedCmPerS };
            foreach (var entry in Catalogue.Entries.Where(e => e.MeasureSheet is not null && e.Id != "torque"))
            {
                var measured = SheetMeasurement.Run(entry, path, bytes, sheet, settings, profile.Limits);
                book.FileMeasurement(new Filing
                {
                    JobId = job.Id,
                    Condition = condition,
                    Mark = mark,
                    Capture = measured.Capture with { File = Path.GetFileName(path) },
                    OpenCapture = () => File.OpenRead(path),
                    Result = measured.Result,
                    Limits = profile.Limits,
                    Instruments = [.. ReadWith(entry.Id, gauge)],
                    MeasuredAt = clock.GetUtcNow(),
                    ProgramVersion = ProgramVersion.Stamp,
                });
            }
        }
    }

    private static IEnumerable<Instrument> ReadWith(string entry, GaugeCurve gauge)
    {
        yield return entry switch
        {
            "tension" => new Instrument(
                "tension gauge",
                gauge.Gauge.Name,
                $"invented; its own curve from weights hung on {gauge.Gauge.Tape}"
            ),
            "wind-time" => new Instrument("stopwatch", "stopwatch of the bench", "invented"),
            _ => new Instrument("spring balance", "spring balance and string", "invented; uncertainty as written on the sheet"),
        };
    }

    private DateOnly Today => DateOnly.FromDateTime(clock.GetLocalNow().DateTime);

    private IReadOnlyList<MeasuredFile> Measured(DemoCapture capture, LoopbackCalibration? loopback) =>
        [
            .. capture.Measurements.Select(id =>
                FileMeasurement.Run(
                    Catalogue.Find(id)!,
                    folder.Capture(capture.FileName),
                    channels: null,
                    Settings(capture, id, loopback),
                    profile.Limits
                )
            ),
        ];

    private MeasurementSettings Settings(DemoCapture capture, string measurement, LoopbackCalibration? loopback)
    {
        var settings = new MeasurementSettings
        {
            Profile = profile,
            Condition = capture.Condition,
            Loopback = loopback,
            InterfaceName = BenchInterface.Name,
            CapturedOn = Today,
            LoopbackMaxAgeDays = 30,
        };
        if (capture.TestTape is { } pass)
            return settings with { TestTape = InputFiles.Parsed(folder.Tape(pass.TapeFileName), TestTapeFile.Parse, "check-tape") };
        var played = _played[(capture.Condition with { TapeSetting = null }, capture.Mark)];
        return (measurement, capture.Own!.Kind) switch
        {
            ("record", _) => settings with { PlaybackReadings = _heard[(capture.Condition with { TapeSetting = null }, capture.Mark)] },
            ("distortion" or "noise", _) => AgainstReference(settings, played),
            ("crosstalk", OwnCapture.OtherDirection) => AgainstReference(settings, played) with { NominalHz = 1000 },
            ("erase", _) => settings with { NominalHz = 1000, OpenRecorded = () => InputFiles.Sound(folder.Capture(Tone(capture)), null) },
            _ => settings,
        };
    }

    private static string Tone(DemoCapture erased) => erased.FileName.Replace("-erased", "-tone", StringComparison.Ordinal);

    // Reference level is where the test tape's own reference tone stood in the same condition.
    private static MeasurementSettings AgainstReference(MeasurementSettings settings, List<Reading> played)
    {
        double Level(Channel channel) =>
            played.Where(r => r.Quantity == Quantity.ToneLevel.Id && r.Role == "reference" && r.Channel == channel).Max(r => r.Value);
        return settings with { ReferenceLevelLeftDb = Level(Channel.Left), ReferenceLevelRightDb = Level(Channel.Right) };
    }

    private void FileAll(DemoCapture capture, IReadOnlyList<MeasuredFile> measured)
    {
        foreach (var m in measured)
        {
            _filed[(capture.FileName, m.Result.Measurement)] = book.FileMeasurement(new Filing
            {
                JobId = job.Id,
                Condition = capture.Condition,
                Mark = capture.Mark,
                Supersedes = capture.Again is { } before ? _filed[(before, m.Result.Measurement)] : null,
                Capture = m.Capture with { File = capture.FileName },
                OpenCapture = () => File.OpenRead(folder.Capture(capture.FileName)),
                Result = m.Result,
                Limits = m.Result.Measurement == "loopback" ? [] : profile.Limits,
                Instruments = [.. Instruments(capture)],
                MeasuredAt = clock.GetUtcNow(),
                ProgramVersion = ProgramVersion.Stamp,
            }).Id;
        }
    }

    private IEnumerable<Instrument> Instruments(DemoCapture capture)
    {
        yield return new Instrument(
            "audio interface",
            BenchInterface.Name,
            $"invented; its loopback was measured on {Today:yyyy-MM-dd}"
        );
        if (capture.TestTape is { } pass)
            yield return new Instrument("test tape", pass.Tape.Name, "invented");
        if (capture.Own is { } own)
            yield return new Instrument(
                "blank tape",
                own.Stock.Name,
                $"invented; the tape that the setting {own.Setting} was laid out for"
            );
    }
}
