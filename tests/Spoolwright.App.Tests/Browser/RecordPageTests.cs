using Spoolwright.App.Tests.Reports;
using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Browser;

/// <summary>The record as a buyer opens it: in a real browser, wide and narrow, without a network.</summary>
public sealed class RecordPageTests(Browser browser) : IClassFixture<Browser>
{
    [Theory]
    [InlineData(1920, 1080)]
    [InlineData(1280, 800)]
    [InlineData(740, 360)]
    public async Task Record_InTheBrowser_LoadsAloneAndKeepsToItsWidth(int width, int height)
    {
        var file = Path.Combine(Path.GetTempPath(), $"spoolwright-record-{Guid.NewGuid():N}.html");
        await File.WriteAllTextAsync(file, HtmlRecord.Write(SampleRecord.Data()), TestContext.Current.CancellationToken);
        var page = await browser.Open(width, height);
        var complaints = new List<string>();
        var requests = new List<string>();
        page.Console += (_, message) =>
        {
            if (message.Type is "error" or "warning")
                complaints.Add(message.Text);
        };
        page.PageError += (_, error) => complaints.Add(error);
        page.Request += (_, request) => requests.Add(request.Url);
        try
        {
            await page.GotoAsync(new Uri(file).AbsoluteUri);
            Assert.Empty(complaints);
            Assert.All(
                requests,
                url =>
                    Assert.True(url.StartsWith("file:", StringComparison.Ordinal) || url.StartsWith("data:", StringComparison.Ordinal), url)
            );
            Assert.Equal(1, await page.Locator("h1").CountAsync());
            Assert.True(await page.Locator("svg").CountAsync() >= 8, "the plots are missing");

            // The page itself never scrolls sideways; a wide table may, within its own box.
            var overflow = await page.EvaluateAsync<int>(
                "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"
            );
            Assert.True(overflow <= 1, $"at {width} pixels the page is {overflow} pixels too wide");
            Assert.True(
                await page.EvaluateAsync<bool>("() => document.fonts.size > 0 && [...document.fonts].some(f => f.status === 'loaded')"),
                "the record's own typeface was not used"
            );
        }
        finally
        {
            await page.CloseAsync();
            File.Delete(file);
        }
    }

    [Fact]
    public async Task Record_InTheBrowser_HasNamesForItsDrawingsAndHeadsForItsTables()
    {
        var page = await browser.Open(1280, 800);
        await page.SetContentAsync(HtmlRecord.Write(SampleRecord.Data()));
        var drawings = await page.EvaluateAsync<int>(
            "() => [...document.querySelectorAll('svg')].filter(s => s.getAttribute('aria-hidden') !== 'true' && !s.getAttribute('aria-label') && !s.querySelector('title') && !s.closest('[aria-label],figure')).length"
        );
        Assert.Equal(0, drawings);
        var tables = await page.EvaluateAsync<int>(
            "() => [...document.querySelectorAll('table')].filter(t => !t.querySelector('th')).length"
        );
        Assert.Equal(0, tables);
        Assert.False(string.IsNullOrWhiteSpace(await page.EvaluateAsync<string>("() => document.documentElement.lang")));
        await page.CloseAsync();
    }
}
