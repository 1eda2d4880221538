using System.Net;

namespace Spoolwright.App.Tests.Browser;

/// <summary>Addresses at which nothing stands: a person sees the bench's page with a sentence, a call gets JSON.</summary>
[Collection("Chromium")]
public sealed class NothingThereTests(ChromiumFixture chromium)
{
    private const string NoId = "11111111-1111-1111-1111-111111111111";

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("/record/" + NoId, "There is no job " + NoId)]
    [InlineData("/record/" + NoId + "/sheet", "There is no job " + NoId)]
    [InlineData("/record/field?profile=%3Cb%3E", "no deck of the profile &quot;&lt;b&gt;&quot;")]
    [InlineData("/record/nothing", "There is nothing at /record/nothing.")]
    public async Task Record_ThatIsNotThere_IsThePageAndSaysWhy(string address, string says)
    {
        await using var bench = await Bench.Start();
        using var client = new HttpClient();
        using var answer = await client.GetAsync(new Uri(bench.Origin + address), Stop);
        Assert.Equal(HttpStatusCode.NotFound, answer.StatusCode);
        Assert.Equal("text/html", answer.Content.Headers.ContentType?.MediaType);
        Assert.Contains(says, await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", Assert.Single(answer.Headers.GetValues("Content-Security-Policy")), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("/api/nothing", HttpStatusCode.NotFound)]
    [InlineData("/api/book/job/no-id", HttpStatusCode.NotFound)]
    [InlineData("/api/book/job/" + NoId, HttpStatusCode.UnprocessableEntity)]
    [InlineData("/api/book/photo/abc", HttpStatusCode.UnprocessableEntity)]
    public async Task Call_OfWhatIsNotThere_IsAnsweredInJson(string address, HttpStatusCode expected)
    {
        await using var bench = await Bench.Start();
        using var client = new HttpClient();
        using var answer = await client.GetAsync(new Uri(bench.Origin + address), Stop);
        Assert.Equal(expected, answer.StatusCode);
        Assert.Equal("application/json", answer.Content.Headers.ContentType?.MediaType);
        Assert.StartsWith("{\"problem\":\"", await answer.Content.ReadAsStringAsync(Stop), StringComparison.Ordinal);
    }

    [Fact]
    public async Task UnknownAddress_InTheBrowser_ShowsTheDecksAndSaysSo()
    {
        await using var bench = await Bench.Start();
        var (page, _) = await chromium.Open(bench);
        await page.GotoAsync($"{bench.Origin}/audit");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('There is nothing at /audit')");
        await ChromiumFixture.Until(page, "document.querySelector('#screen h1') !== null");

        await page.GotoAsync($"{bench.Origin}/record/{NoId}");
        await ChromiumFixture.Until(page, $"document.querySelector('#said').textContent.includes('There is no job {NoId}')");
        await ChromiumFixture.Until(page, "document.querySelector('#keys button') !== null");
        await chromium.Picture(page, "nothing-there");

        // What was said there is not true of the next page.
        await page.Keyboard.PressAsync("4");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent === ''");
    }
}
