using System.Text.Json;
using Spoolwright.App.Cli;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Tests.Cli;

/// <summary>The options of the measurements of levels, through the program's own calls.</summary>
public sealed class LevelCallTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("levels").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Noise_WithAReferenceLevel_PrintsTheRatioOfEachChannel()
    {
        var path = Sound("noise.wav", (_, random) => 0.001 * (random.NextDouble() - 0.5));
        var run = CliRun.Of("measure", "noise", path, "--reference-level", "-12,-13.5", "--json");
        Assert.Equal(ExitCode.Done, run.Code);
        var readings = JsonDocument.Parse(run.Output).RootElement.GetProperty("readings").EnumerateArray().ToArray();
        double Value(string quantity, string channel) =>
            readings
                .Single(r => r.GetProperty("quantity").GetString() == quantity && r.GetProperty("channel").GetString() == channel)
                .GetProperty("value")
                .GetDouble();
        Assert.Equal(-12, Value("noise-a", "left") + Value("signal-to-noise-a", "left"), 1e-6);
        Assert.Equal(-13.5, Value("noise-468", "right") + Value("signal-to-noise-468", "right"), 1e-6);
    }

    [Fact]
    public void Erase_WithTheRecordedToneInAnotherFile_ReadsAgainstIt()
    {
        var before = Sound("before.wav", (t, random) => (0.5 * Math.Sin(2 * Math.PI * 1000 * t)) + (1e-4 * (random.NextDouble() - 0.5)));
        var after = Sound("after.wav", (t, random) => (0.0005 * Math.Sin(2 * Math.PI * 1000 * t)) + (1e-4 * (random.NextDouble() - 0.5)));
        var run = CliRun.Of("measure", "erase", after, "--recorded", before, "--json");
        Assert.Equal(ExitCode.Done, run.Code);
        Assert.Equal(60, JsonDocument.Parse(run.Output).RootElement.GetProperty("readings")[0].GetProperty("value").GetDouble(), 0.1);
        Assert.Equal(ExitCode.CallWrong, CliRun.Of("measure", "erase", after, "--recorded", before, "--recorded-level", "-6").Code);
        Assert.Equal(ExitCode.CallWrong, CliRun.Of("measure", "erase", after, "--recorded", Path.Combine(_folder, "none.wav")).Code);
    }

    [Fact]
    public void Dropouts_ByClass_AreListedForPeople()
    {
        var path = Sound(
            "tone.wav",
            (t, random) =>
                (0.3 * (t % 1 is > 0.5 and < 0.53 ? 0.1 : 1) * Math.Sin(2 * Math.PI * 3150 * t)) + (1e-4 * (random.NextDouble() - 0.5))
        );
        var run = CliRun.Of("measure", "dropouts", path, "--depth", "8", "--length", "10");
        Assert.Equal(ExitCode.Done, run.Code);
        Assert.Contains("(15 dB, 10 ms)", run.Output.Replace("\n", " ", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.Equal(ExitCode.CallWrong, CliRun.Of("measure", "dropouts", path, "--depth", "0").Code);
    }

    [Fact]
    public void Crosstalk_OfBothChannelsAlike_SaysWhatToDoInOneLine()
    {
        var path = Sound("both.wav", (t, _) => 0.3 * Math.Sin(2 * Math.PI * 1000 * t));
        var run = CliRun.Of("measure", "crosstalk", path, "--json");
        Assert.Equal(ExitCode.CannotMeasure, run.Code);
        Assert.Single(run.Error.TrimEnd('\n').Split('\n'));
        Assert.Empty(run.Output);
    }

    private string Sound(string name, Func<double, Random, double> at)
    {
        var path = Path.Combine(_folder, name);
        var random = new Random(1);
        float[] Channel() => [.. Enumerable.Range(0, 4 * 48000).Select(i => (float)at(i / 48000.0, random))];
        using var stream = File.Create(path);
        using var writer = new WavWriter(stream, 48000, 2, WavSamples.Float32);
        writer.Write(Channel(), Channel());
        return path;
    }
}
