using System.Net;
using System.Net.WebSockets;
using Spoolwright.App.Web;

namespace Spoolwright.App.Tests.Browser;

/// <summary>A tablet at another address of this machine: nothing without the code, no more than it is meant to do with it.</summary>
public sealed class PairingTests
{
    // Another of this machine's addresses, there without a network.
    private static readonly IPAddress Other = IPAddress.Parse("127.0.0.2");

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Bench_NotTold_ListensAtTheLoopbackAddressAlone()
    {
        await using var bench = await Bench.Start();
        using var client = new HttpClient();
        await Assert.ThrowsAsync<HttpRequestException>(() => client.GetAsync(new Uri($"http://127.0.0.2:{bench.Address.Port}/"), Stop));
    }

    [Theory]
    [InlineData("/", HttpStatusCode.Redirect)]
    [InlineData("/speed", HttpStatusCode.Redirect)]
    [InlineData("/files/main.js", HttpStatusCode.Redirect)]
    [InlineData("/api/home", HttpStatusCode.Forbidden)]
    [InlineData("/api/signal/bias", HttpStatusCode.Forbidden)]
    [InlineData("/record/00000000-0000-0000-0000-000000000001", HttpStatusCode.Redirect)]
    [InlineData("/pair", HttpStatusCode.OK)]
    public async Task Tablet_NotPaired_GetsTheFormAlone(string path, HttpStatusCode expected)
    {
        await using var bench = await Bench.Start(listen: Other);
        using var client = Client();
        using var answer = await client.GetAsync(new Uri(Tablet(bench) + path), Stop);
        Assert.Equal(expected, answer.StatusCode);
        Assert.DoesNotContain("1207", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        await Assert.ThrowsAsync<WebSocketException>(async () => (await BenchSocket.Open(Tablet(bench))).Dispose());
    }

    [Fact]
    public async Task Tablet_WithTheCode_IsPairedOnceAndSeesThisMachinesSession()
    {
        await using var bench = await Bench.Start(listen: Other);
        using var own = await BenchSocket.Open(bench.Origin);
        await own.Say($$"""{"do":"deck","job":"{{bench.Job}}","direction":"reverse","speed":9.525}""");
        await own.Until(p => p.GetProperty("bench").GetProperty("direction").GetString() == "reverse");
        var code = bench.Host.Pairing.NewCode();
        var cookie = await Pair(bench, $"{code[..4]} {code[4..]}");
        Assert.NotNull(cookie);
        Assert.Null(await Pair(bench, code)); // used up
        using var tablet = await BenchSocket.Open(Tablet(bench), cookie);
        await tablet.Until(p => p.GetProperty("bench").GetProperty("direction").GetString() == "reverse");

        // A tablet turns and keeps, but neither chooses the deck nor gives sound.
        await tablet.Say("""{"do":"deck","direction":"forward","speed":19.05}""");
        await tablet.Say("""{"do":"reference","db":-9}""");
        var seen = await own.Until(p => p.GetProperty("bench").GetProperty("reference").ToString() == "-9");
        Assert.Equal("reverse", seen.GetProperty("bench").GetProperty("direction").GetString());
    }

    [Theory]
    [InlineData("http://evil.example", null)]
    [InlineData(null, "evil.example")]
    [InlineData(null, "127.0.0.1")]
    public async Task Tablet_PairedFromElsewhere_IsRefused(string? origin, string? hostName)
    {
        await using var bench = await Bench.Start(listen: Other);
        var cookie = await Pair(bench, bench.Host.Pairing.NewCode());
        using var client = Client();
        using var call = new HttpRequestMessage(HttpMethod.Post, Tablet(bench) + "/api/decks")
        {
            Content = new StringContent("""{"serial":"77"}"""),
        };
        call.Headers.Add("Cookie", cookie);
        call.Headers.Add("Origin", origin ?? Tablet(bench));
        if (hostName is not null)
            call.Headers.Host = hostName;
        using var answer = await client.SendAsync(call, Stop);
        Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
        Assert.Single(bench.Shelf.Book.Decks());
    }

    [Fact]
    public async Task Code_AskedForByATablet_IsNotGiven()
    {
        await using var bench = await Bench.Start(listen: Other);
        var cookie = await Pair(bench, bench.Host.Pairing.NewCode());
        using var client = Client();
        using var call = new HttpRequestMessage(HttpMethod.Post, Tablet(bench) + "/api/pair");
        call.Headers.Add("Cookie", cookie);
        call.Headers.Add("Origin", Tablet(bench));
        using var answer = await client.SendAsync(call, Stop);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
    }

    [Fact]
    public void Code_TriedFiveTimesWrongly_IsVoid()
    {
        var pairing = new Pairing(TimeProvider.System);
        var code = pairing.NewCode();
        var wrong = code == "00000000" ? "00000001" : "00000000";
        for (var i = 0; i < 5; i++)
            Assert.Null(pairing.Redeem(wrong));
        Assert.Null(pairing.Redeem(code));
        Assert.NotNull(pairing.Redeem(pairing.NewCode()));
    }

    [Fact]
    public void Code_AfterFiveMinutes_IsVoid()
    {
        var clock = new Clock();
        var pairing = new Pairing(clock);
        var code = pairing.NewCode();
        clock.Now += Pairing.CodeLife + TimeSpan.FromSeconds(1);
        Assert.Null(pairing.Redeem(code));
    }

    [Fact]
    public async Task Tablet_AfterTwelveHours_IsPairedNoMore()
    {
        var clock = new Clock();
        await using var bench = await Bench.Start(listen: Other, clock: clock);
        var cookie = await Pair(bench, bench.Host.Pairing.NewCode());
        async Task<HttpStatusCode> Ask()
        {
            using var client = Client();
            using var call = new HttpRequestMessage(HttpMethod.Get, Tablet(bench) + "/api/home");
            call.Headers.Add("Cookie", cookie);
            using var answer = await client.SendAsync(call, Stop);
            return answer.StatusCode;
        }

        Assert.Equal(HttpStatusCode.OK, await Ask());
        clock.Now += Pairing.TabletLife;
        Assert.Equal(HttpStatusCode.Forbidden, await Ask());
    }

    private static string Tablet(Bench bench) => $"http://127.0.0.2:{bench.Address.Port}";

    private static HttpClient Client() => new(new HttpClientHandler { AllowAutoRedirect = false, UseCookies = false });

    // The cookie as a browser sends it back; null where it was refused.
    private static async Task<string?> Pair(Bench bench, string code)
    {
        using var client = Client();
        using var call = new HttpRequestMessage(HttpMethod.Post, Tablet(bench) + "/pair")
        {
            Content = new FormUrlEncodedContent([new("code", code)]),
        };
        call.Headers.Add("Origin", Tablet(bench));
        using var answer = await client.SendAsync(call, Stop);
        if (answer.StatusCode == HttpStatusCode.Forbidden)
            return null;
        var set = Assert.Single(answer.Headers.GetValues("Set-Cookie"));
        Assert.Contains("httponly", set, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("samesite=strict", set, StringComparison.OrdinalIgnoreCase);
        return set.Split(';')[0];
    }

    private sealed class Clock : TimeProvider
    {
        public DateTimeOffset Now { get; set; } = DateTimeOffset.UnixEpoch;

        public override DateTimeOffset GetUtcNow() => Now;
    }
}
