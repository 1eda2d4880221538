using System.Net;
using System.Text;
using System.Text.Json;
using Dapper;
using Spoolwright.App.Desk;
using Spoolwright.App.Tests.Storage;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Tests.Browser;

/// <summary>The calls of the service book's pages, asked without a browser.</summary>
public sealed class BookCallsTests(YearBook year) : IClassFixture<YearBook>
{
    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Tables_OfEveryPage_GiveTheSameRowsAsCsvAndJson()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var tables = 0;
        foreach (var address in Pages(bench))
        {
            using var page = await Get(client, bench, address);
            Assert.False(page.RootElement.TryGetProperty("problem", out var problem), $"{address}: {problem}");
            foreach (var table in page.RootElement.GetProperty("tables").EnumerateArray())
            {
                var (id, count) = (table.GetProperty("id").GetString(), table.GetProperty("count").GetInt32());
                var join = address.Contains('?', StringComparison.Ordinal) ? '&' : '?';
                using var json = await Get(client, bench, $"{address}{join}table={id}&as=json");
                Assert.Equal(count, json.RootElement.GetArrayLength());
                using var answer = await client.GetAsync(new Uri($"{bench.Origin}{address}{join}table={id}&as=csv"), Stop);
                Assert.Equal("text/csv", answer.Content.Headers.ContentType?.MediaType);
                var rows = Csv(await answer.Content.ReadAsStringAsync(Stop));
                Assert.Equal(count + 1, rows.Count);
                Assert.All(rows, r => Assert.Equal(table.GetProperty("columns").GetArrayLength(), r.Count));
                if (count > 0)
                    Assert.Equal(json.RootElement[0].EnumerateObject().Select(p => p.Value.ToString()), rows[1]);
                tables++;
            }
        }

        Assert.True(tables > 30, $"{tables} tables were seen");
    }

    [Fact]
    public async Task Causes_NotLearnedYet_AreToldAtOnce_AndLearnedMeanwhile()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        using var known = await Get(client, bench, "/api/book/causes");
        var finished = known.RootElement.GetProperty("finishedJobs").GetInt32();
        Assert.True(finished > 5);
        Assert.Equal(finished, known.RootElement.GetProperty("weighedJobs").GetInt32());
        Assert.DoesNotContain("so far", known.RootElement.GetProperty("lines").ToString(), StringComparison.Ordinal);
        Assert.False(bench.Shelf.Learner.Works);

        using (var raw = BookOnDisk.Raw(Path.Combine(bench.Folder, "service-book.db")))
            raw.Execute("DELETE FROM cause_lesson");
        using var early = await Get(client, bench, "/api/book/causes");
        Assert.Contains($"of {finished} finished jobs are weighed so far; the others are being weighed", early.RootElement.GetProperty("lines").ToString(), StringComparison.Ordinal);
        Assert.True(early.RootElement.GetProperty("weighedJobs").GetInt32() < finished);
        while (bench.Shelf.Learner.Works)
            await Task.Delay(20, Stop);
        using var late = await Get(client, bench, "/api/book/causes");
        Assert.Equal(known.RootElement.ToString(), late.RootElement.ToString());
    }

    [Fact]
    public async Task Pages_OfAYear_HaveSomethingTrueToShow()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var empty = new List<string>();
        foreach (var address in Pages(bench))
        {
            using var page = await Get(client, bench, address);
            if (page.RootElement.GetProperty("tables").EnumerateArray().All(t => t.GetProperty("count").GetInt32() == 0))
                empty.Add(address);
        }

        // The book's own figures, by the desks that the commands use.
        using var decks = await Get(client, bench, "/api/book/decks");
        Assert.Equal(bench.Shelf.Book.Decks().Count, decks.RootElement.GetProperty("tables")[0].GetProperty("count").GetInt32());
        using var job = await Get(client, bench, $"/api/book/job/{bench.Job}");
        var board = new PlanDesk(bench.Shelf.Book).Board(bench.Job);
        Assert.Equal(board.Tasks.Select(t => t.Task.Title), job.RootElement.GetProperty("tables")[0].GetProperty("rows").EnumerateArray().Select(r => r.GetProperty("cells")[1].GetString()));
        Assert.Equal(["/api/book/search?q="], empty);
    }

    [Fact]
    public async Task Writes_FromElsewhere_AreRefusedAndWriteNothing()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var before = bench.Shelf.Book.Lately(1)[0].Id;
        foreach (var address in new[] { $"job/{bench.Job}/clock", $"job/{bench.Job}/fault", "parts/doubt", "offers/add", "decks/take-in", "instruments/keep", "book/undo", "book/shop", $"photo/{bench.Job}?assembly=x" })
        {
            foreach (var origin in new[] { null, "http://evil.example", "null" })
            {
                using var call = new HttpRequestMessage(HttpMethod.Post, $"{bench.Origin}/api/book/{address}") { Content = new StringContent("""{"task":"intake","assembly":"x","what":"y"}""") };
                if (origin is not null)
                    call.Headers.Add("Origin", origin);
                using var answer = await client.SendAsync(call, Stop);
                Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
            }
        }

        Assert.Equal(before, bench.Shelf.Book.Lately(1)[0].Id);
    }

    [Fact]
    public async Task Clock_TurnedTwice_IsOneSittingAndItsUndoingLeavesNothingOut()
    {
        await using var bench = await Bench.Start();
        var book = bench.Shelf.Book;
        var job = new JobDesk(book).Open(book.Decks()[0], "Whole restoration");
        using var client = new HttpClient();
        var task = new PlanDesk(book).Board(job.Id).Next!.Task.Key;
        await Post(client, bench, $"job/{job.Id}/clock", new { task });
        Assert.NotNull(new PlanDesk(book).Board(job.Id).Find(task).Running);
        using var stopped = await Post(client, bench, $"job/{job.Id}/clock", new { task });
        Assert.Null(new PlanDesk(book).Board(job.Id).Find(task).Running);
        var entry = stopped.RootElement.GetProperty("entries")[0];
        using var undone = await Post(client, bench, "book/undo", new { table = entry.GetProperty("table").GetString(), id = entry.GetProperty("id").GetString() });
        Assert.NotNull(new PlanDesk(book).Board(job.Id).Find(task).Running); // it runs on, as before the slip
        Assert.Equal(3, book.Everything<ClockEntry>(job.Id).Count);
        var again = undone.RootElement.GetProperty("entries")[0];
        await Post(client, bench, "book/undo", new { table = again.GetProperty("table").GetString(), id = again.GetProperty("id").GetString() });
        Assert.Null(new PlanDesk(book).Board(job.Id).Find(task).Running);
        using var stale = await Post(client, bench, "book/undo", new { table = entry.GetProperty("table").GetString(), id = entry.GetProperty("id").GetString() });
        Assert.Contains("already", stale.RootElement.GetProperty("problem").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Job_ClosedByASlip_IsOpenedAgainByUndoing()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        using var closed = await Post(client, bench, $"job/{bench.Job}/close", new { });
        Assert.NotNull(bench.Shelf.Book.JobHead(bench.Job).Job.Closed);
        await Post(client, bench, "book/undo", new { table = "act", id = closed.RootElement.GetProperty("act").GetString() });
        Assert.Null(bench.Shelf.Book.JobHead(bench.Job).Job.Closed);
    }

    [Theory]
    [InlineData("job/{job}/tick", """{"key":"nothing-such","outcome":"works"}""", "no check is called nothing-such", true)]
    [InlineData("job/{job}/enter", """{"task":"intake","time":"soon"}""", "soon", false)]
    [InlineData("job/{job}/cost", """{"amount":"12","what":"x","day":"2199-01-01"}""", "2199-01-01 lies in the future; it is written down once it has happened", false)]
    [InlineData("job/{job}/cost", """{"amount":"1,500","what":"x"}""", "rite 1500, or 1.50", false)]
    [InlineData("job/{job}/nonsense", "{}", "Nothing is called nonsense", false)]
    [InlineData("parts/receive", """{"supply":"nothing"}""", "missing", false)]
    [InlineData("book/undo", """{"table":"deck","id":"00000000-0000-0000-0000-000000000001"}""", "keeps no entries in deck", false)]
    [InlineData("book/undo", """{"table":"fault; DROP TABLE fault","id":"00000000-0000-0000-0000-000000000001"}""", "keeps no entries", false)]
    public async Task Writes_ThatMakeNoSense_AreRefusedInOneLine(string address, string said, string expected, bool capital)
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var before = bench.Shelf.Book.Lately(1)[0].Id;
        using var call = Call(bench, address.Replace("{job}", bench.Job.ToString(), StringComparison.Ordinal), said);
        using var answer = await client.SendAsync(call, Stop);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
        using var refused = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop));
        var problem = refused.RootElement.GetProperty("problem").GetString()!;
        Assert.Contains(expected, problem, StringComparison.OrdinalIgnoreCase);
        Assert.True(!capital || char.IsUpper(problem[0]), problem);
        Assert.Equal(before, bench.Shelf.Book.Lately(1)[0].Id);
    }

    [Fact]
    public async Task Body_LargerThanACallTakes_IsRefused()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        using var call = Call(bench, "book/keep-plan", "{\"file\":\"" + new string('x', 2 << 20) + "\"}");
        using var answer = await client.SendAsync(call, Stop);
        Assert.Equal(HttpStatusCode.UnprocessableEntity, answer.StatusCode);
    }

    [Fact]
    public async Task Offer_OfAKindWithoutJobs_SaysWhatIsMissingAndIsWeighedWithIt()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var (desk, day) = (new OfferDesk(bench.Shelf.Book), new DateOnly(2026, 3, 2));
        var offer = desk.Add(new Offer { ProfileName = "Marrowby 99", Asked = new Money(180, "EUR"), Seller = "R. Pell", Day = day });
        desk.AddPrice("Marrowby 99", new Money(900, "EUR"), day, "auction");
        string address = $"/api/book/offer/{offer.Root}";
        using var without = await Get(client, bench, address);
        Assert.StartsWith("It cannot be weighed: no closed job on a Marrowby 99 says what its parts cost", without.RootElement.GetProperty("warnings")[0].GetString(), StringComparison.Ordinal);
        using var weighed = await Get(client, bench, address + "?parts=60,50");
        var parts = weighed.RootElement.GetProperty("tables")[0].GetProperty("rows").EnumerateArray().Single(r => r.GetProperty("cells")[0].GetString() == "Parts").GetProperty("cells");
        var known = desk.Weigh(offer, new OfferTerms(Parts: new Money(60.5m, "EUR"))).Weighing.Parts.Mean;
        Assert.Equal(Math.Round(known), parts[1].GetDouble());
        using var wrong = await Get(client, bench, address + "?parts=some");
        Assert.Contains("is no amount of money", wrong.RootElement.GetProperty("warnings")[0].GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Search_ForWordsOfEveryKind_LeadsToTheirPages()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        new CheckDesk(bench.Shelf.Book).AddFault(bench.Job, "head block", "groove by a wandering guide", Spoolwright.Bench.Mark.AsFound);
        foreach (var (words, kind, page) in new[]
        {
            ("740 0391", "deck", "/book/deck/"), ("wandering", "fault", $"/book/job/{bench.Job}"), ("B-4402", "lot", "/book/lot/B-4402"), ("sprayed throughout", "offer", "/book/offer/"), ("dust cover", "accessory", $"/book/job/{bench.Job}"),
            ("Ashgrove", "sale", "/book/money/"), ("Ashgrove", "owner", "/book/deck/"), ("Brandreth", "offer", "/book/offer/"),
        })
        {
            using var found = await Get(client, bench, "/api/book/search?q=" + Uri.EscapeDataString(words));
            var rows = found.RootElement.GetProperty("tables")[0].GetProperty("rows").EnumerateArray().ToList();
            Assert.True(rows.Exists(r => r.GetProperty("cells")[0].GetString() == kind && r.GetProperty("to").GetString()!.StartsWith(page, StringComparison.Ordinal)), $"{words} as {kind}: {string.Join(" | ", rows)}");
        }

        // What was taken back is not found; what was corrected is found as it stands.
        var fault = bench.Shelf.Book.Standing<Fault>(bench.Job).Single(f => f.What.Contains("wandering", StringComparison.Ordinal));
        new CheckDesk(bench.Shelf.Book).Fix(bench.Job, CheckBoard.ShortKey(fault.Id), "guide set square");
        Assert.Single(bench.Shelf.Book.Search("wandering square"));
        bench.Shelf.Book.Withdraw<Fault>(bench.Shelf.Book.Standing<Fault>(bench.Job).Single(f => f.Root == fault.Root).Id, "another deck");
        Assert.Empty(bench.Shelf.Book.Search("wandering"));
    }

    [Fact]
    public async Task Sale_Undone_TakesTheOwnerBackToo()
    {
        await using var bench = await Bench.StartOnYear(year);
        using var client = new HttpClient();
        var deck = bench.Shelf.Book.JobHead(bench.Job).Deck.Id;
        var before = bench.Shelf.Book.Standing<DeckOwner>(deck).Count;
        using var sold = await Post(client, bench, $"job/{bench.Job}/sold", new { price = "900", buyer = "P. Lark" });
        Assert.Equal(before + 1, bench.Shelf.Book.Standing<DeckOwner>(deck).Count);
        foreach (var entry in sold.RootElement.GetProperty("entries").EnumerateArray().Reverse())
            await Post(client, bench, "book/undo", new { table = entry.GetProperty("table").GetString(), id = entry.GetProperty("id").GetString() });
        Assert.Equal(before, bench.Shelf.Book.Standing<DeckOwner>(deck).Count);
        Assert.Empty(bench.Shelf.Book.Standing<Sale>(bench.Job));
    }

    /// <summary>Every page of the book's, one of each kind.</summary>
    internal static IReadOnlyList<string> Pages(Bench bench)
    {
        var book = bench.Shelf.Book;
        var deck = book.JobHead(bench.Job).Deck;
        return
        [
            $"/api/book/job/{bench.Job}", $"/api/book/money/{bench.Job}", $"/api/book/photos/{bench.Job}", $"/api/book/listing/{bench.Job}", $"/api/book/signing/{bench.Job}", $"/api/book/aftercare/{book.Jobs(book.Jobs().Single(j => j.What.StartsWith("Measured again", StringComparison.Ordinal)).DeckId)[0].Id}", "/api/book/decks", $"/api/book/deck/{deck.Id}", "/api/book/offers",
            $"/api/book/offer/{new OfferDesk(book).Offers().Last(o => o.Decision == OfferDecision.Open).Root}", "/api/book/parts", "/api/book/lot/B-4402", "/api/book/instruments",
            $"/api/book/instrument/{new InstrumentDesk(book).Histories().First(h => h.Events.Count > 0).Instrument.Root}", "/api/book/kinds", $"/api/book/field/{Uri.EscapeDataString(deck.ProfileName)}?deck={deck.Id}",
            $"/api/book/ails/{book.Jobs().First(j => j.Closed is not null).Id}", "/api/book/causes", "/api/book/symptoms", "/api/book/symptoms?q=dull", "/api/book/search?q=", "/api/book/search?q=740", "/api/book/lately", "/api/book/plans", "/api/book/shop", "/api/book/tables",
        ];
    }

    private static async Task<JsonDocument> Get(HttpClient client, Bench bench, string address) => JsonDocument.Parse(await client.GetStringAsync(new Uri(bench.Origin + address), Stop));

    private static HttpRequestMessage Call(Bench bench, string address, string said)
    {
        var call = new HttpRequestMessage(HttpMethod.Post, $"{bench.Origin}/api/book/{address}") { Content = new StringContent(said) };
        call.Headers.Add("Origin", bench.Origin);
        return call;
    }

    private static async Task<JsonDocument> Post(HttpClient client, Bench bench, string address, object said)
    {
        using var call = Call(bench, address, JsonSerializer.Serialize(said));
        using var answer = await client.SendAsync(call, Stop);
        return JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Stop));
    }

    // A reader of its own, by RFC 4180.
    private static List<List<string>> Csv(string text)
    {
        var (rows, row, field, quoted) = (new List<List<string>>(), new List<string>(), new StringBuilder(), false);
        for (var i = 0; i < text.Length; i++)
        {
            var c = text[i];
            if (quoted && c == '"' && i + 1 < text.Length && text[i + 1] == '"')
                field.Append(text[++i]);
            else if (c == '"')
                quoted = !quoted;
            else if (!quoted && c == ',')
                End(row, field);
            else if (!quoted && c == '\r' && text[i + 1] == '\n')
            {
                End(row, field);
                rows.Add(row);
                row = [];
                i++;
            }
            else
                field.Append(c);
        }

        return rows;

        static void End(List<string> row, StringBuilder field)
        {
            row.Add(field.ToString());
            field.Clear();
        }
    }
}
