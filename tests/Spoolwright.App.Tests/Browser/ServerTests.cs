using System.Net;
using System.Net.WebSockets;
using System.Text;
using System.Text.Json;

namespace Spoolwright.App.Tests.Browser;

/// <summary>What the bench's server lets in and what it does not, and what it does with blocks and files, asked without a
/// browser.</summary>
public sealed class ServerTests
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("evil.example", null, HttpStatusCode.Forbidden)]
    [InlineData(null, "http://evil.example", HttpStatusCode.Forbidden)]
    [InlineData(null, "null", HttpStatusCode.Forbidden)]
    [InlineData(null, "own", HttpStatusCode.OK)]
    public async Task Deck_AddedFromElsewhere_IsRefused(string? hostName, string? origin, HttpStatusCode expected)
    {
        await using var bench = await Bench.Start();
        using var client = new HttpClient();
        using var call = new HttpRequestMessage(HttpMethod.Post, bench.Origin + "/api/decks")
        {
            Content = new StringContent("""{"serial":"77"}"""),
        };
        if (hostName is not null)
            call.Headers.Host = hostName;
        if (origin is not null)
            call.Headers.Add("Origin", origin == "own" ? bench.Origin : origin);
        using var answer = await client.SendAsync(call, Stop);
        Assert.Equal(expected, answer.StatusCode);
        Assert.Equal(expected == HttpStatusCode.OK ? 2 : 1, bench.Shelf.Book.Decks().Count);
    }

    [Theory]
    [InlineData("/files/..%2f..%2fetc%2fpasswd")]
    [InlineData("/files/%2e%2e/service-book.db")]
    [InlineData("/files/nothing.js")]
    public async Task File_NotAmongThePages_IsNotThere(string path)
    {
        await using var bench = await Bench.Start();
        using var client = new HttpClient();
        using var answer = await client.GetAsync(new Uri(bench.Origin + path), Stop);
        var text = await answer.Content.ReadAsStringAsync(Stop);
        Assert.True(answer.StatusCode == HttpStatusCode.NotFound || text.StartsWith("<!doctype html>", StringComparison.Ordinal), text);
    }

    [Fact]
    public async Task Page_Sent_AllowsScriptsOfItsOwnAlone()
    {
        await using var bench = await Bench.Start();
        using var client = new HttpClient();
        using var answer = await client.GetAsync(new Uri(bench.Origin + "/speed"), Stop);
        var policy = Assert.Single(answer.Headers.GetValues("Content-Security-Policy"));
        Assert.Contains("default-src 'none'; script-src 'self';", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("http", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Socket_FromAnotherSite_IsRefused()
    {
        await using var bench = await Bench.Start();
        using var socket = new ClientWebSocket();
        socket.Options.SetRequestHeader("Origin", "http://evil.example");
        await Assert.ThrowsAsync<WebSocketException>(() =>
            socket.ConnectAsync(new Uri(bench.Origin.Replace("http", "ws", StringComparison.Ordinal) + "/live"), Stop)
        );
    }

    [Fact]
    public async Task Sound_OfAMonoInputWithABlockMissing_IsToldBoth()
    {
        await using var bench = await Bench.Start();
        using var socket = await Connect(bench);
        await Say(socket, """{"do":"microphone","rate":48000}""");
        for (uint number = 0; number < 200; number++)
        {
            if (number != 150)
                await socket.SendAsync(
                    Block(number, 480, (i, _) => (float)(0.2 * Math.Sin(2 * Math.PI * 1000 * ((number * 480) + i) / 48000))),
                    WebSocketMessageType.Binary,
                    true,
                    Stop
                );
        }

        using var picture = await Until(socket, p => p.TryGetProperty("block", out var b) && b.GetUInt32() == 199);
        Assert.Equal(1, picture.RootElement.GetProperty("lostBlocks").GetInt32());
        Assert.Contains(
            picture.RootElement.GetProperty("input").GetProperty("notes").EnumerateArray(),
            n => n.GetProperty("code").GetString() == "identical-channels"
        );
    }

    [Fact]
    public async Task Socket_SentNonsense_GoesOn()
    {
        await using var bench = await Bench.Start();
        using var socket = await Connect(bench);
        foreach (
            var text in new[]
            {
                "",
                "{",
                "[]",
                """{"do":"microphone","rate":-5}""",
                """{"do":"microphone","rate":1e300}""",
                """{"do":"knob","name":"../x","turns":1}""",
                """{"do":"keep","measurement":"nothing"}""",
                """{"do":"deck","job":"00000000-0000-0000-0000-000000000001"}""",
            }
        )
            await Say(socket, text);
        await socket.SendAsync(new byte[20], WebSocketMessageType.Binary, true, Stop);
        await Say(socket, """{"do":"microphone","rate":48000}""");
        using var picture = await Until(socket, p => p.GetProperty("source").GetString() == "microphone");
        Assert.Equal(48000, picture.RootElement.GetProperty("input").GetProperty("rate").GetInt32());
    }

    [Theory]
    [InlineData("{}", true)]
    [InlineData("../../etc/passwd", true)]
    [InlineData(
        "{\"name\":\"t\",\"speedCmPerS\":19.05,\"tones\":[{\"frequencyHz\":1000,\"levelDb\":0,\"seconds\":6,\"role\":\"reference\"}]}",
        false
    )]
    public async Task Leaflet_ThatCannotBeRead_IsSaid(string leaflet, bool refused)
    {
        await using var bench = await Bench.Start();
        using var socket = await Connect(bench);
        await Say(socket, JsonSerializer.Serialize(new Dictionary<string, string> { ["do"] = "deck", ["tape"] = leaflet }));
        using var picture = await Until(socket, p => !refused || p.GetProperty("problem").ValueKind == JsonValueKind.String);
        Assert.Equal(
            refused,
            picture
                .RootElement.GetProperty("problem")
                .GetString()
                ?.StartsWith("The test tape's leaflet cannot be used", StringComparison.Ordinal)
                ?? false
        );
    }

    [Fact]
    public async Task File_Dropped_IsMeasuredAsTheCommandLineDoes()
    {
        await using var bench = await Bench.Start();
        var folder = Directory.CreateTempSubdirectory().FullName;
        var sound = FakeMicrophone.Write(folder);
        using var client = new HttpClient();
        using var call = new HttpRequestMessage(
            HttpMethod.Post,
            $"{bench.Origin}/api/measure/azimuth?name=tones.wav&job={bench.Job}&direction=forward&speed=19.05"
        )
        {
            Content = new StreamContent(File.OpenRead(sound.Tones)),
        };
        call.Headers.Add("Origin", bench.Origin);
        using var answer = await client.SendAsync(call, Stop);
        var lines = (await answer.Content.ReadAsStringAsync(Stop)).Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.True(lines.Length > 1, "no progress was told");
        using var last = JsonDocument.Parse(lines[^1]);
        var told = last
            .RootElement.GetProperty("readings")
            .EnumerateArray()
            .First(r => r.GetProperty("quantity").GetString() == "time-skew")
            .GetProperty("value")
            .GetDouble();
        var direct = FileMeasurement.Run(
            Spoolwright.Bench.Measurements.Catalogue.Find("azimuth")!,
            sound.Tones,
            null,
            new Spoolwright.Bench.Measurements.MeasurementSettings(),
            []
        );
        Assert.Equal(direct.Result.Readings.First(r => r.Quantity == "time-skew").Value, told);
        Assert.Empty(Directory.EnumerateFiles(bench.Shelf.Arriving));
        Directory.Delete(folder, recursive: true);
    }

    private static async Task<ClientWebSocket> Connect(Bench bench)
    {
        var socket = new ClientWebSocket();
        socket.Options.SetRequestHeader("Origin", bench.Origin);
        await socket.ConnectAsync(new Uri(bench.Origin.Replace("http", "ws", StringComparison.Ordinal) + "/live"), Stop);
        return socket;
    }

    private static Task Say(ClientWebSocket socket, string text) =>
        socket.SendAsync(Encoding.UTF8.GetBytes(text), WebSocketMessageType.Text, true, Stop);

    private static async Task<JsonDocument> Until(ClientWebSocket socket, Func<JsonElement, bool> wanted)
    {
        var buffer = new byte[1 << 18];
        for (var i = 0; i < 300; i++)
        {
            var length = 0;
            ValueWebSocketReceiveResult got;
            do
            {
                got = await socket.ReceiveAsync(buffer.AsMemory(length), Stop);
                length += got.Count;
            }
            while (!got.EndOfMessage);
            var picture = JsonDocument.Parse(buffer.AsMemory(0, length).ToArray());
            if (wanted(picture.RootElement))
                return picture;
            picture.Dispose();
        }

        throw new TimeoutException("No picture was as wanted.");
    }

    private static byte[] Block(uint number, int frames, Func<int, int, float> sample)
    {
        var bytes = new byte[16 + (8 * frames)];
        BitConverter.TryWriteBytes(bytes, number);
        BitConverter.TryWriteBytes(bytes.AsSpan(4), frames);
        for (var c = 0; c < 2; c++)
        {
            for (var i = 0; i < frames; i++)
                BitConverter.TryWriteBytes(bytes.AsSpan(16 + (4 * ((c * frames) + i))), sample(i, c));
        }

        return bytes;
    }
}
