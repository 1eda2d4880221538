using System.Text.Json;
using Spoolwright.App.Tests.Cli;

namespace Spoolwright.App.Tests.Browser;

/// <summary>Every page under axe-core, at the sizes that matter: nothing serious, nothing cut off.</summary>
[Collection("Chromium")]
public sealed class AccessibilityTests(ChromiumFixture chromium)
{
    private static readonly string Axe = Path.Combine(Tree.Root, "tools/pages/node_modules/axe-core/axe.min.js");

    [Theory]
    [InlineData(1280, 800)]
    [InlineData(1920, 1080)]
    [InlineData(844, 390)]
    [InlineData(844, 1180)]
    [InlineData(1180, 844)]
    public async Task Pages_UnderAxe_HaveNoSeriousFaultAndFit(int width, int height)
    {
        await using var bench = await Bench.Start();
        var (page, _) = await chromium.Open(bench, width, height);
        await page.GotoAsync(bench.Origin + "/");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        var faults = new List<string>();
        foreach (var key in new[] { "1", "2", "3", "4", "5", "6", "7", "8", "9", "0", "ga", "gb", "go", "g", "i" })
        {
            await page.Keyboard.PressAsync("Escape");
            foreach (var letter in key)
                await page.Keyboard.PressAsync(letter.ToString());
            await page.WaitForTimeoutAsync(250);
            if (key is "4" or "5" or "6" or "7" or "8" or "0")
            {
                await page.Keyboard.PressAsync("p");
                await page.Locator(".knob").First.WaitForAsync();
                await page.WaitForTimeoutAsync(key is "8" or "0" or "6" ? 3000 : 1500);
            }

            var wide = await page.EvaluateAsync<int>("document.documentElement.scrollWidth - document.documentElement.clientWidth");
            if (wide > 0)
                faults.Add($"page {key} is {wide} px wider than the screen");
            if (key.Length == 1 && "34567890".Contains(key, StringComparison.Ordinal))
            {
                var size = await page.Locator(".value").First.EvaluateAsync<double>("e => parseFloat(getComputedStyle(e).fontSize)");
                if (size < 0.12 * Math.Min(width, height))
                    faults.Add($"page {key}: the value is {size} px high");
                var over = await page.EvaluateAsync<string>(
                    "[...document.querySelectorAll('.value, .target')].filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.textContent).join(' | ')"
                );
                var under = await page.EvaluateAsync<string>(
                    """
                    (() => { const of = [...document.querySelectorAll('.adjust > section')].map(e => [e, e.getBoundingClientRect()]);
                      return of.flatMap(([a, r], i) => of.slice(i + 1).filter(([, q]) => r.left < q.right - 1 && q.left < r.right - 1 && r.top < q.bottom - 1 && q.top < r.bottom - 1).map(([b]) => a.className + ' on ' + b.className)).join(' | '); })()
                    """);
                if (under.Length > 0)
                    faults.Add($"page {key}: one part lies over another: {under}");
                if (over.Length > 0)
                    faults.Add($"page {key}: too wide for its place: {over}");
            }

            await page.EvaluateAsync(await File.ReadAllTextAsync(Axe, TestContext.Current.CancellationToken));
            var found = await page.EvaluateAsync<JsonElement>(
                "axe.run().then(r => r.violations.filter(v => v.impact === 'serious' || v.impact === 'critical').map(v => v.id + ': ' + v.nodes.map(n => n.html).join(' | ')))"
            );
            faults.AddRange(found.EnumerateArray().Select(f => $"page {key}: {f.GetString()}"));
            if (Environment.GetEnvironmentVariable("SPOOLWRIGHT_PICTURES") is { Length: > 0 } folder)
                await page.ScreenshotAsync(new() { Path = Path.Combine(folder, $"{width}-{key}.png") });
        }

        Assert.Empty(faults);
        await page.Context.CloseAsync();
    }
}
