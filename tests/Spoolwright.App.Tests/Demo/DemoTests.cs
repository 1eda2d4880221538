using System.Text.Json;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Scenario;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Demo;

/// <summary>The main job, whole: captures as files, readings, verdicts, service book, record; and what the readings say against the
/// truth.</summary>
public sealed class DemoTests(DemoFixture demo) : IClassFixture<DemoFixture>
{
    [Fact]
    public void Demo_FromNothing_DoesTheWholeJob()
    {
        Assert.True(demo.Run.Code == 0, demo.Run.Error);
        Assert.Equal(119, Directory.GetFiles(Path.Combine(demo.Folder, "captures"), "*.wav").Length);
        Assert.True(new FileInfo(Path.Combine(demo.Folder, "record.html")).Length > 100_000);
        Assert.True(new FileInfo(Path.Combine(demo.Folder, "record.pdf")).Length > 100_000);
        Assert.Contains("reverse, 19.05 cm/s", demo.Run.Output, StringComparison.Ordinal);
        Assert.Contains("✗ not met", demo.Run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', demo.Run.Output);
        var bytes = Directory.GetFiles(demo.Folder, "*", SearchOption.AllDirectories).Sum(f => new FileInfo(f).Length);
        Assert.True(bytes < 1_000_000_000, $"the demonstration takes {bytes} bytes; the design allows a gigabyte");
    }

    [Fact]
    public void AsFound_FaultsPutIn_AreFound()
    {
        // The scenario's faults by its own description: slow, askew and rough in reverse, dirt on the left forward gap.
        Assert.All(Judged("speed-error", Mark.AsFound, null), v => Assert.Equal(Verdict.NotMet, v));
        Assert.All(Judged("azimuth-angle", Mark.AsFound, Direction.Reverse), v => Assert.Equal(Verdict.NotMet, v));
        Assert.All(Judged("wow-flutter-quasi-peak", Mark.AsFound, Direction.Reverse), v => Assert.Equal(Verdict.NotMet, v));
        Assert.All(Judged("response", Mark.AsFound, Direction.Forward), v => Assert.Equal(Verdict.NotMet, v));
    }

    [Fact]
    public void AsFound_FaultsOfTheRecordSide_AreFound()
    {
        // By the scenario's description: bias off in both channels, record heads askew, hum, in reverse an erase head that leaves much,
        // brakes and tensions by the sheet.
        Assert.All(Judged("overbias-error", Mark.AsFound, null), v => Assert.Equal(Verdict.NotMet, v));
        Assert.All(Judged("record-time-skew", Mark.AsFound, null), v => Assert.Equal(Verdict.NotMet, v));
        Assert.All(Judged("signal-to-noise-unweighted", Mark.AsFound, null), v => Assert.Equal(Verdict.NotMet, v));
        Assert.All(Judged("erase-depth", Mark.AsFound, Direction.Reverse), v => Assert.Equal(Verdict.NotMet, v));
        Assert.All(Judged("erase-depth", Mark.AsFound, Direction.Forward), v => Assert.Equal(Verdict.Met, v));
        Assert.All(Judged("supply-tension", Mark.AsFound, null), v => Assert.Equal(Verdict.NotMet, v));
        Assert.All(Judged("stop-faults", Mark.AsFound, null), v => Assert.Equal(Verdict.NotMet, v));
        var recorded = Record()
            .Conditions.Where(c => c.Condition.TapeSetting == AutoReverseRecorder.Normal)
            .SelectMany(c => c.Pass(Mark.AsFound)!.Judgements)
            .Where(j => j.Limit.Quantity == "response");
        Assert.Contains(recorded, j => j.Verdict == Verdict.NotMet);
    }

    /// <summary>Ten and more faults at once, in replay, record and transport, by the scenario's description; as left there is none, and 500
    /// figures name none.</summary>
    [Fact]
    public void Causes_AsFound_AreTheScenariosFaults_AndAsLeftNone()
    {
        using var book = ServiceBook.OpenExisting(demo.Book);
        var file = book.ReadJob(new Spoolwright.App.Desk.JobDesk(book).Find("740 1183").Id);
        var said = Ailments.Of(file, Spoolwright.Bench.Causes.CauseBook.Default)!;
        var named = said
            .Found.Findings.Where(f => f.Probability >= Spoolwright.Bench.Causes.Explainer.Named)
            .Select(f => $"{f.Id} {f.Place.Words}".Trim())
            .ToArray();
        string[] hidden =
        [
            "speed", "pinch-roller reverse", "replay-azimuth reverse", "dirty-replay-head forward, left", "bias forward, left, normal",
            "bias forward, right, normal", "record-azimuth forward", "record-azimuth reverse", "erase-head reverse",
        ];
        Assert.All(hidden, h => Assert.Contains(h, named));
        Assert.Equal(Spoolwright.Bench.Causes.ExplanationWord.NothingFound, said.Left!.Word);
        Assert.True(said.Left.Figures > 400, $"{said.Left.Figures}");
    }

    [Fact]
    public void AsLeft_EveryLimit_IsMetOrNotProven()
    {
        foreach (
            var quantity in new[]
            {
                "speed-error", "drift", "wow-flutter-quasi-peak", "wow-flutter-rms", "channel-balance", "azimuth-angle", "response",
            }
        )
            Assert.All(Judged(quantity, Mark.AsLeft, null), v => Assert.Equal(Verdict.Met, v));
        var judged = Record().Conditions.SelectMany(c => c.Pass(Mark.AsLeft)!.Judgements.Select(j => (c.Condition, Judgement: j))).ToList();
        Assert.All(judged, x => Assert.True(
            x.Judgement.Verdict is Verdict.Met or Verdict.NotProven,
            $"{x.Condition}: {x.Judgement.Limit.Quantity} {x.Judgement.Reading?.Value} ± {x.Judgement.Reading?.Uncertainty} {x.Judgement.Reading?.Channel} at {x.Judgement.Reading?.FrequencyHz} Hz: {x.Judgement.Verdict} {x.Judgement.Reason}"));
        // Every quantity that a limit was given for was had.
        var limits = Job().Measurements[^1].Limits.Select(l => l.Quantity).ToHashSet();
        Assert.Equal(
            limits.Order(),
            judged.Where(x => x.Judgement.Reading is not null).Select(x => x.Judgement.Limit.Quantity).Distinct().Order()
        );
        Assert.True(judged.Count(x => x.Judgement.Verdict == Verdict.Met) > 0.95 * judged.Count);
    }

    [Fact]
    public void Catalogue_EveryEntry_HasItsSectionInTheRecord()
    {
        var html = File.ReadAllText(Path.Combine(demo.Folder, "record.html"));
        // A torque gauge is not on the demonstration's bench.
        Assert.All(Catalogue.Entries.Where(e => e.Id != "torque"), e => Assert.Contains($"id=\"{e.Id}\"", html, StringComparison.Ordinal));
        // What was measured is not said to be untested.
        Assert.Contains("say nothing of electrical safety, nor of anything else that is not in the tables", html, StringComparison.Ordinal);
        Assert.DoesNotContain("have not been tested", html, StringComparison.Ordinal);
    }

    [Fact]
    public void Record_OnPaper_FitsItsFirstPageAndStaysShort()
    {
        var pdf = Path.Combine(demo.Folder, "record.pdf");
        var first = Reports.Poppler.Run("pdftotext", "-f", "1", "-l", "1", "-layout", pdf, "-");
        Assert.Contains("In short", first, StringComparison.Ordinal);
        Assert.Contains("Pinch force", first, StringComparison.Ordinal);
        Assert.StartsWith(
            "Quantity by quantity",
            Reports.Poppler.Run("pdftotext", "-f", "2", "-l", "2", "-layout", pdf, "-").TrimStart(),
            StringComparison.Ordinal
        );
        var pages = int.Parse(
            Reports.Poppler.Run("pdfinfo", pdf).Split('\n').Single(l => l.StartsWith("Pages:", StringComparison.Ordinal)).Split(' ')[^1],
            System.Globalization.CultureInfo.InvariantCulture
        );
        // A first page for the buyer, a page or two for each thing measured, five of what ailed it, and every figure.
        Assert.InRange(pages, 10, 45);
    }

    [Fact]
    public void Recordings_AgainstThePracticeDecksTruth_Agree()
    {
        var job = Job();
        foreach (var pass in AutoReverseJob.OwnPasses(48_000))
        {
            foreach (var filed in job.Measurements.Where(m => m.Entry.Capture.File == pass.FileName))
                OwnTruth.Compare(pass, filed);
        }
    }

    [Fact]
    public void KeptCapture_MeasuredAgain_GivesTheSameReadingsToTheLastDigit()
    {
        var filed = Job().Measurements.First(m => m.Entry.Measurement == "playback" && m.Entry.Mark == Mark.AsLeft);
        var capture = Directory
            .GetFiles(Path.Combine(demo.Folder, "book", "captures"), filed.Entry.Capture.Sha256 + "*", SearchOption.AllDirectories)
            .Single();
        var tape = Path.Combine(
            demo.Folder,
            "tapes",
            filed.Entry.Condition.SpeedCmPerS > 15 ? "fellgate-levels-19.json" : "fellgate-levels-9.5.json"
        );
        var run = CliRun.Of(
            "measure", "playback", capture, "--test-tape", tape, "--profile", Path.Combine(demo.Folder, "deck-profile.json"),
            "--direction", filed.Entry.Condition.Direction == Direction.Forward ? "forward" : "reverse",
            "--speed", filed.Entry.Condition.SpeedCmPerS.ToString(System.Globalization.CultureInfo.InvariantCulture),
            "--loopback", Path.Combine(demo.Folder, "loopback.json"), "--interface", BenchInterface.Name, "--json");
        Assert.True(run.Code == 0, run.Error);
        using var json = JsonDocument.Parse(run.Output);
        var again = json.RootElement.GetProperty("readings").EnumerateArray().Select(r => r.GetProperty("value").GetDouble()).ToArray();
        Assert.Equal(filed.Result.Readings.Select(r => r.Value), again);
        Assert.Equal(filed.Entry.Capture.Sha256, json.RootElement.GetProperty("capture").GetProperty("sha256").GetString());
    }

    [Fact]
    public void Readings_AgainstThePracticeDecksTruth_Agree()
    {
        // The interface's clock of the scenario is 4 ppm off, which no reading can know: 0.0004 %.
        const double clock = 0.0004;
        var job = Job();
        foreach (var pass in AutoReverseJob.Passes(48_000))
        {
            var truth = pass.Play().Truth;
            foreach (var filed in job.Measurements.Where(m => m.Entry.Capture.File == pass.FileName))
                Compare(pass, truth, filed, clock);
        }
    }

    [Fact]
    public void Book_OfTheDemonstration_IsListedShownAndWhole()
    {
        var list = CliRun.Of("book", "list", "--book", demo.Book);
        Assert.Contains("Marrowby 74 R", list.Output, StringComparison.Ordinal);
        var number = list.Output.Split(' ')[0];
        var show = CliRun.Of("book", "show", number[..4], "--book", demo.Book);
        // Names that people use, and nothing cut off in 80 columns.
        Assert.Contains("Azimuth angle, arcmin", show.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("wow-flutter-quasi-peak", show.Output, StringComparison.Ordinal);
        Assert.DoesNotContain('…', show.Output);
        Assert.DoesNotContain(show.Output.Split('\n'), line => line.TrimEnd().Length > 80);
        Assert.Equal(0, CliRun.Of("book", "check", "--book", demo.Book).Code);
        Assert.Equal(2, CliRun.Of("book", "show", "zzzz", "--book", demo.Book).Code);
        Assert.Equal(2, CliRun.Of("record", number, "--book", demo.Book).Code);
        var csv = Path.Combine(demo.Folder, "record.csv");
        Assert.Equal(0, CliRun.Of("record", number, "--book", demo.Book, "--csv", csv).Code);
        Assert.Contains("azimuth-angle", File.ReadAllText(csv), StringComparison.Ordinal);
    }

    [Fact]
    public void Pass_PlayedThreeTimes_SaysHowMeasuringRepeats()
    {
        using var book = ServiceBook.OpenExisting(demo.Book);
        var repeats = new Spoolwright.App.Desk.FieldDesk(book).Of("Marrowby 74 R").Repeats;
        var speed = Assert.Single(repeats, r => r.Quantity == "speed-error");
        Assert.Equal((1, 2), (speed.Groups, speed.Freedom));
        // By hand, from the three captures' own readings.
        double[] read =
        [
            .. Job()
                .Measurements.Where(m => m.Entry.Capture.File.StartsWith("as-left-19-forward-speed", StringComparison.Ordinal))
                .Select(m => m.Result.Readings.Single(r => r.Quantity == "speed-error").Value),
        ];
        Assert.Equal(3, read.Length);
        Assert.Equal(Math.Sqrt(read.Sum(v => Math.Pow(v - read.Average(), 2)) / 2), speed.Deviation, 12);
        Assert.InRange(speed.Deviation, 1e-9, 0.05); // threaded anew, not the same sound again
    }

    [Fact]
    public void Deck_AmongItsKind_StandsInEveryQuantityOfTheYear()
    {
        using var book = ServiceBook.OpenExisting(demo.Book);
        var deck = new Spoolwright.App.Desk.JobDesk(book).FindDeck("740 1183");
        var kind = new Spoolwright.App.Desk.FieldDesk(book).Of("Marrowby 74 R", deck).Quantities.Where(q => q.Decks.Count > 1).ToList();
        Assert.True(kind.Count >= 30, $"{kind.Count} quantities");
        Assert.All(kind, q => Assert.True(q.StandOf(deck.Id) is { Others: 7 } && q.Decks.Count == 8, q.Key.Words));
    }

    [Fact]
    public void Record_OfTheDemonstration_IsTheOneThatTheBookGives()
    {
        var again = Path.Combine(demo.Folder, "again.html");
        Assert.Equal(0, CliRun.Of("record", "740 1183", "--book", demo.Book, "--html", again).Code);
        Assert.Equal(Timeless(Path.Combine(demo.Folder, "record.html")), Timeless(again));

        // But for the moment at which it was written.
        static string Timeless(string path) =>
            System.Text.RegularExpressions.Regex.Replace(File.ReadAllText(path), @"\d{1,2} [A-Z][a-z]+ \d{4}, \d\d:\d\d UTC", "then");
    }

    [Fact]
    public void Demo_IntoAFolderOfSomebodyElses_IsRefused()
    {
        var folder = Directory.CreateTempSubdirectory("spoolwright-").FullName;
        File.WriteAllText(Path.Combine(folder, "mine.txt"), "keep");
        var run = CliRun.Of("demo", "--folder", folder);
        Assert.Equal(2, run.Code);
        Assert.Equal("keep", File.ReadAllText(Path.Combine(folder, "mine.txt")));
        Directory.Delete(folder, recursive: true);
    }

    private static void Compare(JobPass pass, PracticeTruth truth, FiledMeasurement filed, double clock)
    {
        foreach (var reading in filed.Result.Readings)
        {
            var (expected, allowed) = reading.Quantity switch
            {
                "speed-error" => (truth.SpeedErrorPercent, 0.0002 + clock),
                "drift" => (truth.DriftPercent, 0.002),
                "tone-level" => (
                    Level(truth, reading) + BenchInterface.ResponseDb(reading.Channel == Channel.Left, reading.FrequencyHz!.Value, 48_000),
                    0.03
                ),
                "time-skew" when reading.FrequencyHz is > 900 => (Skew(truth, reading), 0.15),
                _ => (double.NaN, 0),
            };
            if (double.IsNaN(expected))
                continue;
            var within = allowed + reading.Uncertainty!.Value;
            Assert.True(
                Math.Abs(reading.Value - expected) <= within,
                $"{pass.FileName}: {reading.Quantity} {reading.Channel} at {reading.FrequencyHz} Hz reads {reading.Value} ± {reading.Uncertainty}, true is {expected}"
            );
        }
    }

    // A frequency that stands twice on the tape is told apart by its level.
    private static double Level(PracticeTruth truth, Reading reading)
    {
        var levels = truth
            .Tones.Where(t => t.Tone.FrequencyHz.Equals(reading.FrequencyHz))
            .Select(t => reading.Channel == Channel.Left ? t.LeftDbfs : t.RightDbfs)
            .ToArray();
        return levels.Length == 0 ? double.NaN : levels.MinBy(l => Math.Abs(l - reading.Value));
    }

    private RecordData Record()
    {
        using var book = ServiceBook.OpenExisting(demo.Book);
        return RecordComposer.Compose(
            book.ReadJob(new Spoolwright.App.Desk.JobDesk(book).Find("740 1183").Id),
            Judge.Readings,
            DateTimeOffset.UnixEpoch,
            "test"
        );
    }

    private static double Skew(PracticeTruth truth, Reading reading)
    {
        var skews = truth.Tones.Where(t => t.Tone.FrequencyHz.Equals(reading.FrequencyHz)).Select(t => t.TimeSkewMicroseconds).ToArray();
        return skews.Length == 0 ? double.NaN : skews.MinBy(s => Math.Abs(s - reading.Value));
    }

    private JobFile Job()
    {
        using var book = ServiceBook.OpenExisting(demo.Book);
        return book.ReadJob(new Spoolwright.App.Desk.JobDesk(book).Find("740 1183").Id);
    }

    private IEnumerable<Verdict> Judged(string quantity, Mark mark, Direction? direction)
    {
        var verdicts = new List<Verdict>();
        foreach (
            var filed in Job()
                .Measurements.Where(m => m.Entry.Mark == mark && (direction is null || m.Entry.Condition.Direction == direction))
        )
        {
            var entry = Catalogue.Find(filed.Entry.Measurement)!;
            if (entry.Yields.Any(q => q.Id == quantity))
                verdicts.AddRange(
                    Judge
                        .Summarise(
                            Judge.Readings(
                                filed.Result.Readings,
                                [.. filed.Limits.Where(l => l.Quantity == quantity)],
                                filed.Entry.Condition
                            )
                        )
                        .Select(s => s.Verdict)
                );
        }

        Assert.NotEmpty(verdicts);
        return verdicts;
    }
}
