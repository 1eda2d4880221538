using System.Text.Json;
using Spoolwright.App.Tests.Cli;
using Spoolwright.Bench;

namespace Spoolwright.App.Tests.Browser;

/// <summary>Captures that are kept, fed through the page's socket faster than they would play: measured again by the command line,
/// superseded, refused where sound was lost.</summary>
public sealed class KeepingTests
{
    private const int Rate = 48_000;

    private const string Leaflet =
        """{"name":"Test level","speedCmPerS":19.05,"tones":[{"frequencyHz":1000,"levelDb":0,"seconds":4,"role":"reference"},{"frequencyHz":10000,"levelDb":-10,"seconds":4,"role":"azimuth"},{"frequencyHz":4000,"levelDb":-20,"seconds":4,"role":"response"}]}""";

    [Theory]
    [InlineData("azimuth", 8)]
    [InlineData("playback", 12)]
    [InlineData("speed", 14)]
    public async Task Kept_MeasuredAgainByTheCommandLine_ReadsTheSameToTheLastDigit(string measurement, int seconds)
    {
        await using var bench = await Bench.Start();
        using var socket = await BenchSocket.Open(bench.Origin);
        await Begin(bench, socket, measurement == "playback" ? Leaflet : "");
        await socket.Say($$"""{"do":"keep","measurement":"{{measurement}}","mark":"as-left","seconds":{{seconds}}}""");
        await Keep(socket, measurement, seconds);
        var done = await socket.Until(p => BenchSocket.KeepState(p) is "done" or "refused");
        Assert.True(BenchSocket.KeepState(done) == "done", done.GetProperty("keep").GetRawText());

        var filed = Assert.Single(bench.Shelf.Book.ReadJob(bench.Job).Measurements);
        var capture = Directory
            .EnumerateFiles(bench.Shelf.Book.CapturesFolder, filed.Entry.Capture.Sha256 + ".wav", SearchOption.AllDirectories)
            .Single();
        var profile = Path.Combine(bench.Folder, "profile.json");
        await File.WriteAllTextAsync(profile, Spoolwright.App.Web.BookCalls.ExampleProfile(), TestContext.Current.CancellationToken);
        List<string> call = ["measure", measurement, capture, "--json", "--profile", profile, "--direction", "forward", "--speed", "19.05"];
        if (measurement == "playback")
        {
            await File.WriteAllTextAsync(Path.Combine(bench.Folder, "tape.json"), Leaflet, TestContext.Current.CancellationToken);
            call.AddRange(["--test-tape", Path.Combine(bench.Folder, "tape.json")]);
        }

        using var json = JsonDocument.Parse(CliRun.Of([.. call]).Output);
        var told = json
            .RootElement.GetProperty("readings")
            .EnumerateArray()
            .Select(r => (r.GetProperty("quantity").GetString(), r.GetProperty("value").GetDouble()))
            .ToArray();
        Assert.NotEmpty(told);
        Assert.Equal(told, filed.Result.Readings.Select(r => ((string?)r.Quantity, r.Value)));
    }

    [Fact]
    public async Task Kept_ASecondTime_TakesTheFirstOnesPlaceUnlessToldOtherwise()
    {
        await using var bench = await Bench.Start();
        using var socket = await BenchSocket.Open(bench.Origin);
        await Begin(bench, socket, "");
        foreach (var supersede in new[] { "true", "true", "false" })
        {
            await socket.Say($$"""{"do":"keep","measurement":"azimuth","mark":"as-left","seconds":4,"supersede":{{supersede}}}""");
            await Keep(socket, "azimuth", 4);
            await socket.Until(p => BenchSocket.KeepState(p) is "done");
        }

        var all = bench.Shelf.Book.ReadJob(bench.Job).Measurements;
        Assert.Equal(3, all.Count);
        Assert.Equal(2, all.Count(m => m.SupersededBy is null));
        Assert.Equal(all[0].Entry.Id, all[1].Entry.Supersedes);
    }

    [Theory]
    [InlineData("numbers")]
    [InlineData("phase")]
    [InlineData("zeros")]
    public async Task Kept_WithABreakInIt_IsRefused(string how)
    {
        await using var bench = await Bench.Start();
        using var socket = await BenchSocket.Open(bench.Origin);
        await Begin(bench, socket, "");
        await socket.Say("""{"do":"keep","measurement":"azimuth","mark":"as-left","seconds":30}""");
        var at = await UntilItRecords(socket, 1000);
        await socket.Play(2 * Rate, Tone(at, 1000));
        if (how == "numbers")
            socket.NextBlock++;
        if (how == "zeros")
            await socket.Play(480, (_, _) => 0);
        // 5.2 ms of a 1 kHz tone are five periods and a fifth: 72° of phase.
        await socket.Play(3 * Rate, Tone(at + (2 * Rate) + (how == "phase" ? 250 : 0), 1000));
        var done = await socket.Until(p => BenchSocket.KeepState(p) is "done" or "refused");
        Assert.True(BenchSocket.KeepState(done) == "refused", done.GetProperty("keep").GetRawText());
        Assert.Contains("Sound was lost", done.GetProperty("keep").GetProperty("text").GetString(), StringComparison.Ordinal);
        Assert.Empty(bench.Shelf.Book.ReadJob(bench.Job).Measurements);
        Assert.Empty(Directory.EnumerateFiles(bench.Shelf.Arriving));
    }

    [Fact]
    public async Task Input_LostWhileKeeping_IsSaidAndTheNextOneWorks()
    {
        await using var bench = await Bench.Start();
        using var socket = await BenchSocket.Open(bench.Origin);
        await Begin(bench, socket, "");
        await socket.Say("""{"do":"keep","measurement":"azimuth","mark":"as-left","seconds":30}""");
        await UntilItRecords(socket, 1000);
        await socket.Say("""{"do":"stop"}""");
        var gone = await socket.Until(p => p.GetProperty("source").GetString() == "none");
        Assert.Equal("refused", BenchSocket.KeepState(gone));
        Assert.Empty(Directory.EnumerateFiles(bench.Shelf.Arriving));
        socket.NextBlock = 0;
        await socket.Say("""{"do":"microphone","rate":48000}""");
        await socket.Play(2 * Rate, Tone(0, 1000));
        var back = await socket.Until(p => p.TryGetProperty("tones", out var t) && t.GetArrayLength() > 0);
        Assert.Equal(0, back.GetProperty("lostBlocks").GetInt32());
    }

    [Fact]
    public async Task CouldNotRun_WrittenDown_StandsInTheMatrix()
    {
        await using var bench = await Bench.Start();
        using var socket = await BenchSocket.Open(bench.Origin);
        await Begin(bench, socket, "");
        await socket.Say("""{"do":"unmeasured","measurement":"speed","mark":"as-found","reason":"belt turned to tar"}""");
        // A picture may have been on its way before the bench had read what was said.
        for (var left = 100; left > 0 && bench.Shelf.Book.ReadJob(bench.Job).Unmeasured.Count == 0; left--)
            await Task.Delay(100, TestContext.Current.CancellationToken);
        var cell = Assert.Single(bench.Shelf.Book.ReadJob(bench.Job).Unmeasured);
        Assert.Equal(
            ("belt turned to tar", "speed", Mark.AsFound, Direction.Forward),
            (cell.Reason, cell.Measurement, cell.Mark, cell.Condition.Direction)
        );
    }

    private static async Task Begin(Bench bench, BenchSocket socket, string leaflet)
    {
        await socket.Say(
            JsonSerializer.Serialize(
                new Dictionary<string, object>
                {
                    ["do"] = "deck",
                    ["job"] = bench.Job,
                    ["direction"] = "forward",
                    ["speed"] = 19.05,
                    ["setting"] = "normal",
                    ["tape"] = leaflet,
                }
            )
        );
        await socket.Say("""{"do":"microphone","rate":48000}""");
    }

    // It waits for a tone, and looks for one as often as a page does: fed faster than it plays, a little of it goes by first.
    private static async Task<int> UntilItRecords(BenchSocket socket, double hz)
    {
        var at = 0;
        for (var recording = false; !recording; at += Rate / 5)
        {
            Assert.True(at < 60 * Rate, "it never recorded");
            await socket.Play(Rate / 5, Tone(at, hz));
            var heard = (double)(at + (Rate / 5)) / Rate;
            var picture = await socket.Until(p =>
                p.TryGetProperty("input", out var input) && input.GetProperty("seconds").GetDouble() > heard - 0.35
            );
            recording = BenchSocket.KeepState(picture) == "recording";
        }

        return at;
    }

    private static async Task Keep(BenchSocket socket, string measurement, int seconds)
    {
        var at = await UntilItRecords(socket, measurement == "speed" ? 3150 : 1000);
        if (measurement != "playback")
        {
            await socket.Play((seconds + 1) * Rate, Tone(at, measurement == "speed" ? 3150 : 1000));
            return;
        }

        await socket.Play(4 * Rate, Tone(at, 1000));
        foreach (var (hz, db) in new[] { (10_000.0, -10.0), (4000, -20) })
        {
            await socket.Play(Rate / 2, Silence);
            await socket.Play(4 * Rate, (i, c) => Math.Pow(10, db / 20) * Tone(0, hz)(i, c));
        }

        await socket.Play(Rate, Silence);
    }

    private static double Silence(int i, int c) => 1e-5 * ((((i * 2654435761L) >> (8 + c)) & 255) - 128) / 128.0;

    // A steady tone with a little flutter at 5 Hz and a little noise, the right side half a sample later.
    private static Func<int, int, double> Tone(int from, double hz) => (i, c) =>
    {
        var t = (from + i - (c * 0.5)) / Rate;
        return (0.2 * Math.Sin(2 * Math.PI * hz * (t + (2e-5 * Math.Sin(2 * Math.PI * 5 * t))))) + Silence(from + i, c);
    };
}
