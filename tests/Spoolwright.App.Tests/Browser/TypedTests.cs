using Spoolwright.Bench;

namespace Spoolwright.App.Tests.Browser;

/// <summary>Tension typed in by keys, through a gauge's curve, filed; and what a later turn of it puts in doubt.</summary>
[Collection("Chromium")]
public sealed class TypedTests(ChromiumFixture chromium)
{
    [Fact]
    public async Task Tension_TypedByKeys_IsFiledAndALaterBendPutsItInDoubt()
    {
        await using var bench = await Bench.Start();
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/matrix");
        await page.Locator(".cell[data-next=yes]").WaitForAsync();
        await page.Keyboard.PressAsync("n");
        await ChromiumFixture.Until(page, "location.pathname === '/tension'");
        foreach (var (reel, reading) in new[] { ("", "62 63 62"), ("e", "58 58 59") })
        {
            if (reel.Length > 0)
                await page.Keyboard.PressAsync(reel);
            await page.Keyboard.PressAsync("t");
            await page.Keyboard.TypeAsync(reading);
            await page.Keyboard.PressAsync("Enter");
            await ChromiumFixture.Until(
                page,
                $"Math.abs(Number(document.querySelector('[data-test=typed]').dataset.value) - {(reel.Length > 0 ? "58.33" : "62.33")}) < 0.01"
            );
        }

        await chromium.Picture(page, "tension");
        await page.Keyboard.PressAsync("k");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('Kept and filed')");
        var filed = Assert.Single(bench.Shelf.Book.ReadJob(bench.Job).Measurements);
        Assert.Equal(("tension", Mark.AsLeft), (filed.Entry.Measurement, filed.Entry.Mark));
        Assert.Equal(62.333, filed.Result.Readings.First(r => r is { Quantity: "supply-tension", Unit: "gf" }).Value, 3);

        await page.Keyboard.PressAsync("a");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('in doubt')");
        await page.Keyboard.PressAsync("2");
        await page.Locator(".cell[data-measurement=tension][data-verdict=doubt]").WaitForAsync();
        Assert.Contains(
            "tension was turned on",
            await page.Locator(".cell[data-measurement=tension]").First.InnerTextAsync(),
            StringComparison.Ordinal
        );
        Assert.Equal(DateTime.UtcNow.Year, bench.Shelf.Adjusted.Of(bench.Job)[0].At.Year);
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("brakes", "1200 1210", "brake-torque", 1205)]
    [InlineData("torque", "410 420", "take-up-torque", 415)]
    [InlineData("wind-time", "92", "wind-time", 92)]
    [InlineData("pinch-force", "1150 1160 1155", "pinch-force", 1155)]
    public async Task OtherGauges_TypedByKeys_AreFiled(string measurement, string reading, string quantity, double value)
    {
        await using var bench = await Bench.Start();
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync($"{bench.Origin}/typed/{measurement}");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        if (measurement == "torque")
            await page.Keyboard.PressAsync("e");
        // A comma is refused with the right form, never read as a thousandth.
        await page.Keyboard.PressAsync("t");
        await page.Keyboard.TypeAsync("1,150");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('write 1150 or 1.150')");
        await page.Keyboard.PressAsync("t");
        await page.Keyboard.TypeAsync(reading);
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(page, $"Math.abs(Number(document.querySelector('[data-test=typed]').dataset.value) - {value}) < 0.01");
        Assert.Equal(measurement == "wind-time" ? 0 : 1, await page.Locator("#gauge").CountAsync());
        await page.Keyboard.PressAsync("j");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('Kept and filed')");
        var filed = Assert.Single(bench.Shelf.Book.ReadJob(bench.Job).Measurements);
        Assert.Equal((measurement, Mark.AsFound), (filed.Entry.Measurement, filed.Entry.Mark));
        Assert.Equal(value, filed.Result.Readings.First(r => r.Quantity == quantity).Value, 6);
        Assert.Contains("422", Assert.Single(complaints), StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }
}
