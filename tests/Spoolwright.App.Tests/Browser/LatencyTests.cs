using System.Globalization;

namespace Spoolwright.App.Tests.Browser;

/// <summary>From a block of sound to the paint of the picture that holds it, in Chromium, as the page itself counts it.</summary>
[Collection("Chromium")]
public sealed class LatencyTests(ChromiumFixture chromium)
{
    [Fact]
    [Trait("Category", "Benchmark")] // by tools/live-load
    public async Task Block_FromTheInput_IsPaintedWithinATenthOfASecond()
    {
        await using var bench = await Bench.Start();
        var (page, _) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/speed");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        await page.Keyboard.PressAsync("i");
        await page.Locator("dialog[open]").WaitForAsync();
        await page.Keyboard.PressAsync("1");
        await page.WaitForTimeoutAsync(12_000);
        await page.Keyboard.PressAsync("g");
        await page.Keyboard.PressAsync("a");
        await page.Locator("[data-test=latency][data-count]")
            .WaitForAsync(new() { State = Microsoft.Playwright.WaitForSelectorState.Attached });
        var told = await page.Locator("[data-test=latency]")
            .EvaluateAsync<string>("e => [e.dataset.median, e.dataset.late, e.dataset.count].join(' ')");
        var figures = told.Split(' ').Select(f => double.Parse(f, CultureInfo.InvariantCulture)).ToArray();
        var load = await File.ReadAllTextAsync("/proc/loadavg", TestContext.Current.CancellationToken);
        var line = FormattableString.Invariant(
            $"block to paint in Chromium: median {figures[0]:0} ms, 95 % within {figures[1]:0} ms, of {figures[2]:0} pictures; load of the machine {load.Split(' ')[0]} on {Environment.ProcessorCount} cores"
        );
        TestContext.Current.TestOutputHelper!.WriteLine(line);
        Assert.True(figures[1] <= 100, line);
        await page.Context.CloseAsync();
    }
}
