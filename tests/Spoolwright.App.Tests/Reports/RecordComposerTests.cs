using Spoolwright.App.Tests.Storage;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;
using Spoolwright.Reports.Text;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Reports;

public sealed class RecordComposerTests
{
    private static readonly DateTimeOffset Written = new(2026, 4, 1, 8, 0, 0, TimeSpan.Zero);

    [Fact]
    public void Record_ComposedFromTheBookAlone_IsTheRecordOfWhatWasFiled()
    {
        using var disk = new BookOnDisk();
        JobFile sample = SampleRecord.File();
        foreach (FiledMeasurement m in sample.Measurements)
        {
            byte[] sound = System.Text.Encoding.UTF8.GetBytes(m.Entry.Capture.File); // the sample's hashes are those of the names
            disk.Book.FileMeasurement(new Filing
            {
                JobId = disk.Job.Id,
                Condition = m.Entry.Condition,
                Mark = m.Entry.Mark,
                Capture = m.Entry.Capture,
                OpenCapture = () => new MemoryStream(sound),
                Result = m.Result,
                Limits = m.Limits,
                Instruments = m.Entry.Instruments,
                MeasuredAt = m.Entry.MeasuredAt,
                ProgramVersion = m.Entry.ProgramVersion,
            });
        }

        foreach (Unmeasured u in sample.Unmeasured)
            disk.Book.FileUnmeasured(u with { JobId = disk.Job.Id });
        JobFile fromBook = disk.Book.ReadJob(disk.Job.Id) with { Deck = sample.Deck, Job = sample.Job };
        Assert.Equal(HtmlRecord.Write(Compose(sample)), HtmlRecord.Write(Compose(fromBook)));
        Assert.Equal(CsvRecord.Write(Compose(sample)), CsvRecord.Write(Compose(fromBook)));
    }

    [Fact]
    public void Measurement_Superseded_LeavesTheFiguresAndIsCounted()
    {
        JobFile file = SampleRecord.File();
        FiledMeasurement first = file.Measurements[0];
        FiledMeasurement later = first with
        {
            Entry = first.Entry with { Id = Guid.NewGuid(), MeasuredAt = first.Entry.MeasuredAt.AddHours(1), Supersedes = first.Entry.Id },
            Result = first.Result with { Readings = [first.Result.Readings[0] with { Value = 0.123 }] },
        };
        RecordData data = Compose(file with
        {
            Measurements =
            [first with { SupersededBy = later.Entry.Id }, .. file.Measurements.Skip(1), later]
        });
        RecordedPass pass = data.Conditions.First(c => c.Condition == first.Entry.Condition).Pass(first.Entry.Mark)!;
        Assert.Equal([0.123], pass.Readings.Where(r => r.Quantity == "speed-error").Select(r => r.Value));
        Assert.Equal(1, data.SupersededMeasurements);
        Assert.Contains("One measurement was superseded", RecordFiles.Text(HtmlRecord.Write(data)), StringComparison.Ordinal);
    }

    // A sheet holds both directions and is filed in one condition; what a limit of the other direction asks is asked of its own rows.
    [Fact]
    public void Sheet_OfBothDirections_TellsAndJudgesEachRowInItsOwn()
    {
        JobFile file = SampleRecord.File();
        Condition forward = SampleRecord.Conditions.First(c => c.Direction == Direction.Forward), reverse = forward with { Direction = Direction.Reverse };
        Reading Tension(double gf, Direction way) => Read("supply-tension", gf, "gf", null, Channel.Both) with
        {
            Direction = way,
            Place = $"supply, half, {Words.Of(way)}",
        };
        FiledMeasurement some = file.Measurements[0];
        Limit limit = some.Limits[0] with { Quantity = "supply-tension", Min = 50, Max = 80, Source = "sheet" };
        FiledMeasurement sheet = some with
        {
            Entry = some.Entry with { Id = Guid.NewGuid(), Measurement = "tension", Condition = forward },
            Result = new MeasurementResult("tension", [Tension(60, Direction.Forward), Tension(33, Direction.Reverse)], [Note.Hint("n", "A note.")], []),
            Limits = [limit],
        };
        RecordData data = RecordComposer.Compose(file with { Measurements = [.. file.Measurements, sheet] }, Judge.Readings, Written, "0.1.0",
            SampleRecord.Conditions);
        double[] Of(Condition c) => [.. data.Conditions.Single(r => r.Condition == c).Pass(sheet.Entry.Mark)!.Readings
            .Where(r => r.Quantity == "supply-tension").Select(r => r.Value)];
        Assert.Equal([60], Of(forward));
        Assert.Equal([33], Of(reverse));
        Assert.Equal(0, data.SupersededMeasurements);
        Finding said = Summary.Findings(data).Single(f => f.Lead.StartsWith("Supply tension", StringComparison.Ordinal));
        Assert.Matches(@"33\sgf \(reverse", said.Text);
        Assert.Single(data.Conditions.SelectMany(c => c.Passes).SelectMany(p => p.Measurements).SelectMany(m => m.Result.Notes), n => n.Code == "n");
    }

    // The sentence is made of what the measurements say of themselves.
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Interface_ThatWasMeasured_IsTakenOutWhereTheNotesSaySo(bool corrected)
    {
        JobFile file = SampleRecord.File();
        FiledMeasurement some = file.Measurements.First(m => m.Entry.Measurement == "playback");
        FiledMeasurement loop = some with
        {
            Entry = some.Entry with { Id = Guid.NewGuid(), Measurement = "loopback" },
            Result = new MeasurementResult("loopback", [Read("response", 0, "dB", 1000, Channel.Left), Read("time-skew", 3, "µs", null, Channel.Both)], [], []),
        };
        Note[] more = corrected ? [Note.Hint("interface-corrected", "taken out")] : [];
        FiledMeasurement playback = some with { Result = some.Result with { Notes = [.. some.Result.Notes, .. more] } };
        string text = RecordFiles.Text(HtmlRecord.Write(Compose(file with
        {
            Measurements = [playback, .. file.Measurements.Where(m => m != some), loop],
        })));
        Assert.Contains(
            corrected ? "taken out of: Playback level and response. In all other figures it is left in." : "taken out of no figure of this record.",
            text, StringComparison.Ordinal);
    }

    [Fact]
    public void Condition_OfTheProfileThatWasNeverRun_IsShownAsNotMeasured()
    {
        var extra = new Condition(Direction.Reverse, 38.1);
        RecordData data = RecordComposer.Compose(SampleRecord.File(), SampleRecord.Judge, Written, "0.1.0",
            [.. SampleRecord.Conditions, extra]);
        RecordedCondition shown = data.Conditions.Single(c => c.Condition == extra);
        Assert.All(shown.Passes.SelectMany(p => p.Judgements), j => Assert.Equal(Verdict.NotMeasured, j.Verdict));
        Assert.NotEmpty(shown.Passes.SelectMany(p => p.Judgements));
        Assert.Contains("Reverse, 38.1 cm/s", RecordFiles.Text(HtmlRecord.Write(data)), StringComparison.Ordinal);
    }

    [Fact]
    public void Speed_OfAnotherRounding_IsTheSameCondition()
    {
        JobFile file = SampleRecord.File();
        FiledMeasurement first = file.Measurements[0];
        JobFile rounded = file with
        {
            Measurements =
            [first with { Entry = first.Entry with { Condition = first.Entry.Condition with { SpeedCmPerS = 9.525 } } },
            .. file.Measurements.Skip(1)]
        };
        RecordData data = RecordComposer.Compose(rounded, SampleRecord.Judge, Written, "0.1.0", SampleRecord.Conditions);
        Assert.Equal(SampleRecord.Conditions, data.Conditions.Select(c => c.Condition));
        Assert.Equal(3, data.Conditions[0].Pass(Mark.AsFound)!.Measurements.Count);
    }

    [Fact]
    public void ReasonForAnEmptyCell_ReachesItsJudgements()
    {
        RecordedPass pass = SampleRecord.Data().Conditions[2].Pass(Mark.AsFound)!;
        Assert.Empty(pass.Measurements);
        Assert.All(pass.Judgements, j => Assert.Contains("turned to tar", j.Reason, StringComparison.Ordinal));
    }

    [Fact]
    public void FirstRunAfterCleaning_StandsInForAsFoundAndIsNamed()
    {
        JobFile file = SampleRecord.File();
        FiledMeasurement speed = file.Measurements.First(m => m.Entry.Mark == Mark.AsFound && m.Entry.Measurement == "speed");
        FiledMeasurement first = speed with
        {
            Entry =
            speed.Entry with { Id = Guid.NewGuid(), Mark = Mark.FirstRun, Condition = SampleRecord.Conditions[2] }
        };
        RecordData data = Compose(file with { Measurements = [.. file.Measurements, first] });
        Assert.Equal(Mark.FirstRun, Passes.Before(data.Conditions[2])!.Mark);
        string text = RecordFiles.Text(HtmlRecord.Write(data));
        Assert.Contains("first run", text, StringComparison.Ordinal);
        Assert.Contains("turned to tar", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Sentences_SayTheWorstConditionItsLimitAndHowItWas()
    {
        IReadOnlyList<Finding> findings = Summary.Findings(SampleRecord.Data());
        Finding speed = findings.Single(f => f.Lead == "Speed error");
        Assert.Equal(Verdict.Met, speed.Verdict);
        Assert.Matches(
            @"^at worst 0\.\d{3}\s% (fast|slow) \((forward|reverse), [\d.]+\scm/s\), 0\.4\d\d\s% inside the limit of ±0\.5\s%\. Met in all 4 conditions\. As found, at worst: 0\.\d{3}\s% slow \((forward|reverse), [\d.]+\scm/s\), not met against ±0\.5\s%\.$",
            speed.Text
        );
        Finding flutter = findings.Single(f => f.Lead.StartsWith("Wow", StringComparison.Ordinal));
        Assert.Equal(Verdict.NotProven, flutter.Verdict);
        Assert.Contains("its uncertainty is not known", flutter.Text, StringComparison.Ordinal);
        Assert.Contains("Met in 3, not proven in 1 of 4 conditions", flutter.Text, StringComparison.Ordinal);
        Assert.Equal(Verdict.NotMeasured, findings.Single(f => f.Lead == "Output level").Verdict);
    }

    [Fact]
    public void Tone_ThatMustNotBeJudged_CountsNeitherWayAndIsSaid()
    {
        RecordData data = SampleRecord.Data();
        RecordedPass left = data.Conditions[0].Pass(Mark.AsLeft)!;
        SummaryFigure figure = Summary.Figure(left, new SummaryRow("response", Channel.Left));
        Assert.Equal(Verdict.Met, figure.Judgement!.Verdict);
        Assert.True(figure.Reading!.FrequencyHz >= 63);
        Assert.Equal(1, figure.NotJudged); // 40 Hz; 31.5 Hz lies outside the mask
        Assert.Contains("8 readings are shown but not judged.", Summary.Findings(data).Single(f => f.Lead == "Response").Text,
            StringComparison.Ordinal);
        string page = RecordFiles.Text(HtmlRecord.Write(data));
        Assert.Contains("met by 2.3 at 100 Hz", page, StringComparison.Ordinal);
        Assert.Contains("worst tone against its mask; 1 tone is not judged", page, StringComparison.Ordinal);
    }

    private static Reading Read(string quantity, double value, string unit, double? hz, Channel channel) => new()
    {
        Quantity = quantity,
        Value = value,
        Unit = unit,
        Uncertainty = 0.001,
        Channel = channel,
        FrequencyHz = hz,
        Method = "as a test says",
    };

    private static RecordData Compose(JobFile file) => RecordComposer.Compose(file, SampleRecord.Judge, Written, "0.1.0");
}
