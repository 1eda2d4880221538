using Microsoft.Playwright;

namespace Spoolwright.App.Tests.Browser;

/// <summary>Debian's Chromium, started once for all tests that look at pages.</summary>
public sealed class Browser : IAsyncLifetime
{
    private static readonly string[] Flags =
    [
        "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
        "--disable-component-update", "--disable-sync",
    ];

    private IPlaywright? _playwright;
    private IBrowser? _browser;

    /// <summary>A fresh page of that size.</summary>
    public async Task<IPage> Open(int width, int height) =>
        await _browser!.NewPageAsync(new BrowserNewPageOptions { ViewportSize = new ViewportSize { Width = width, Height = height } });

    public async ValueTask InitializeAsync()
    {
        const string program = "/usr/bin/chromium";
        Assert.True(File.Exists(program), "chromium is missing: install the Debian package chromium");
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new BrowserTypeLaunchOptions { ExecutablePath = program, Args = Flags });
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
            await _browser.CloseAsync();
        _playwright?.Dispose();
    }
}
