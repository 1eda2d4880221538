using System.Text.Json;
using Microsoft.Playwright;
using Spoolwright.App.Tests.Cli;

namespace Spoolwright.App.Tests.Browser;

/// <summary>The practice deck as live input, aligned by keys; what is kept is measured by the command line to the last digit.</summary>
[Collection("Chromium")]
public sealed class PracticeTests(ChromiumFixture chromium)
{
    [Fact]
    public async Task PracticeDeck_TurnedByKeys_MovesTheSkewAndIsAdvised()
    {
        await using var bench = await Bench.Start();
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/azimuth");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        await page.Keyboard.PressAsync("p");
        await page.Locator(".adjust[data-tone='10000']").WaitForAsync(new() { Timeout = 20_000 });
        await page.Keyboard.PressAsync("a");
        var before = await Settled(page);
        for (var i = 0; i < 6; i++)
            await page.Keyboard.PressAsync("ArrowRight");
        await ChromiumFixture.Until(
            page,
            "/turn (anti)?clockwise|met|limits/.test(document.querySelector('.next').textContent) && !/Waiting/.test(document.querySelector('.next').textContent)",
            10
        );
        // A picture may come late on a busy machine.
        await ChromiumFixture.Until(
            page,
            FormattableString.Invariant($"Math.abs(parseFloat(document.querySelector('.adjust').dataset.value) - ({before})) > 10"),
            20
        );
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task KeptCapture_MeasuredAgainByTheCommandLine_ReadsTheSameToTheLastDigit()
    {
        await using var bench = await Bench.Start();
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/azimuth");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        await page.Keyboard.PressAsync("p");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('practice')");
        await page.Keyboard.PressAsync("k");
        await ChromiumFixture.Until(page, "/^[✓✗]/.test(document.querySelector('[data-test=keep]').textContent)", 60);
        Assert.StartsWith("✓ Kept and filed", await page.Locator("[data-test=keep]").TextContentAsync(), StringComparison.Ordinal);

        var filed = Assert.Single(bench.Shelf.Book.ReadJob(bench.Job).Measurements);
        Assert.Equal("azimuth", filed.Entry.Measurement);
        var capture = Directory
            .EnumerateFiles(bench.Shelf.Book.CapturesFolder, filed.Entry.Capture.Sha256 + ".wav", SearchOption.AllDirectories)
            .Single();
        var run = CliRun.Of("measure", "azimuth", capture, "--json");
        using var json = JsonDocument.Parse(run.Output);
        var told = json
            .RootElement.GetProperty("readings")
            .EnumerateArray()
            .Where(r => r.GetProperty("quantity").GetString() is "time-skew" or "phase")
            .Select(r => r.GetProperty("value").GetDouble())
            .ToArray();
        Assert.NotEmpty(told);
        Assert.Equal(told, filed.Result.Readings.Where(r => r.Quantity is "time-skew" or "phase").Select(r => r.Value));

        await page.Keyboard.PressAsync("2");
        await page.Locator(".cell[data-verdict='met'], .cell[data-verdict='not-met'], .cell[data-verdict='not-proven']")
            .First.WaitForAsync();
        if (Environment.GetEnvironmentVariable("SPOOLWRIGHT_PICTURES") is { Length: > 0 } folder)
            await page.ScreenshotAsync(new() { Path = Path.Combine(folder, "matrix-filed.png") });
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    // The skew is a mean over a second or so: two looks a second apart say when it has come to rest, however slow the machine is.
    private static async Task<double> Settled(IPage page)
    {
        double last = double.NaN;
        for (var look = 0; look < 20; look++)
        {
            await page.WaitForTimeoutAsync(1000);
            var now = Figure(await page.Locator(".adjust").EvaluateAsync<string>("e => e.dataset.value"));
            if (Math.Abs(now - last) < 0.5)
            {
                return now;
            }

            last = now;
        }

        throw new TimeoutException($"The skew does not come to rest; last {last} µs.");
    }

    private static double Figure(string text) => double.Parse(text, System.Globalization.CultureInfo.InvariantCulture);
}
