using Spoolwright.Bench;

namespace Spoolwright.App.Tests.Browser;

/// <summary>A sound file dropped on a page as a hand drops it: asked what it is, measured, filed where the page was told so.</summary>
[Collection("Chromium")]
public sealed class DropTests(ChromiumFixture chromium)
{
    [Fact]
    public async Task File_DroppedOnAPage_IsMeasuredAsChosenAndFiledUnderItsCondition()
    {
        await using var bench = await Bench.Start();
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/speed");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        var sound = Convert.ToBase64String(await File.ReadAllBytesAsync(chromium.Sound.Tones, TestContext.Current.CancellationToken));
        await page.EvaluateAsync(
            """
            (sound) => {
                const data = new DataTransfer();
                data.items.add(new File([Uint8Array.from(atob(sound), c => c.charCodeAt(0))], 'found in the attic.wav', { type: 'audio/wav' }));
                document.querySelector('main').dispatchEvent(new DragEvent('dragover', { dataTransfer: data, bubbles: true, cancelable: true }));
                document.querySelector('main').dispatchEvent(new DragEvent('drop', { dataTransfer: data, bubbles: true, cancelable: true }));
            }
            """,
            sound);
        await page.Locator("#drop-as").WaitForAsync();
        Assert.Equal("speed", await page.Locator("#drop-as").InputValueAsync()); // what the screen measures
        await page.Locator("#drop-as").SelectOptionAsync("azimuth");
        await page.Locator("#drop-into").SelectOptionAsync("as-found");
        await page.Locator("#drop-into").FocusAsync();
        await page.Keyboard.PressAsync("Tab");
        await page.Keyboard.PressAsync("Enter");
        await page.Locator("dialog [data-quantity='time-skew']").First.WaitForAsync(new() { Timeout = 30_000 });
        Assert.Contains("Filed in the book", await page.Locator("dialog[open]").InnerTextAsync(), StringComparison.Ordinal);
        await chromium.Picture(page, "dropped");
        await page.Keyboard.PressAsync("Escape");
        Assert.Equal(0, await page.Locator("dialog[open]").CountAsync());

        var filed = Assert.Single(bench.Shelf.Book.ReadJob(bench.Job).Measurements);
        Assert.Equal(
            ("azimuth", Mark.AsFound, "found in the attic.wav"),
            (filed.Entry.Measurement, filed.Entry.Mark, filed.Entry.Capture.File)
        );
        Assert.InRange(
            filed.Result.Readings.First(r => r is { Quantity: "time-skew", FrequencyHz: null }).Value,
            FakeMicrophone.SkewMicroseconds - 0.1,
            FakeMicrophone.SkewMicroseconds + 0.1
        );
        Assert.Empty(Directory.EnumerateFiles(bench.Shelf.Arriving));
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }
}
