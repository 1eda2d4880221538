using Microsoft.Playwright;

namespace Spoolwright.App.Tests.Browser;

/// <summary>One Chromium for all browser tests, with a file as its microphone; each test gets a context and a bench of its own.</summary>
public sealed class ChromiumFixture : IAsyncLifetime
{
    private IPlaywright? _playwright;
    private IBrowser? _browser;
    private string _folder = "";

    /// <summary>The files that the microphone plays and their parts.</summary>
    public (string Whole, string Low, string Tones, string Speed) Sound { get; private set; }

    public async ValueTask InitializeAsync()
    {
        _folder = Directory.CreateTempSubdirectory("spoolwright-microphone").FullName;
        Sound = FakeMicrophone.Write(_folder);
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(
            new BrowserTypeLaunchOptions
            {
                ExecutablePath = "/usr/bin/chromium",
                Args =
                [
                    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
                    "--disable-component-update", "--disable-sync", "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream",
                    $"--use-file-for-fake-audio-capture={Sound.Whole}%noloop",
                ],
            }
        );
    }

    /// <summary>A fresh page on a bench, with what it complains of gathered.</summary>
    public async Task<(IPage Page, List<string> Complaints)> Open(Bench bench, int width = 1280, int height = 800)
    {
        var context = await _browser!.NewContextAsync(
            new BrowserNewContextOptions
            {
                ViewportSize = new ViewportSize { Width = width, Height = height },
                Permissions = ["microphone"],
            }
        );
        var page = await context.NewPageAsync();
        var complaints = new List<string>();
        page.Console += (_, message) =>
        {
            if (message.Type is "error" or "warning")
                complaints.Add(message.Text);
        };
        page.PageError += (_, error) => complaints.Add(error);
        await page.AddInitScriptAsync(
            $"if (!localStorage.getItem('bench')) localStorage.setItem('bench', JSON.stringify({{ job: '{bench.Job}', direction: 'forward', speed: 19.05 }}))"
        );
        return (page, complaints);
    }

    /// <summary>Takes a picture of the page where a folder for pictures is named (SPOOLWRIGHT_PICTURES).</summary>
    public async Task Picture(IPage page, string name)
    {
        if (Environment.GetEnvironmentVariable("SPOOLWRIGHT_PICTURES") is { Length: > 0 } folder)
            await page.ScreenshotAsync(new() { Path = Path.Combine(folder, name + ".png") });
    }

    /// <summary>Waits until an expression holds. Playwright's own waiting evaluates text in the page, which the pages' policy forbids; this
    /// asks from outside.</summary>
    public static async Task Until(IPage page, string expression, double seconds = 15)
    {
        for (var left = seconds; !await page.EvaluateAsync<bool>(expression); left -= 0.1)
        {
            if (left <= 0)
                throw new TimeoutException(
                    $"not within {seconds} s: {expression}; the page says: {await page.Locator("body").InnerTextAsync()}"
                );
            await Task.Delay(100, TestContext.Current.CancellationToken);
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
            await _browser.DisposeAsync();
        _playwright?.Dispose();
        Directory.Delete(_folder, recursive: true);
    }
}

[CollectionDefinition("Chromium")]
public sealed class ChromiumCollection : ICollectionFixture<ChromiumFixture>;
