using Microsoft.Playwright;

namespace Spoolwright.App.Tests.Browser;

/// <summary>
/// The browser's own side of the input and the output: a device that is pulled and comes back, inputs that must not be used, what goes out.
/// The browser's fake device cannot be pulled; the track's end and the list of devices are told to the page as the browser tells them.
/// </summary>
[Collection("Chromium")]
public sealed class DeviceTests(ChromiumFixture chromium)
{
    // Holds on to the tracks that were opened, and lets the list of devices be emptied.
    private const string Devices = """
        window.opened = [];
        const open = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices), list = navigator.mediaDevices.enumerateDevices.bind(navigator.mediaDevices);
        navigator.mediaDevices.getUserMedia = async (c) => { const s = await open(c); window.opened.push(s.getAudioTracks()[0]); return s; };
        navigator.mediaDevices.enumerateDevices = async () => window.pulled ? [] : list();
        """;

    [Fact]
    public async Task Device_PulledAndPluggedInAgain_IsSaidAndGoesOnByItself()
    {
        await using var bench = await Bench.Start();
        var (page, complaints) = await chromium.Open(bench);
        await page.AddInitScriptAsync(Devices);
        await Listen(page, bench);
        await page.EvaluateAsync(
            "() => { window.pulled = true; const t = window.opened.at(-1); t.stop(); t.dispatchEvent(new Event('ended')); }"
        );
        await ChromiumFixture.Until(
            page,
            "document.querySelector('[data-test=input]').textContent.includes('press I') && document.querySelector('.warning').textContent.includes('The input is gone')"
        );
        await page.EvaluateAsync("() => navigator.mediaDevices.dispatchEvent(new Event('devicechange'))");
        await page.WaitForTimeoutAsync(500);
        Assert.Contains("press I", await page.Locator("[data-test=input]").InnerTextAsync(), StringComparison.Ordinal); // not there yet: nothing is opened
        await page.EvaluateAsync("() => { window.pulled = false; navigator.mediaDevices.dispatchEvent(new Event('devicechange')); }");
        await ChromiumFixture.Until(
            page,
            "document.querySelector('[data-test=input]').textContent.startsWith('input,') && document.querySelector('.warning').hidden && document.querySelector('#said').textContent.includes('The input is back')"
        );
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("echoCancellation: true", "goes on changing the sound")]
    [InlineData("autoGainControl: true", "gain control")]
    [InlineData("channelCount: 1", "This input has one channel")]
    public async Task Input_ProcessedOrMono_IsRefusedAndSaid(string setting, string said)
    {
        await using var bench = await Bench.Start();
        var (page, _) = await chromium.Open(bench);
        await page.AddInitScriptAsync($$"""
            const settings = MediaStreamTrack.prototype.getSettings;
            MediaStreamTrack.prototype.getSettings = function () { return { ...settings.call(this), {{setting}} }; };
            """);
        await Choose(page, bench);
        await ChromiumFixture.Until(page, $"document.querySelector('#said').textContent.includes('{said}')");
        Assert.Contains("press I", await page.Locator("[data-test=input]").InnerTextAsync(), StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Input_NotAllowed_SaysWhatToDo()
    {
        await using var bench = await Bench.Start();
        var (page, _) = await chromium.Open(bench);
        await page.AddInitScriptAsync(
            "navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', 'NotAllowedError'))"
        );
        await Choose(page, bench);
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('Allow the microphone for this address')");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Output_OfTheBiasSignal_GoesOutAtTheLevelSetAndStops()
    {
        await using var bench = await Bench.Start();
        var (page, complaints) = await chromium.Open(bench);
        await Listen(page, bench);
        await page.Keyboard.PressAsync("8");
        await page.Keyboard.PressAsync("s");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=sending]').textContent.includes('10000 Hz at −20 dB')");
        await page.Keyboard.PressAsync("g");
        await page.Keyboard.PressAsync("a");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=output-peak]').textContent.includes('Nothing')"); // left the screen: silence
        await page.Keyboard.PressAsync("9");
        await page.Keyboard.PressAsync("s");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=sending]').textContent.includes('1000 Hz at 0 dB')");

        // 1 kHz alone at −12 dBFS, as the output's own meter sees it.
        await page.EvaluateAsync("() => history.replaceState(null, '', '/record-level')");
        var peak = await page.EvaluateAsync<double>("new Promise(done => setTimeout(() => done(window.benchOutput()), 600))");
        Assert.InRange(peak, -12.3, -11.9);
        await page.Keyboard.PressAsync("s");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=sending]').hidden && window.benchOutput() === null");
        Assert.Empty(complaints);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Sending_WithATestTapeNamed_IsRefusedOnThePageUntilXSaysItIsOff()
    {
        await using var bench = await Bench.Start();
        var (page, _) = await chromium.Open(bench);
        await page.GotoAsync(bench.Origin + "/");
        await page.Locator("#tape").SetInputFilesAsync(new FilePayload
        {
            Name = "level-tape.json",
            MimeType = "application/json",
            Buffer = """{"name":"Shop level tape","speedCmPerS":19.05,"tones":[{"frequencyHz":1000,"levelDb":0,"seconds":6,"role":"reference"}]}"""u8.ToArray(),
        });
        await ChromiumFixture.Until(page, "document.querySelector('.deck').textContent.includes('test tape Shop level tape threaded')");
        await Choose(page, bench, "/bias");
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.startsWith('input,')");
        await page.Keyboard.PressAsync("s");
        await ChromiumFixture.Until(page, "document.querySelector('#said').textContent.includes('nothing is sent')");
        Assert.True(
            await page.EvaluateAsync<bool>("document.querySelector('[data-test=sending]').hidden && window.benchOutput() === null")
        );
        await page.Keyboard.PressAsync("x");
        await page.Keyboard.PressAsync("s");
        await ChromiumFixture.Until(page, "!document.querySelector('[data-test=sending]').hidden && window.benchOutput() > -40");
        await page.Context.CloseAsync();
    }

    private static async Task Listen(IPage page, Bench bench)
    {
        await Choose(page, bench);
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.startsWith('input,')");
    }

    private static async Task Choose(IPage page, Bench bench, string path = "/level")
    {
        await page.GotoAsync(bench.Origin + path);
        await ChromiumFixture.Until(page, "document.querySelector('[data-test=input]').textContent.includes('press I')");
        await page.Keyboard.PressAsync("i");
        await page.Locator("dialog[open]").WaitForAsync();
        await page.Keyboard.PressAsync("1");
    }
}
