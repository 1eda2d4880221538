using System.Globalization;
using System.Text.Json;

namespace Spoolwright.App.Tests.Cli;

/// <summary><c>explain</c> as a person calls it, on files as <c>measure --json</c> prints them.</summary>
public sealed class ExplainCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("spoolwright-explain-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void DirtOnOneHead_IsNamed_WithItsAmountEvidenceAndNextCheck()
    {
        // 54.575 dB a wavelength: 2 µm at two speeds.
        var run = CliRun.Of("explain", "forward,19.05", Playback("fast", 19.05, 2), "forward,9.525", Playback("slow", 9.525, 2), "--json");
        Assert.Equal(0, run.Code);
        using var said = JsonDocument.Parse(run.Output);
        Assert.Equal("named", said.RootElement.GetProperty("outcome").GetString());
        var first = said.RootElement.GetProperty("causes")[0];
        Assert.Equal("dirty-replay-head", first.GetProperty("ids")[0].GetString());
        Assert.Equal("forward", first.GetProperty("direction").GetString());
        Assert.Equal("left", first.GetProperty("channel").GetString());
        Assert.Equal(2, first.GetProperty("amount").GetDouble(), first.GetProperty("amountUncertainty").GetDouble());
        Assert.True(first.GetProperty("for").GetArrayLength() > 5);
        Assert.InRange(said.RootElement.GetProperty("unexplained").GetDouble(), 0, 0.2);

        var page = CliRun.Of("explain", "forward,19.05", Playback("fast", 19.05, 2), "forward,9.525", Playback("slow", 9.525, 2));
        Assert.Contains(
            "Dirt holds the tape off a replay gap (forward, left)",
            page.Output.ReplaceLineEndings(" "),
            StringComparison.Ordinal
        );
        Assert.Contains("[SPACING-1951]", page.Output, StringComparison.Ordinal);
        Assert.Contains("[memory]", page.Output, StringComparison.Ordinal);
        Assert.Contains("No profile was given", page.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void FlatReadings_NameNothing()
    {
        var run = CliRun.Of("explain", "forward,19.05", Playback("flat", 19.05, 0));
        Assert.Equal(0, run.Code);
        Assert.StartsWith("Nothing found", run.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("NaN", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Job_OfTheBook_SaysAfterTheMendWhetherACauseWasRight()
    {
        var sample = Reports.AilingJob.File();
        var path = Path.Combine(_folder, "shop.db");
        using (var book = Spoolwright.Storage.ServiceBook.Open(path))
        {
            var deck = book.AddDeck("Invented", sample.Deck.ProfileJson, "A-1", "");
            var job = book.OpenJob(deck.Id, "Whole restoration", DateTimeOffset.UnixEpoch);
            foreach (var m in sample.Measurements)
            {
                book.FileMeasurement(new()
                {
                    JobId = job.Id,
                    Condition = m.Entry.Condition,
                    Mark = m.Entry.Mark,
                    Capture = new("typed in", "", null, null, null),
                    OpenCapture = null,
                    Result = m.Result,
                    Limits = [],
                    Instruments = [],
                    MeasuredAt = m.Entry.MeasuredAt,
                    ProgramVersion = "0.1.0",
                });
            }

            var number = Spoolwright.App.Desk.JobDesk.Number(job);
            var run = CliRun.Of("explain", "--job", number, "--book", path);
            var said = run.Output.ReplaceLineEndings(" ");
            Assert.True(run.Code == 0, run.Error);
            Assert.Contains("After the mend:", said, StringComparison.Ordinal);
            Assert.Contains(
                "gone, by no task that mends it: Dirt holds the tape off a replay gap (forward, left)",
                System.Text.RegularExpressions.Regex.Replace(said, " +", " "),
                StringComparison.Ordinal
            );
            Assert.Contains(
                "the program's own guess",
                System.Text.RegularExpressions.Regex.Replace(said, " +", " "),
                StringComparison.Ordinal
            );

            // Closed it teaches, and the call that asks first weighs it.
            book.CloseJob(job.Id, DateTimeOffset.UtcNow);
            Assert.Contains(
                "1 finished job of this book taught how often each cause is met.",
                CliRun.Of("explain", "--job", number, "--book", path).Output.ReplaceLineEndings(" "),
                StringComparison.Ordinal
            );
            using var json = JsonDocument.Parse(CliRun.Of("explain", "--job", number, "--book", path, "--json").Output);
            Assert.Equal(
                """{"finishedJobs":1,"weighedJobs":1,"taughtJobs":1}""",
                JsonSerializer.Serialize(json.RootElement.GetProperty("learned"))
            );
        }
    }

    [Fact]
    public void Symptom_IsAskedByWords_AndMarkedAsMemory()
    {
        var run = CliRun.Of("explain", "--symptom", "dull", "own");
        Assert.Equal(0, run.Code);
        Assert.StartsWith("Dull on own recordings alone [memory]", run.Output, StringComparison.Ordinal);
        Assert.Contains("bias, record-eq", run.Output, StringComparison.Ordinal);
        using var all = JsonDocument.Parse(CliRun.Of("explain", "--symptom", "--json").Output);
        Assert.Equal(56, all.RootElement.GetProperty("symptoms").GetArrayLength());
        Assert.StartsWith("No row holds", CliRun.Of("explain", "--symptom", "marmalade").Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("nothing to explain", "explain")]
    [InlineData("before any condition", "explain", "file.json")]
    [InlineData("no condition", "explain", "forward")]
    [InlineData("no condition", "explain", "forward,fast", "file.json")]
    [InlineData("no file follows", "explain", "forward,19.05")]
    [InlineData("\"sideways,19.05\" is neither a condition nor a file", "explain", "sideways,19.05", "file.json")]
    [InlineData("no cause \"belts\"", "explain", "forward,19.05", "file.json", "--prior", "belts=0.2")]
    [InlineData("such as belt=0.2", "explain", "forward,19.05", "file.json", "--prior", "belt")]
    public void WrongCall_IsOneLineThatSaysWhat(string what, params string[] call)
    {
        var run = CliRun.Of(call);
        Assert.Equal(2, run.Code);
        Assert.Empty(run.Output);
        Assert.Contains(what, run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void FileOfAnotherKind_IsNamed()
    {
        var file = Path.Combine(_folder, "other.json");
        File.WriteAllText(file, "{}");
        var run = CliRun.Of("explain", "forward,19.05", file);
        Assert.Equal(2, run.Code);
        Assert.Contains(file, run.Error, StringComparison.Ordinal);
    }

    // Playback of both channels with the left gap so far off the tape.
    private string Playback(string name, double speed, double micrometres)
    {
        double Loss(double hertz) => -54.575 * micrometres * hertz / (speed * 1e4);
        var readings = new List<object>();
        foreach (var channel in new[] { "left", "right" })
        {
            foreach (var hertz in new double[] { 63, 125, 250, 500, 2000, 4000, 6300, 10000, 12500 })
                readings.Add(Reading("response", channel == "left" ? Loss(hertz) - Loss(1000) : 0, "dB", 0.2, channel, hertz));
            readings.Add(Reading("playback-level", channel == "left" ? -12 + Loss(1000) : -12, "dBFS", 0.2, channel, null));
        }

        var file = Path.Combine(_folder, name + ".json");
        File.WriteAllText(file, JsonSerializer.Serialize(new { measurement = "playback", readings, notes = Array.Empty<object>() }));
        return file;
    }

    private static object Reading(string quantity, double value, string unit, double uncertainty, string channel, double? hertz) => new
    {
        quantity,
        value = double.Parse(value.ToString("R", CultureInfo.InvariantCulture), CultureInfo.InvariantCulture),
        unit,
        uncertainty,
        channel,
        frequencyHz = hertz,
        method = "",
        judgeable = true,
        uncertaintyParts = new[] { new { name = "noise", expanded = uncertainty } },
    };
}
