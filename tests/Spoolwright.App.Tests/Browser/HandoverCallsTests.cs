using System.Net.Http.Json;
using System.Text.Json;
using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Tests.Browser;

/// <summary>Signing off, aftercare and corrections by the calls of their pages.</summary>
public sealed class HandoverCallsTests(YearBook year) : IClassFixture<YearBook>
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Record_WithPointsAcceptedInWords_IsSignedFromThePage_AndAnyoneCanCheckIt()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var book = bench.Shelf.Book;
        string key = Path.Combine(bench.Folder, "key.pem"),
            to = Path.Combine(bench.Folder, "handover"),
            fingerprint = SignOffDesk.NewKey(key);
        var checks = new CheckDesk(book);
        checks.AddFault(bench.Job, "case", "scratch on the lid", Mark.AsFound);
        foreach (var check in checks.Board(bench.Job).Checks.Where(c => c.AsLeft is null))
            checks.Tick(bench.Job, check.Check.Key, Mark.AsLeft, CheckOutcome.Works);

        using var blocked = await Post(client, bench, $"signing/{bench.Job}/sign", new { key, folder = to });
        Assert.Contains("scratch on the lid", blocked.RootElement.GetProperty("problem").GetString(), StringComparison.Ordinal);
        Assert.False(Directory.Exists(to));
        using (var page = await Get(client, bench, $"/api/book/signing/{bench.Job}"))
        {
            Assert.Contains(page.RootElement.GetProperty("lines").EnumerateArray(), l => l.GetString() == RecordSeal.DoesNotProve);
            foreach (var point in Table(page, "open-points").GetProperty("rows").EnumerateArray())
            {
                using var accepted = await Post(
                    client,
                    bench,
                    $"job/{bench.Job}/accept",
                    new { key = point.GetProperty("id").GetString(), words = "Left as it is, as pictured." }
                );
                Assert.False(accepted.RootElement.TryGetProperty("problem", out var problem), problem.ToString());
            }
        }

        using (var page = await Get(client, bench, $"/api/book/signing/{bench.Job}"))
        {
            Assert.Empty(Table(page, "open-points").GetProperty("rows").EnumerateArray());
            Assert.Contains(
                Table(page, "accepted").GetProperty("rows").EnumerateArray(),
                r => r.GetProperty("cells")[0].GetString() == "case, scratch on the lid"
            );
        }

        using var shown = await Post(client, bench, $"signing/{bench.Job}/fingerprint", new { key });
        Assert.Contains(fingerprint, shown.RootElement.GetProperty("said").GetString(), StringComparison.Ordinal);
        using var signed = await Post(client, bench, $"signing/{bench.Job}/sign", new { key, folder = to });
        Assert.Contains(fingerprint, signed.RootElement.GetProperty("said").GetString(), StringComparison.Ordinal);
        Assert.True(SignOffDesk.Check(Path.Combine(to, SignOffDesk.SheetName), fingerprint).Whole);
        using (var page = await Get(client, bench, $"/api/book/signing/{bench.Job}"))
        {
            Assert.Contains(
                page.RootElement.GetProperty("lines").EnumerateArray(),
                l => l.GetString()!.EndsWith("The record is as it was signed.", StringComparison.Ordinal)
            );
            Assert.Equal(fingerprint, Table(page, "signed").GetProperty("rows")[0].GetProperty("cells")[2].GetString());
        }

        // What changes afterwards is said.
        checks.AddFault(bench.Job, "feet", "one is missing", Mark.AsLeft);
        checks.Accept(bench.Job, CheckBoard.ShortKey(checks.Board(bench.Job).Faults.Single(f => f.Assembly == "feet").Id), "Three feet.");
        using (var page = await Get(client, bench, $"/api/book/signing/{bench.Job}"))
            Assert.Contains(
                page.RootElement.GetProperty("lines").EnumerateArray(),
                l => l.GetString()!.Contains("says something else since then", StringComparison.Ordinal)
            );
        foreach (var wrong in new[] { "", Path.Combine(bench.Folder, "none.pem") })
        {
            using var refused = await Post(client, bench, $"signing/{bench.Job}/sign", new { key = wrong, folder = to });
            Assert.True(refused.RootElement.TryGetProperty("problem", out _));
        }
    }

    [Fact]
    public async Task Deck_SeenAgain_ShowsWhatDrifted_AndOneThatWasNotSaysSo()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var book = bench.Shelf.Book;
        var returned = book.Jobs().Single(j => j.What.StartsWith("Measured again", StringComparison.Ordinal));
        var left = book.Jobs(returned.DeckId)[0];
        using var page = await Get(client, bench, $"/api/book/aftercare/{left.Id}");
        var rows = Table(page, "drift").GetProperty("rows").EnumerateArray().Select(r => r.GetProperty("cells")).ToList();
        var care = new FieldDesk(book).Since(left);
        Assert.Equal(care.Lines.Count, rows.Count);
        Assert.Equal(care.Lines.Count(l => l.Proven), rows.Count(r => r[6].GetString() == "drifted"));
        var drifted = Assert.Single(
            rows,
            r => r[0].GetString() == care.Lines.First(l => l.Proven && l.Key.Quantity == "azimuth-angle").Key.Words
        );
        // Each of the three is rounded by itself, to a hundredth of a minute here.
        Assert.Equal(drifted[3].GetDouble() - drifted[2].GetDouble(), drifted[4].GetDouble(), 0.0151);
        using var none = await Get(client, bench, $"/api/book/aftercare/{returned.Id}");
        Assert.Contains("no later job", none.RootElement.GetProperty("lines")[0].GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Owner_AndCost_AreCorrectedAndTakenBack_AndTheEarlierEntryIsShown()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var book = bench.Shelf.Book;
        var deck = book.JobHead(bench.Job).Deck.Id;
        var owner = new JobDesk(book).NewOwner(deck, "E. Marhs", new DateOnly(2020, 1, 2), null);
        await Done(client, bench, $"deck/{deck}/correct-owner", new { owner = owner.Id, name = "E. Marsh", since = "2020-01-03" });
        Assert.Contains(book.Standing<DeckOwner>(deck), o => o is { Name: "E. Marsh", Since: { Day: 3 } });
        using (var page = await Get(client, bench, $"/api/book/deck/{deck}"))
            Assert.Equal(
                [("E. Marsh", "stands"), ("E. Marhs", "corrected later")],
                Table(page, "owners")
                    .GetProperty("rows")
                    .EnumerateArray()
                    .Take(2)
                    .Select(r => (r.GetProperty("cells")[1].GetString()!, r.GetProperty("cells")[3].GetString()!))
            );

        var cost = new OfferDesk(book).AddCost(bench.Job, CostKind.Freight, new Money(45, "EUR"), new DateOnly(2026, 1, 5), "van");
        await Done(
            client,
            bench,
            $"job/{bench.Job}/correct-cost",
            new
            {
                cost = cost.Id,
                amount = "54",
                what = "van",
                kind = "freight",
                day = "2026-01-05",
            }
        );
        var corrected = Assert.Single(book.Standing<JobCost>(bench.Job), c => c.What == "van");
        Assert.Equal(new Money(54, "EUR"), corrected.Amount);
        await Done(client, bench, $"job/{bench.Job}/take-back-cost", new { cost = corrected.Id, why = "another job" });
        Assert.DoesNotContain(book.Standing<JobCost>(bench.Job), c => c.What == "van");
        using (var page = await Get(client, bench, $"/api/book/money/{bench.Job}"))
            Assert.Equal(
                ["taken back", "corrected later", "corrected later"],
                Table(page, "costs").GetProperty("rows").EnumerateArray().Take(3).Select(r => r.GetProperty("cells")[4].GetString())
            );
        var other = book.Jobs().First(j => j.Id != bench.Job);
        using var wrong = await Post(client, bench, $"job/{other.Id}/correct-cost", new { cost = cost.Id, amount = "1", what = "x" });
        Assert.Contains("another job", wrong.RootElement.GetProperty("problem").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Sample_KeptWithTheWords_StandsInTheListing_AndALinkThatRunsSomethingIsRefused()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        await Done(client, bench, $"job/{bench.Job}/listing", new { title = "Rebuilt", sample = "https://shop.example/740.html" });
        using var page = await Get(client, bench, $"/api/book/listing/{bench.Job}");
        Assert.Contains("https://shop.example/740.html", page.RootElement.GetProperty("text").GetString(), StringComparison.Ordinal);
        Assert.Contains(
            "https://shop.example/740.html",
            await client.GetStringAsync(new Uri($"{bench.Origin}/record/{bench.Job}/sheet"), Stop),
            StringComparison.Ordinal
        );
        using var refused = await Post(
            client,
            bench,
            $"job/{bench.Job}/listing",
            new { title = "Rebuilt", sample = "javascript:alert(1)" }
        );
        Assert.Contains("no address of a sound sample", refused.RootElement.GetProperty("problem").GetString(), StringComparison.Ordinal);
    }

    private static JsonElement Table(JsonDocument page, string id) =>
        page.RootElement.GetProperty("tables").EnumerateArray().Single(t => t.GetProperty("id").GetString() == id);

    private static async Task<JsonDocument> Get(HttpClient client, Bench bench, string address) =>
        JsonDocument.Parse(await client.GetStringAsync(new Uri(bench.Origin + address), Stop));

    private static async Task Done(HttpClient client, Bench bench, string address, object said)
    {
        using var answer = await Post(client, bench, address, said);
        Assert.False(answer.RootElement.TryGetProperty("problem", out var problem), problem.ToString());
    }

    private static async Task<JsonDocument> Post(HttpClient client, Bench bench, string address, object said)
    {
        using var call = new HttpRequestMessage(HttpMethod.Post, $"{bench.Origin}/api/book/{address}")
        {
            Content = JsonContent.Create(said),
        };
        call.Headers.Add("Origin", bench.Origin);
        using var answer = await client.SendAsync(call, Stop);
        return JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop));
    }
}
