using System.Text.Json;
using Spoolwright.App.Cli;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Tests.Cli;

public sealed class PracticeCommandTests : IDisposable
{
    private readonly string _folder = Path.Combine(Path.GetTempPath(), "spoolwright-practice-" + Guid.NewGuid().ToString("N"));

    public void Dispose()
    {
        if (Directory.Exists(_folder))
            Directory.Delete(_folder, recursive: true);
    }

    [Fact]
    public void New_MakesADeck_WithoutNamingItsFaults()
    {
        var run = Practise("new", "--seed", "7", "--faults", "2");
        Assert.Equal(ExitCode.Done, run.Code);
        var answers = JsonDocument
            .Parse(File.ReadAllText(Path.Combine(_folder, "practice-deck.json")))
            .RootElement.GetProperty("answers")
            .GetProperty("faults");
        Assert.Equal(2, answers.GetArrayLength());
        Assert.All(
            answers.EnumerateArray().Select(a => a.GetProperty("name").GetString()!).Where(n => n.Contains('.', StringComparison.Ordinal)),
            n => Assert.DoesNotContain(n, run.Output, StringComparison.Ordinal)
        );
        Assert.Equal(ExitCode.CallWrong, Practise("new").Code);

        // The answers, named, are a whole diagnosis; reveal names them.
        var names = answers.EnumerateArray().Select(a => a.GetProperty("name").GetString()!).ToArray();
        Assert.Contains("score 100 of 100", Practise(["diagnose", .. names]).Output, StringComparison.Ordinal);
        Assert.Contains("score 50 of 100", Practise("diagnose", names[0]).Output, StringComparison.Ordinal);
        Assert.All(names, n => Assert.Contains(n, Practise("reveal").Output, StringComparison.Ordinal));
    }

    [Fact]
    public void Turn_MovesAControl_ThatStaysThere()
    {
        Practise("new", "--seed", "7", "--faults", "0");
        var before = Practise("controls").Output;
        Assert.Contains("at its stop", Practise("turn", "reverse.right.high.bias", "3").Output, StringComparison.Ordinal);
        Assert.Contains("turned by -0.100", Practise("turn", "reverse.right.high.bias", "-0.1").Output, StringComparison.Ordinal);
        var after = Practise("controls").Output;
        Assert.NotEqual(before, after);
        Assert.Contains("+0.275", after, StringComparison.Ordinal);
        Assert.Contains("practice controls lists them", Practise("turn", "nothing", "1").Error, StringComparison.Ordinal);
    }

    [Fact]
    public void RecordAndPlay_GiveCaptures()
    {
        Practise("new", "--seed", "8", "--faults", "0");
        var (signal, off, own, noise, levels) = (In("in.wav"), In("off.wav"), In("own.wav"), In("noise.wav"), In("levels.wav"));
        using (var writer = new WavWriter(File.Create(signal), 48000, 2, WavSamples.Float32))
        {
            var tone = Enumerable.Range(0, 48000).Select(i => (float)(0.1 * Math.Sin(2 * Math.PI * 1000 * i / 48000))).ToArray();
            writer.Write(tone, tone);
        }

        Assert.Equal(ExitCode.Done, Practise("record", "--signal", signal, "--out", off, "--source-left", "--keep").Code);
        Assert.Equal(ExitCode.Done, Practise("play", "--tape", "own", "--out", own).Code);
        Assert.Equal(ExitCode.Done, Practise("play", "--tape", "blank", "--out", noise, "--seconds", "1", "--rate", "48000").Code);
        Assert.Equal(ExitCode.Done, Practise("play", "--tape", "levels", "--out", levels, "--seconds", "1", "--rate", "48000").Code);
        Assert.True(File.Exists(levels + ".tape.json"));

        // Source on the left from the first moment, the tape later; the tape played by itself at about the level it was fed at.
        var (source, tape) = Sound(off);
        Assert.Equal(0.0707, Rms(source.AsSpan(1000, 40000)), 0.0005);
        Assert.True(Rms(tape.AsSpan(0, 4000)) < 0.005);
        Assert.InRange(Rms(tape.AsSpan(20000, 20000)), 0.065, 0.077);
        Assert.InRange(Rms(Sound(own).Left.AsSpan(10000, 20000)), 0.065, 0.077);
        Assert.InRange(Rms(Sound(noise).Left.AsSpan(10000, 20000)), 1e-5, 1e-3);
    }

    // The bias goes over its peak and back to its place: of a specimen without faults 10 kHz then stands some 4.2 dB under it, the practice
    // deck's own law (docs/guide/practice-deck.md), and the same without the turn stands there throughout.
    [Fact]
    public void Record_WithTurnBias_GoesOverThePeakAndBack()
    {
        Practise("new", "--seed", "8", "--faults", "0");
        var (signal, turned, still) = (In("in.wav"), In("turned.wav"), In("still.wav"));
        using (var writer = new WavWriter(File.Create(signal), 48000, 2, WavSamples.Float32))
        {
            var tone = Enumerable.Range(0, 34 * 48000).Select(i => (float)(0.025 * Math.Sin(2 * Math.PI * 10000 * i / 48000))).ToArray();
            writer.Write(tone, tone);
        }

        Assert.Equal(ExitCode.Done, Practise("record", "--signal", signal, "--out", turned, "--turn-bias").Code);
        Assert.Equal(ExitCode.Done, Practise("record", "--signal", signal, "--out", still).Code);
        double[] Levels(string file) => [.. Enumerable.Range(2, 31).Select(s => 20 * Math.Log10(Rms(Sound(file).Left.AsSpan(s * 48000, 48000))))];
        double[] moved = Levels(turned), stood = Levels(still);
        Assert.Equal(4.2, moved.Max() - moved[^1], 0.6);
        Assert.Equal(stood[^1], moved[^1], 0.2);
        Assert.InRange(stood.Max() - stood.Min(), 0, 0.5);
        var refused = Practise("record", "--signal", signal, "--out", In("short.wav"), "--turn-bias", "--seconds", "5");
        Assert.Equal(ExitCode.CallWrong, refused.Code);
        Assert.Contains("--turn-bias: a slow turn over the peak takes 30 s", refused.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("play", "--tape", "none", "--out", "x.wav")]
    [InlineData("play", "--tape", "own", "--out", "x.wav")]
    [InlineData("play", "--tape", "blank", "--out", "x.wav", "--speed", "38.1")]
    [InlineData("play", "--tape", "blank", "--out", "x.wav", "--direction", "up")]
    [InlineData("play", "--tape", "blank", "--out", "x.wav", "--tape-kind", "gold")]
    [InlineData("record", "--signal", "missing.wav", "--out", "x.wav")]
    [InlineData("diagnose", "gremlins")]
    public void Call_ThatIsWrong_IsRefusedInOneLine(params string[] call)
    {
        Practise("new", "--seed", "1", "--faults", "1");
        var run = Practise(call);
        Assert.Equal(ExitCode.CallWrong, run.Code);
        Assert.Single(run.Error.TrimEnd().Split('\n'));
        Assert.Empty(run.Output);
    }

    [Fact]
    public void Deck_ThatIsMissingOrSpoilt_IsRefused()
    {
        Assert.Contains("practice new", Practise("controls").Error, StringComparison.Ordinal);
        Practise("new", "--seed", "1");
        File.WriteAllText(Path.Combine(_folder, "practice-deck.json"), "{}");
        Assert.Equal(ExitCode.CallWrong, Practise("controls").Code);
    }

    private string In(string name) => Path.Combine(_folder, name);

    private CliRun Practise(params string[] call) => CliRun.Of(["practice", .. call, "--folder", _folder]);

    private static (float[] Left, float[] Right) Sound(string file)
    {
        using var reader = SoundFile.Open(File.OpenRead(file));
        var (left, right) = (new float[reader.Frames!.Value], new float[reader.Frames!.Value]);
        for (int at = 0, got; (got = reader.Read(left.AsSpan(at), right.AsSpan(at))) > 0; at += got)
        {
        }

        return (left, right);
    }

    private static double Rms(ReadOnlySpan<float> sound)
    {
        var sum = 0.0;
        foreach (var x in sound)
            sum += x * x;
        return Math.Sqrt(sum / sound.Length);
    }
}
