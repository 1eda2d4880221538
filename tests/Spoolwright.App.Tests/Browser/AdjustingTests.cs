using System.Globalization;
using Microsoft.Playwright;

namespace Spoolwright.App.Tests.Browser;

/// <summary>
/// Every screen of an adjustment gone through by keys alone, on the practice deck: a value comes, its control is turned by what the bench
/// advises until the bench says to leave it, and then what stands lies within the limits shown. The deck's right replay head is dirty: of
/// the two equalizations there the bench must say that the trimmer's range ends first.
/// </summary>
[Collection("Chromium")]
public sealed class AdjustingTests(ChromiumFixture chromium)
{
    private const double FinestTurn = 0.01;

    // In real time, some ten seconds each: the same turns without a browser are in TurnDeskTests.
    [Theory]
    [Trait("Category", "Long")]
    [InlineData("4", "speed", "[data-test=speed]")]
    [InlineData("5", "azimuth", "[data-test=skew]")]
    [InlineData("6", "level", "[data-test=level-left]")]
    [InlineData("7", "equalization", "[data-test=equalization-left]")]
    [InlineData("8", "bias", "[data-test=bias-left]")]
    [InlineData("9", "record-level", "[data-test=record-level-left]")]
    [InlineData("0", "record-equalization", "[data-test=record-equalization-left]")]
    public async Task PracticeDeck_TurnedAsAdvised_ComesWithinItsLimits(string key, string name, string value)
    {
        await using var bench = await Bench.Start(practiceSpecimen: 4242);
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        await page.Keyboard.PressAsync(key);
        await page.Keyboard.PressAsync("p");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('practice')");
        if (name == "bias")
            await OverThePeak(page);
        await ChromiumFixture.Until(page, $"/\\d/.test(document.querySelector('{value}').textContent)", 20);
        await chromium.Picture(page, $"found-{name}");
        var rows = await page.Locator(".row").CountAsync();
        for (var row = 0; row < rows; row++)
        {
            var last = await Turn(page, row, name);
            if (row == 1 && name.EndsWith("equalization", StringComparison.Ordinal))
                Assert.StartsWith("Its range ends here", last, StringComparison.Ordinal);
            else
                Assert.StartsWith("✓", last, StringComparison.Ordinal);
            await page.Keyboard.PressAsync("ArrowDown");
        }

        await chromium.Picture(page, $"adjusted-{name}");
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    // As a person does it: from too little, in small turns, until both channels have gone over their tops.
    private static async Task OverThePeak(IPage page)
    {
        await ChromiumFixture.Until(
            page,
            "/over its top|settles|Past the peak|turn/.test(document.querySelector('.row .next').textContent)",
            20
        );
        for (var channel = 0; channel < 2; channel++)
        {
            for (var i = 0; i < 20; i++)
            {
                await page.Keyboard.PressAsync("Shift+ArrowLeft");
                await page.Keyboard.PressAsync("Shift+ArrowLeft");
            }

            await page.Keyboard.PressAsync("ArrowDown");
        }

        for (var channel = 0; channel < 2; channel++)
        {
            for (var i = 0; i < 60; i++)
            {
                await page.Keyboard.PressAsync("Shift+ArrowRight");
                await page.WaitForTimeoutAsync(350);
                var text = await page.Locator(".row .next").Nth(channel).InnerTextAsync();
                if (!text.Contains("top", StringComparison.Ordinal) && !text.Contains("side", StringComparison.Ordinal) && i > 8)
                    break;
            }

            await page.Keyboard.PressAsync("ArrowDown");
        }
    }

    // As the page asks where the top is not known well: back under it, and slowly over it again.
    private static async Task OverOnceMore(IPage page, int row)
    {
        var value = page.Locator(".value").Nth(row);
        async Task<double> Drop() =>
            double.TryParse((await value.InnerTextAsync()).Replace('−', '-'), CultureInfo.InvariantCulture, out var drop) ? drop : 0;
        for (var i = 0; i < 40 && await Drop() > -2; i++)
        {
            await page.Keyboard.PressAsync("Shift+ArrowLeft");
            await page.Keyboard.PressAsync("Shift+ArrowLeft");
            await page.WaitForTimeoutAsync(150);
        }

        for (var i = 0; i < 75 && await Drop() < 3.6; i++)
        {
            await page.Keyboard.PressAsync("Shift+ArrowRight");
            await page.WaitForTimeoutAsync(500);
        }
    }

    // What the bench says last: to leave it, or that no turning helps.
    private async Task<string> Turn(IPage page, int row, string name)
    {
        var said = new List<string>();
        for (var move = 0; move < 8; move++)
        {
            await ChromiumFixture.Until(
                page,
                $"!/Waiting|Play|settles/.test(document.querySelectorAll('.row .next')[{row}].textContent)",
                25
            );
            var text = await page.Locator(".row .next").Nth(row).InnerTextAsync();
            said.Add(text);
            if (move == 0 && row == 0)
                await chromium.Picture(page, $"found-{name}");
            if (text.StartsWith("The top is known", StringComparison.Ordinal))
            {
                await OverOnceMore(page, row);
                continue;
            }

            // Nothing to turn: as the bench reads on, the same value may become known well enough.
            if (text.Contains("less uncertain readings", StringComparison.Ordinal))
            {
                await page.WaitForTimeoutAsync(3000);
                continue;
            }

            if (text.StartsWith('✓') || text.StartsWith("Its range ends here", StringComparison.Ordinal))
                return text;
            var legs = Legs(text);
            Assert.True(legs.Count > 0, $"{name}, row {row}: {string.Join(" | ", said)}");
            foreach (var leg in legs)
            {
                var key = leg > 0 ? "ArrowRight" : "ArrowLeft";
                var left = Math.Abs(leg);
                for (; left > 5 * FinestTurn; left -= 5 * FinestTurn)
                    await page.Keyboard.PressAsync(key);
                for (; left > FinestTurn / 2; left -= FinestTurn)
                    await page.Keyboard.PressAsync("Shift+" + key);
            }

            await page.WaitForTimeoutAsync(400);
        }

        Assert.Fail($"{name}, row {row} was not brought within its limits: {string.Join(" | ", said)}");
        return "";
    }

    // "0.12 turn clockwise (about an eighth), then 0.03 turn anticlockwise: should come to …"
    private static List<double> Legs(string text)
    {
        var legs = new List<double>();
        foreach (
            System.Text.RegularExpressions.Match match in System.Text.RegularExpressions.Regex.Matches(
                text.Split(':')[0],
                @"([\d.]+) turns? (anticlockwise|clockwise)"
            )
        )
            legs.Add(double.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture) * (match.Groups[2].Value == "clockwise" ? 1 : -1));
        return legs;
    }
}
