using System.Text.Json;
using Spoolwright.App.Cli;

namespace Spoolwright.App.Tests.Cli;

public sealed class TurnCommandTests(SoundFixture sound) : IClassFixture<SoundFixture>
{
    private static string Example => Path.Combine(Tree.Root, "examples/moves.json");

    [Fact]
    public void Turn_OnTheExample_SaysWhatToTurnAndWhatToExpect()
    {
        var run = CliRun.Of("turn", Example);
        Assert.Equal((ExitCode.Done, ""), (run.Code, run.Error));
        Approved.Equal(run.Output, "turn-example");
    }

    [Fact]
    public void Turn_AsJson_IsOneObjectWithTheTrail()
    {
        var run = CliRun.Of("turn", Example, "--json");
        Assert.Equal(ExitCode.Done, run.Code);
        var advice = JsonDocument.Parse(run.Output).RootElement;
        Assert.Equal("turn", advice.GetProperty("outcome").GetString());
        Assert.Equal(3, advice.GetProperty("trail").GetArrayLength());
        Assert.Equal("azimuth", advice.GetProperty("turns")[0].GetProperty("control").GetString());
    }

    [Fact]
    public void Turn_WithReadingsMeasuredIntoAFile_TakesThemFromTheFolderOfTheMoves()
    {
        sound.Write(
            "before.json",
            """{ "readings": [{ "quantity": "time-skew", "value": 0.5, "uncertainty": 0.2, "channel": "both", "frequencyHz": null }] }"""
        );
        var moves = sound.Write("moves-measured.json", Moves("\"before.json\""));
        var run = CliRun.Of("turn", moves);
        Assert.Equal(ExitCode.Done, run.Code);
        Assert.StartsWith("Done: every target is met", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Turn_WithAFileThatIsWrong_PointsAtTheLine()
    {
        var moves = sound.Write("moves-wrong.json", Moves("[{ \"quantity\": \"time-skew\", \"value\": \"much\" }]"));
        var run = CliRun.Of("turn", moves);
        Assert.Equal((ExitCode.CallWrong, ""), (run.Code, run.Output));
        Assert.Contains($"{moves}:3:", run.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Turn_WithReadingsWorseThanTheLimits_CannotBeSaid()
    {
        var moves = sound.Write("moves-noisy.json", Moves("[{ \"quantity\": \"time-skew\", \"value\": 1, \"uncertainty\": 8 }]"));
        var run = CliRun.Of("turn", moves);
        Assert.Equal((ExitCode.CannotMeasure, ""), (run.Code, run.Output));
        Assert.Single(run.Error.TrimEnd('\n').Split('\n'));
    }

    private static string Moves(string asFound) => $$"""
        { "controls": [{ "name": "azimuth", "kind": "azimuth-screw", "unit": "turn", "range": [-1, 1] }],
          "targets": [{ "quantity": "time-skew", "min": -3, "max": 3 }],
          "asFound": {{asFound}} }
        """;
}
