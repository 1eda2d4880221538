using System.Text.Json;
using Spoolwright.Signal.Live;

namespace Spoolwright.App.Tests.Browser;

/// <summary>What is sent to the deck: never while a test tape is named as threaded; and a known signal that comes back changed is told from
/// one that does not.</summary>
public sealed class SendingTests
{
    private const int Rate = 48_000;
    private const string Leaflet =
        """{"name":"Test level","speedCmPerS":19.05,"tones":[{"frequencyHz":1000,"levelDb":0,"seconds":4,"role":"reference"}]}""";

    [Theory]
    [InlineData("""{"do":"send","signal":"bias"}""")]
    [InlineData("""{"do":"send","signal":"level"}""")]
    [InlineData("""{"do":"send","signal":"multitone"}""")]
    [InlineData("""{"do":"check"}""")]
    public async Task Sending_WithATestTapeThreaded_IsRefusedUntilItIsOff(string command)
    {
        await using var bench = await Bench.Start();
        using var socket = await BenchSocket.Open(bench.Origin);
        await Deck(bench, socket, Leaflet);
        await socket.Say("""{"do":"microphone","rate":48000}""");
        await socket.Say(command);
        var refused = await socket.Until(p => p.GetProperty("problem").ValueKind == JsonValueKind.String);
        Assert.Contains("Test level is named as threaded", refused.GetProperty("problem").GetString(), StringComparison.Ordinal);
        Assert.False(refused.TryGetProperty("sending", out _) || refused.TryGetProperty("check", out _));
        await Deck(bench, socket, "");
        await socket.Say(command);
        await socket.Until(p => p.TryGetProperty("sending", out _) || p.TryGetProperty("check", out _));
    }

    // S on the practice deck stops it, and S again found no way out: the page said "sent to the practice deck" of what went nowhere.
    [Fact]
    public async Task Sending_WithoutAnInput_SaysWhatToPress()
    {
        await using var bench = await Bench.Start();
        using var socket = await BenchSocket.Open(bench.Origin);
        await Deck(bench, socket, "");
        await socket.Say("""{"do":"practice","tape":"record","signal":"bias"}""");
        await socket.Until(p => p.TryGetProperty("sending", out _));
        await socket.Say("""{"do":"silence"}""");
        await socket.Until(p => p.GetProperty("source").GetString() == "none");
        await socket.Say("""{"do":"send","signal":"bias"}""");
        var refused = await socket.Until(p => p.GetProperty("problem").ValueKind == JsonValueKind.String);
        Assert.Contains("press I", refused.GetProperty("problem").GetString(), StringComparison.Ordinal);
        Assert.False(refused.TryGetProperty("sending", out _));
    }

    [Fact]
    public async Task TestTape_ThreadedWhileSending_StopsIt()
    {
        await using var bench = await Bench.Start();
        using var socket = await BenchSocket.Open(bench.Origin);
        await Deck(bench, socket, "");
        await socket.Say("""{"do":"microphone","rate":48000}""");
        await socket.Say("""{"do":"send","signal":"level"}""");
        await socket.Until(p => p.TryGetProperty("sending", out _));
        await Deck(bench, socket, Leaflet);
        var stopped = await socket.Until(p => p.GetProperty("problem").ValueKind == JsonValueKind.String);
        Assert.False(stopped.TryGetProperty("sending", out _));
    }

    [Theory]
    [InlineData("clean", "clean", true)]
    [InlineData("mono", "mono-summed", false)]
    [InlineData("gain", "gain-follows", false)]
    [InlineData("exchanged", "exchanged", false)]
    [InlineData("silent", "nothing-came", false)]
    [InlineData("dead", "dead-channel", false)]
    public async Task Check_OfAnInput_TellsWhatWasDoneToTheSignal(string how, string code, bool usable)
    {
        await using var bench = await Bench.Start();
        using var client = new HttpClient();
        var bytes = await client.GetByteArrayAsync(
            new Uri(bench.Origin + "/api/signal/check?rate=48000&level=-12"),
            TestContext.Current.CancellationToken
        );
        using var sent = Spoolwright.Signal.Sound.SoundFile.Open(new MemoryStream(bytes));
        var n = (int)sent.Frames!.Value;
        float[] left = new float[n], right = new float[n];
        Assert.Equal(n, Read(sent, left, right));
        Assert.InRange(
            n,
            InputCheck.Steps.Count * InputCheck.StepSeconds * Rate * 0.99,
            InputCheck.Steps.Count * InputCheck.StepSeconds * Rate * 1.01
        );

        using var socket = await BenchSocket.Open(bench.Origin);
        await socket.Say("""{"do":"microphone","rate":48000}""");
        await socket.Say("""{"do":"check"}""");
        await socket.Until(p => p.TryGetProperty("check", out _));
        var follower = 1.0;
        double Way(int i, int c)
        {
            // Half a second on the way, three decibels lost, a little noise.
            var at = i - (Rate / 2);
            var (l, r) = at >= 0 && at < n ? (0.7 * left[at], 0.7 * right[at]) : (0, 0);
            var noise = 1e-5 * (((((i * 2) + c) * 2654435761L >> 9) & 255) - 128) / 128.0;
            if (how == "gain")
                follower += 5e-5 * ((0.05 / Math.Max(0.003, Math.Abs(c == 0 ? l : r) + 0.002)) - follower);
            return noise + (how switch
            {
                "mono" => 0.5 * (l + r),
                "gain" => (c == 0 ? l : r) * Math.Clamp(follower, 0.2, 8),
                "exchanged" => c == 0 ? r : l,
                "silent" => 0,
                "dead" => c == 0 ? l : 0,
                _ => c == 0 ? l : r,
            });
        }

        await socket.Play(11 * Rate, Way);
        var done = await socket.Until(p => p.TryGetProperty("check", out var c) && c.GetProperty("done").GetBoolean());
        var check = done.GetProperty("check");
        Assert.True(
            check.GetProperty("usable").GetBoolean() == usable
                && check.GetProperty("notes").EnumerateArray().Any(x => x.GetProperty("code").GetString() == code),
            check.GetRawText()
        );
    }

    private static int Read(Spoolwright.Signal.Sound.SoundSource source, float[] left, float[] right)
    {
        var done = 0;
        for (int got; done < left.Length && (got = source.Read(left.AsSpan(done), right.AsSpan(done))) > 0;)
            done += got;
        return done;
    }

    private static Task Deck(Bench bench, BenchSocket socket, string leaflet) =>
        socket.Say(
            JsonSerializer.Serialize(
                new Dictionary<string, object>
                {
                    ["do"] = "deck",
                    ["job"] = bench.Job,
                    ["direction"] = "forward",
                    ["speed"] = 19.05,
                    ["tape"] = leaflet,
                }
            )
        );
}
