using Microsoft.Playwright;
using Spoolwright.Bench.Samples;
using Spoolwright.Reports.Samples;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Tests.Browser;

/// <summary>The sample as somebody opens it who thinks of buying: one file, no network, by keys alone.</summary>
public sealed class SamplePageTests(Browser browser) : IClassFixture<Browser>
{
    [Theory]
    [InlineData(1280, 800)]
    [InlineData(740, 360)]
    public async Task Sample_ByKeys_PlaysAndChangesOver(int width, int height)
    {
        var file = Path.Combine(Path.GetTempPath(), $"spoolwright-sample-{Guid.NewGuid():N}.html");
        var channel = new ChannelDifference
        {
            LevelDb = -0.4,
            LevelUncertainty = 0.02,
            Bands = [new(1000, 0, 0), new(4000, 0.3, 0.05)],
            DifferenceDb = -20,
            RemainderDb = -35,
            SilenceDb = -52,
        };
        await using (var page = new StreamWriter(file))
            SamplePage.Write(
                page,
                "One & other",
                new SampleComparison
                {
                    SpeedErrorPercent = 0.1,
                    WanderMs = 0.03,
                    Channels = [channel, channel],
                },
                Tone(440),
                Tone(660)
            );
        var tab = await browser.Open(width, height);
        var complaints = new List<string>();
        tab.PageError += (_, error) => complaints.Add(error);
        try
        {
            await tab.GotoAsync(new Uri(file).AbsoluteUri);
            var now = tab.Locator("#now");
            await tab.Keyboard.PressAsync("t");
            await Says("Stopped. Tape", now);
            await tab.Keyboard.PressAsync("Space");
            await Says("Tape is playing", now);
            await tab.Keyboard.PressAsync("s");
            await Says("Source is playing", now);
            Assert.Equal("true", await tab.Locator("#source").GetAttributeAsync("aria-pressed"));
            await tab.Keyboard.PressAsync("Space");
            await Says("Stopped. Source", now);
            Assert.Empty(complaints);
            Assert.True(
                await tab.EvaluateAsync<int>("() => document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 1
            );
        }
        finally
        {
            await tab.CloseAsync();
            File.Delete(file);
        }
    }

    private static Task Says(string beginning, ILocator where) => Assertions.Expect(where).ToContainTextAsync(beginning);

    private static byte[] Tone(double hz)
    {
        using var stream = new MemoryStream();
        using (var writer = new WavWriter(stream, 48_000, 2, WavSamples.Integer16, leaveOpen: true))
        {
            float[] side = [.. Enumerable.Range(0, 10 * 48_000).Select(i => (float)(0.1 * Math.Sin(2 * Math.PI * hz * i / 48_000)))];
            writer.Write(side, side);
        }

        return stream.ToArray();
    }
}
