using System.Security.Cryptography;
using System.Text.Json;
using Spoolwright.App.Cli;

namespace Spoolwright.App.Tests.Cli;

/// <summary>Typed readings through the command line, on the example files.</summary>
public sealed class SheetCommandTests(SoundFixture sound) : IClassFixture<SoundFixture>
{
    private static readonly string Gauge = Path.Combine(Tree.Root, "examples/gauge.json");
    private static readonly string Sheet = Path.Combine(Tree.Root, "examples/gauge-sheet.json");

    [Fact]
    public void Json_OfASheet_HasTheContractsObjectWithNullsForTheSound()
    {
        var run = CliRun.Of("measure", "tension", Sheet, "--gauge", Gauge, "--json");
        Assert.Equal((ExitCode.Done, ""), (run.Code, run.Error));
        using var json = JsonDocument.Parse(run.Output);
        var root = json.RootElement;
        Assert.Equal(["measurement", "capture", "readings", "notes"], root.EnumerateObject().Select(p => p.Name));
        var capture = root.GetProperty("capture");
        Assert.Equal(Sheet, capture.GetProperty("file").GetString());
        Assert.Equal(Convert.ToHexStringLower(SHA256.HashData(File.ReadAllBytes(Sheet))), capture.GetProperty("sha256").GetString());
        Assert.All(
            ["sampleRateHz", "channels", "seconds"],
            (string name) => Assert.Equal(JsonValueKind.Null, capture.GetProperty(name).ValueKind)
        );
        var first = root.GetProperty("readings")[0];
        Assert.Equal(
            ["supply-tension", "gf", "both", "supply, full, forward"],
            new[] { "quantity", "unit", "channel", "place" }.Select(p => first.GetProperty(p).GetString())
        );
        Assert.True(first.GetProperty("uncertainty").GetDouble() is > 1 and < 6);
        Assert.Contains(root.GetProperty("notes").EnumerateArray(), n => n.GetProperty("code").GetString() == "low-on-scale");
    }

    // An option is refused by its own name, and a newton metre keeps the digits of a reel's torque: 160 gf at 30 mm are 0.047072 N·m.
    [Fact]
    public void ReadingInTheCall_IsToldByItsOptionsAndInItsUnit()
    {
        var swapped = CliRun.Of("measure", "wind-time", "--reading", "95s", "--hub-radius", "82mm", "--full-radius", "30mm");
        Assert.Equal(ExitCode.CallWrong, swapped.Code);
        Assert.Contains("--full-radius: the full reel's radius", swapped.Error, StringComparison.Ordinal);
        var torque = CliRun.Of("measure", "torque", "--reading", "160 gf", "--reel", "take-up", "--radius", "30mm", "--unit", "N·m");
        Assert.Contains("0.04707 ± ?", torque.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Json_OfAReadingInTheCall_HasNoFileAndBothUnits()
    {
        var run = CliRun.Of(
            "measure", "tension", "--reading", "62 gf", "--reel", "supply", "--radius", "60mm", "--direction", "forward", "--gauge",
            Gauge,
            "--tape",
            "long-play 35 µm",
            "--json"
        );
        Assert.Equal((ExitCode.Done, ""), (run.Code, run.Error));
        using var json = JsonDocument.Parse(run.Output);
        Assert.Equal(JsonValueKind.Null, json.RootElement.GetProperty("capture").GetProperty("file").ValueKind);
        Assert.Empty(json.RootElement.GetProperty("notes").EnumerateArray());
        var readings = json
            .RootElement.GetProperty("readings")
            .EnumerateArray()
            .Select(r => (Unit: r.GetProperty("unit").GetString(), Value: r.GetProperty("value").GetDouble()))
            .ToList();
        Assert.Equal(["gf", "N", "g·cm", "mN·m"], readings.Select(r => r.Unit));
        Assert.Equal(readings[0].Value * 0.00980665, readings[1].Value, 9);
        Assert.Equal(readings[0].Value * 6, readings[2].Value, 9);
    }

    [Theory]
    [InlineData("tension")]
    [InlineData("torque")]
    [InlineData("brakes")]
    [InlineData("wind-time")]
    [InlineData("pinch-force")]
    public void Table_OfTheExampleSheet_IsAsApproved(string id)
    {
        string[] gauge = id == "tension" ? ["--gauge", Gauge] : [];
        var run = CliRun.Of(["measure", id, Sheet, .. gauge]);
        Assert.Equal((ExitCode.Done, ""), (run.Code, run.Error));
        var text = string.Join(
            '\n',
            run.Output.Replace(Sheet, "sheet.json", StringComparison.Ordinal).Split('\n').Select(l => l.TrimEnd())
        );
        Assert.DoesNotContain(text.Split('\n'), line => line.Length > 80);
        Approved.Equal(
            System.Text.RegularExpressions.Regex.Replace(
                text,
                "SHA-256 [0-9a-f]+…",
                "SHA-256 …",
                System.Text.RegularExpressions.RegexOptions.None,
                TimeSpan.FromSeconds(5)
            ),
            "table-" + id
        );
    }

    [Fact]
    public void CheckGauge_OfTheExample_PrintsTheCurveAsApproved()
    {
        var run = CliRun.Of("check-gauge", Gauge);
        Assert.Equal((ExitCode.Done, ""), (run.Code, run.Error));
        Approved.Equal(
            string.Join('\n', run.Output.Replace(Gauge, "gauge.json", StringComparison.Ordinal).Split('\n').Select(l => l.TrimEnd())),
            "check-gauge"
        );
    }

    [Theory]
    [InlineData("check-gauge")]
    [InlineData("check-sheet")]
    public void Check_FileWithErrors_PointsAtTheirLines(string command)
    {
        var path = sound.Write("bad-gauge.json", "{\n  \"tape\": 7\n}\n");
        var run = CliRun.Of(command, path);
        Assert.Equal(ExitCode.CallWrong, run.Code);
        Assert.Contains($"{path}:2:", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("give a sheet of readings, or --reading", "measure", "tension")]
    [InlineData("not both", "measure", "tension", "SHEET", "--reading", "62 gf", "--reel", "supply")]
    [InlineData("--reel is needed: supply or take-up", "measure", "tension", "--reading", "62 gf")]
    [InlineData("--turn is needed: unwind or wind", "measure", "brakes", "--reading", "62 g·cm", "--reel", "left")]
    [InlineData("--reading: \"62\" has no unit", "measure", "tension", "--reading", "62", "--reel", "supply")]
    [InlineData("between numbers here: write 0.61 N", "measure", "tension", "--reading", "0,61 N", "--reel", "supply")]
    [InlineData("did you mean \"supply\"?", "measure", "tension", "--reading", "62 gf", "--reel", "suply")]
    [InlineData("--radius: \"60\" has no unit", "measure", "tension", "--reading", "62 gf", "--reel", "supply", "--radius", "60")]
    [InlineData("--radius goes with --reading", "measure", "tension", "SHEET", "--radius", "60mm")]
    [InlineData("two gauges of the kind tension", "measure", "tension", "SHEET", "--gauge", "GAUGE", "--gauge", "GAUGE")]
    [InlineData("no unit of force or torque", "measure", "tension", "SHEET", "--unit", "s")]
    [InlineData("does not read wind-time; measure wind-time does", "measure", "tension", "SHEET", "--limit", "wind-time=90")]
    public void Call_ThatIsWrong_IsRefusedInOneLine(string expected, params string[] call)
    {
        var run = CliRun.Of([.. call.Select(c => c == "SHEET" ? Sheet : c == "GAUGE" ? Gauge : c)]);
        Assert.Equal(ExitCode.CallWrong, run.Code);
        Assert.Contains(expected, run.Error, StringComparison.Ordinal);
        Assert.Single(run.Error.TrimEnd('\n').Split('\n'));
    }

    [Fact]
    public void Measure_OutsideOfTheGauge_IsOneLineWithExitCodeThree()
    {
        var run = CliRun.Of("measure", "tension", "--reading", "190 gf", "--reel", "supply", "--gauge", Gauge, "--tape", "long-play 35 µm");
        Assert.Equal((ExitCode.CannotMeasure, ""), (run.Code, run.Output));
        Assert.Contains("lies above the curve", run.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("take-up-tension=60..110", ExitCode.Done)]
    [InlineData("take-up-tension=0.6..1.1N", ExitCode.Done)]
    [InlineData("take-up-tension=100..120", ExitCode.LimitNotMet)]
    public void Measure_WithALimit_GivesExitCodeOneOnlyWhereItIsNotMet(string limit, int expected) =>
        Assert.Equal(expected, CliRun.Of("measure", "tension", Sheet, "--gauge", Gauge, "--limit", limit).Code);

    [Fact]
    public void Csv_OfASheet_HasThePlace()
    {
        var run = CliRun.Of("measure", "brakes", Sheet, "--csv");
        Assert.Equal(ExitCode.Done, run.Code);
        Assert.Contains("\"left, unwinding\"", run.Output, StringComparison.Ordinal);
    }
}
