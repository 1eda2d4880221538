using System.Net;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace Spoolwright.App.Web;

/// <summary>The bench as a server on the loopback address: pages, the book, and a socket for sound and pictures.</summary>
internal sealed class BenchHost : IAsyncDisposable
{
    private readonly WebApplication _app;

    private BenchHost(WebApplication app) => _app = app;

    /// <summary>Where it is to be opened.</summary>
    public Uri Address { get; private set; } = new("http://127.0.0.1/");

    /// <summary>Starts it.</summary>
    /// <param name="shelf">The service book.</param>
    /// <param name="port">Port; 0: any that is free.</param>
    /// <exception cref="IOException">The port is taken.</exception>
    public static async Task<BenchHost> Start(BookShelf shelf, int port)
    {
        var builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions { ApplicationName = "spoolwright" });
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Listen(IPAddress.Loopback, port);
            kestrel.Limits.MaxRequestLineSize = 64 << 10; // a test tape's leaflet goes with a dropped file
            kestrel.Limits.MaxRequestBodySize = 1 << 20; // uploads of sound lift it for themselves
        });
        builder.Services.AddRoutingCore();
        builder.Logging.ClearProviders();
        var app = builder.Build();
        app.UseWebSockets(new WebSocketOptions { KeepAliveInterval = TimeSpan.FromSeconds(10) });
        app.Use(Doorman.Admit);
        app.UseRouting();
        Map(app, shelf);
        await app.StartAsync().ConfigureAwait(false);
        var host = new BenchHost(app);
        var bound = app.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.First();
        host.Address = new Uri(bound + "/");
        return host;
    }

    /// <summary>Runs until told to stop.</summary>
    public Task Wait(CancellationToken stop)
    {
        var stopped = new TaskCompletionSource();
        stop.Register(() => stopped.TrySetResult());
        return stopped.Task;
    }

    public async ValueTask DisposeAsync()
    {
        using var soon = new CancellationTokenSource(TimeSpan.FromSeconds(2));
        await _app.StopAsync(soon.Token).ConfigureAwait(false);
        await _app.DisposeAsync().ConfigureAwait(false);
    }

    private static void Map(WebApplication app, BookShelf shelf)
    {
        var calls = new BookCalls(shelf);
        app.MapGet("/api/home", calls.Home);
        app.MapPost("/api/decks", calls.AddDeck);
        app.MapGet("/api/jobs/{job:guid}/matrix", calls.Matrix);
        app.MapGet("/record/{job:guid}", calls.Record);
        app.MapPost("/api/measure/{id}", new UploadCalls(shelf).Measure);
        app.Map("/live", context => LiveSocket.Serve(context, shelf));
        app.MapGet("/files/{name}", context => PageFiles.Send(context, (string)context.Request.RouteValues["name"]!));
        // Every other address is a screen of the one page.
        app.MapFallback(context =>
        {
            if (HttpMethods.IsGet(context.Request.Method))
                return PageFiles.Send(context, "index.html");
            context.Response.StatusCode = StatusCodes.Status404NotFound;
            return Task.CompletedTask;
        });
    }
}
