using System.Text.Json;

namespace Spoolwright.App.Tests.Browser;

/// <summary>For eyes that are on the deck: the tone that rises as the target nears, the voice, and the rings told in words.</summary>
[Collection("Chromium")]
public sealed class GuideTests(ChromiumFixture chromium)
{
    // Keeps hold of what the page lets sound: its oscillators and what it says.
    private const string Listening = """
        window.tones = []; window.words = [];
        const start = OscillatorNode.prototype.start;
        OscillatorNode.prototype.start = function (...when) { window.tones.push(this); return start.apply(this, when); };
        speechSynthesis.speak = (said) => { window.words.push(said.text); };
        """;

    private const string Value = "parseFloat(document.querySelector('[data-test=speed]').textContent.replace('−', '-'))";
    private const string Pitch = "(window.tones.at(-1)?.frequency.value ?? 0)";

    [Fact]
    public async Task Guide_OfSpeed_RisesTowardsTheTargetAndSpeaksTheValue()
    {
        await using var bench = await Bench.Start(practiceSpecimen: 4242);
        var (page, complaints) = await chromium.Open(bench);
        await page.AddInitScriptAsync(Listening);
        await page.GotoAsync(bench.Origin + "/");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        await page.Keyboard.PressAsync("4");
        await page.Keyboard.PressAsync("p");
        await ChromiumFixture.Until(page, $"Math.abs({Value}) < 0.5", 20);

        // Silent until asked for.
        Assert.Equal(0, await page.EvaluateAsync<int>("window.tones.length + window.words.length"));
        await page.Keyboard.PressAsync("m");
        await ChromiumFixture.Until(page, $"{Pitch} > 600 && Math.abs({Value}) < 0.2", 20);
        var near = await page.EvaluateAsync<double>(Pitch);
        for (var i = 0; i < 6; i++)
            await page.Keyboard.PressAsync("ArrowRight");
        await ChromiumFixture.Until(
            page,
            $"Math.abs({Value}) > 0.6 && {Pitch} < {near.ToString("0", System.Globalization.CultureInfo.InvariantCulture)} / 1.3",
            20
        );

        // Three octaves from 15 half widths off (of 0.5 % each) to the middle, evenly by the logarithm of one and the distance.
        var (pitch, value) = (await page.EvaluateAsync<double>(Pitch), await page.EvaluateAsync<double>(Value));
        Assert.InRange(pitch, 0.8 * Law(value), 1.25 * Law(value));
        for (var i = 0; i < 6; i++)
            await page.Keyboard.PressAsync("ArrowLeft");
        await ChromiumFixture.Until(page, $"{Pitch} > 0.9 * {near.ToString("0", System.Globalization.CultureInfo.InvariantCulture)}", 20);

        await page.Keyboard.PressAsync("m");
        await ChromiumFixture.Until(page, "window.words.length > 0", 20);
        Assert.Matches(@"^(good\.|(plus|minus) \d\.\d\d\.)", (await page.EvaluateAsync<JsonElement>("window.words"))[0].GetString()!);
        await page.Keyboard.PressAsync("m");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('muted')");
        var (words, tones) = (await page.EvaluateAsync<int>("window.words.length"), await page.EvaluateAsync<int>("window.tones.length"));
        await page.WaitForTimeoutAsync(4500);
        Assert.Equal(
            (words, tones),
            (await page.EvaluateAsync<int>("window.words.length"), await page.EvaluateAsync<int>("window.tones.length"))
        );
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Rings_OfReelsWhoseRadiiAreTyped_TurnAtTheRateOfTheirCircumference()
    {
        await using var bench = await Bench.Start(practiceSpecimen: 4242);
        var (page, complaints) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        await page.Keyboard.PressAsync("4");
        await page.Keyboard.PressAsync("p");
        const string told =
            "([...document.querySelectorAll('canvas')].map(c => c.getAttribute('aria-label') ?? '').find(t => t.startsWith('Flutter of each')) ?? '')";
        await ChromiumFixture.Until(page, $"{told}.includes('capstan')", 20);
        Assert.DoesNotContain("reel", await page.EvaluateAsync<string>(told), StringComparison.Ordinal);
        await page.Keyboard.PressAsync("y");
        await page.Locator("#asked").WaitForAsync();
        await page.Keyboard.TypeAsync("62 300");
        await page.Keyboard.PressAsync("Enter");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('300 mm is none')");
        await page.Keyboard.PressAsync("y");
        await page.Locator("#asked").WaitForAsync();
        await page.Keyboard.TypeAsync("62 81");
        await page.Keyboard.PressAsync("Enter");

        // 19.05 cm/s over 2π·62 mm and 2π·81 mm.
        await ChromiumFixture.Until(page, $"/supply reel[^;]* 0\\.49\\/s/.test({told}) && /take-up reel[^;]* 0\\.37\\/s/.test({told})", 30);
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    private static double Law(double percent) => 165 * Math.Pow(2, 3 * (1 - (Math.Log2(1 + (Math.Abs(percent) / 0.5)) / 4)));
}
