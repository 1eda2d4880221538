using Spoolwright.App.Cli;

namespace Spoolwright.App.Tests.Cli;

public sealed class CheckCommandTests(SoundFixture sound) : IClassFixture<SoundFixture>
{
    private const string GoodTape =
        """{ "name": "Sample tape", "speedCmPerS": 19.05, "tones": [{ "frequencyHz": 1000, "levelDb": 0, "seconds": 10, "role": "reference" }] }""";

    [Fact]
    public void CheckTape_GoodFile_SaysItCanBeUsed()
    {
        var run = CliRun.Of("check-tape", sound.Write("good.json", GoodTape));
        Assert.Equal(ExitCode.Done, run.Code);
        Assert.Contains("\"Sample tape\" can be used", run.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("check-tape")]
    [InlineData("check-profile")]
    public void Check_FileWithErrors_PointsAtTheirLines(string command)
    {
        var path = sound.Write("bad.json", "{\n  \"name\": 7\n}\n");
        var run = CliRun.Of(command, path);
        Assert.Equal(ExitCode.CallWrong, run.Code);
        Assert.Contains($"{path}:2:", run.Output, StringComparison.Ordinal);
        Assert.All(run.Output.TrimEnd('\n').Split('\n'), line => Assert.Matches(@"^.*bad\.json:\d+:\d+: (error|warning): .+$", line));
    }

    [Fact]
    public void Check_FileThatIsMissing_IsRefusedInOneLine()
    {
        var run = CliRun.Of("check-profile", "/nowhere/deck.json");
        Assert.Equal((ExitCode.CallWrong, "spoolwright: /nowhere/deck.json does not exist\n"), (run.Code, run.Error));
    }
}
