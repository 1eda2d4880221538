using Spoolwright.App.Web;

namespace Spoolwright.App.Tests.Browser;

/// <summary>A practice deck made, diagnosed and scored from the page, by keys.</summary>
[Collection("Chromium")]
public sealed class PracticeDeckTests(ChromiumFixture chromium)
{
    [Fact]
    public async Task NewDeck_DiagnosedByKeys_IsScoredAndItsAnswersShown()
    {
        await using var bench = await Bench.Start(practiceSpecimen: 7);
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/practice");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=practice-deck]').textContent.includes('Specimen 7')");
        await page.Keyboard.PressAsync("n");
        await page.Locator("#asked").WaitForAsync();
        await page.Keyboard.PressAsync("Control+a");
        await page.Keyboard.TypeAsync("2");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(
            page,
            "/has 2 hidden faults/.test(document.querySelector('[data-test=practice-deck]').textContent) && !document.querySelector('[data-test=practice-deck]').textContent.includes('Specimen 7 ')"
        );

        // One fault named as the deck has it, one that no deck of two faults has beside it.
        var faults = PracticeInput.Folder(bench.Shelf).Load().HiddenFaults;
        Assert.Equal(2, faults.Count);
        var place = faults[0].Place;
        await page.Keyboard.PressAsync("e");
        await page.Locator("#kind").SelectOptionAsync(faults[0].Kind.Name);
        if (place.Direction is { } direction)
            await page.Locator("#where-direction").SelectOptionAsync(direction.ToString().ToLowerInvariant());
        if (place.Side is { } side)
            await page.Locator("#where-side").SelectOptionAsync(side.ToString().ToLowerInvariant());
        if (place.Setting is { } setting)
            await page.Locator("#where-setting").SelectOptionAsync(setting);
        // Enter takes the fault from the list where it was chosen: no mouse is needed.
        await page.Locator("#kind").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        Assert.Equal(faults[0].Name, await page.Locator("[data-test=diagnosis] li").InnerTextAsync());
        await page.Keyboard.PressAsync("d");
        await page.Locator("[data-test=score] h2").WaitForAsync();
        var said = await page.Locator("[data-test=score]").InnerTextAsync();
        Assert.Contains("Score: 50 of 100", said, StringComparison.Ordinal);
        Assert.Contains("1 missed", said, StringComparison.Ordinal);
        Assert.All(faults, f => Assert.Contains(f.Kind.Meaning, said, StringComparison.Ordinal));
        await chromium.Picture(page, "practice");
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }
}
