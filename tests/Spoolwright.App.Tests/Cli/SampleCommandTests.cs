using System.Text.Json;
using Spoolwright.App.Cli;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Tests.Cli;

/// <summary>From a piece over a practice deck's tape to a sample that can be published, by the command line alone.</summary>
public sealed class SampleCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("spoolwright-sample-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void MakeRecordCompare_OfASoundDeck_GivesTheSampleWithItsFigures()
    {
        var (piece, tape, sample) = (In("piece.wav"), In("tape.wav"), In("sample"));
        Assert.Equal(
            ExitCode.Done,
            CliRun.Of("sample", "make", "--out", piece, "--seed", "7", "--reference-dbfs", "-12", "--peak-db", "0").Code
        );
        CliRun.Of("practice", "new", "--folder", In("deck"), "--seed", "8", "--faults", "0");
        var recorded = CliRun.Of("practice", "record", "--folder", In("deck"), "--signal", piece, "--out", tape, "--seconds", "62");
        Assert.True(recorded.Code == ExitCode.Done, recorded.Error);

        var compared = CliRun.Of("sample", "compare", piece, tape, "--out", sample, "--title", "Forward <19 cm/s>", "--json");
        Assert.True(compared.Code == ExitCode.Done, compared.Error);
        foreach (var channel in JsonDocument.Parse(compared.Output).RootElement.GetProperty("channels").EnumerateArray())
        {
            // A deck without faults gives back what it was fed, level and response alike, within what its limits allow.
            Assert.Equal(0, channel.GetProperty("levelDb").GetDouble(), 0.5);
            Assert.All(
                channel.GetProperty("bands").EnumerateArray().Where(b => b.GetProperty("centreHz").GetDouble() is > 100 and < 9000),
                b => Assert.Equal(0, b.GetProperty("db").GetDouble(), 1.0)
            );
            Assert.InRange(channel.GetProperty("silenceDb").GetDouble(), -70, -35);
            Assert.InRange(channel.GetProperty("remainderDb").GetDouble(), -60, -25);
        }

        // All sounds are of one length; the switching one is the source first.
        var sounds = new[] { "source.wav", "tape.wav", "switching.wav", "difference.wav" }
            .Select(n => Read(Path.Combine(sample, n)))
            .ToArray();
        Assert.Single(sounds.Select(s => s.Length).Distinct());
        Assert.Equal(sounds[0][..48_000], sounds[2][..48_000]);
        Assert.NotEqual(sounds[0][^48_000..], sounds[1][^48_000..]);

        // One page with everything in it, what was typed shown and not obeyed.
        var page = File.ReadAllText(Path.Combine(sample, "sample.html"));
        Assert.Contains("<h1>Forward &lt;19 cm/s&gt;</h1>", page, StringComparison.Ordinal);
        Assert.DoesNotContain("{{", page, StringComparison.Ordinal);
        Assert.DoesNotContain("src=", page, StringComparison.Ordinal);

        // A piece against itself differs by nothing, and nothing has one sign at most.
        var same = CliRun.Of("sample", "compare", piece, piece, "--out", In("same"));
        Assert.True(same.Code == ExitCode.Done, same.Error);
        Assert.DoesNotContain("-+", same.Output, StringComparison.Ordinal);
        Assert.Matches(@"(?m)^Level, dB +0\.00 ± 0\.01 +0\.00 ± 0\.01$", same.Output);
        Assert.Contains("Speed 0.000 %", same.Output, StringComparison.Ordinal);

        Assert.Contains("is not empty", CliRun.Of("sample", "compare", piece, tape, "--out", sample).Error, StringComparison.Ordinal);
        var bare = CliRun.Of("sample", "compare", piece, Path.Combine(sample, "tape.wav"), "--out", In("other"));
        Assert.Equal(ExitCode.CannotMeasure, bare.Code);
        Assert.Contains("both markers", bare.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void Make_ByTheSameNumber_IsTheSameFileAndOverwritesNone()
    {
        Assert.Equal(ExitCode.Done, CliRun.Of("sample", "make", "--out", In("a.wav"), "--rate", "44100").Code);
        Assert.Equal(ExitCode.Done, CliRun.Of("sample", "make", "--out", In("b.wav"), "--rate", "44100", "--seed", "1").Code);
        Assert.Equal(File.ReadAllBytes(In("a.wav")), File.ReadAllBytes(In("b.wav")));
        Assert.Contains("is there already", CliRun.Of("sample", "make", "--out", In("a.wav")).Error, StringComparison.Ordinal);
        Assert.Contains("--peak-db", CliRun.Of("sample", "make", "--out", In("c.wav"), "--peak-db", "20").Error, StringComparison.Ordinal);
        Assert.Contains(
            "--sound",
            CliRun.Of("sample", "make", "--out", In("c.wav"), "--sound", In("a.wav"), "--seed", "3").Error,
            StringComparison.Ordinal
        );
        Assert.False(File.Exists(In("c.wav")));
    }

    private string In(string name) => Path.Combine(_folder, name);

    private static float[] Read(string path)
    {
        using var source = SoundFile.Open(File.OpenRead(path));
        var all = new List<float>();
        SoundPump.Run(source, (left, _) => all.AddRange(left));
        return [.. all];
    }
}
