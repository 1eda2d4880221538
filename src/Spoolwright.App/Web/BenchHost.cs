using System.Net;
using System.Net.Sockets;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
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

    /// <summary>Where a tablet opens it; null: nothing listens beyond this machine.</summary>
    public Uri? TabletAddress { get; private set; }

    /// <summary>Patterns of every address that answers a GET, so that none is left out where all are tried.</summary>
    public IReadOnlyList<string> Asked =>
        [
            .. ((IEndpointRouteBuilder)_app)
                .DataSources.SelectMany(s => s.Endpoints)
                .OfType<RouteEndpoint>()
                .Where(e => e.Metadata.GetMetadata<IHttpMethodMetadata>()?.HttpMethods.Contains(HttpMethods.Get) == true)
                .Select(e => e.RoutePattern.RawText!),
        ];

    /// <summary>Gives the codes that pair a tablet.</summary>
    public Pairing Pairing { get; private init; } = new(TimeProvider.System);

    /// <summary>Starts it.</summary>
    /// <param name="shelf">The service book.</param>
    /// <param name="port">Port; 0: any that is free.</param>
    /// <param name="listen">Another address of this machine at which a paired tablet may open it; null: none.</param>
    /// <param name="clock">Tells how old a pairing is.</param>
    /// <exception cref="IOException">The port is taken, or this machine has no such address.</exception>
    public static async Task<BenchHost> Start(BookShelf shelf, int port, IPAddress? listen = null, TimeProvider? clock = null)
    {
        if (listen is not null && port == 0)
            port = FreePort();
        var builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions { ApplicationName = "spoolwright" });
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            kestrel.Listen(IPAddress.Loopback, port);
            if (listen is not null)
                kestrel.Listen(listen, port);
            kestrel.Limits.MaxRequestLineSize = 64 << 10; // a test tape's leaflet goes with a dropped file
            kestrel.Limits.MaxRequestBodySize = 1 << 20; // uploads of sound lift it for themselves
        });
        builder.Services.AddRoutingCore();
        builder.Logging.ClearProviders();
        var app = builder.Build();
        app.UseWebSockets(new WebSocketOptions { KeepAliveInterval = TimeSpan.FromSeconds(10) });
        var host = new BenchHost(app) { Pairing = new Pairing(clock ?? TimeProvider.System) };
        app.Use(new Doorman(host.Pairing, listen).Admit);
        app.UseRouting();
        if (listen is not null)
            host.TabletAddress = new UriBuilder("http", listen.ToString(), port).Uri;
        Map(app, shelf, new PairCalls(host.Pairing, host.TabletAddress?.ToString()));
        await app.StartAsync().ConfigureAwait(false);
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

    // Two addresses have to share a port, so that it must be known before either is bound.
    private static int FreePort()
    {
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        return ((IPEndPoint)probe.LocalEndpoint).Port;
    }

    private static void Map(WebApplication app, BookShelf shelf, PairCalls pair)
    {
        var calls = new BookCalls(shelf);
        app.MapGet("/api/home", calls.Home);
        app.MapPost("/api/decks", calls.AddDeck);
        app.MapGet("/api/jobs/{job:guid}/matrix", calls.Matrix);
        app.MapGet("/record/{job:guid}", calls.Record);
        app.MapPost("/api/measure/{id}", new UploadCalls(shelf).Measure);
        var sheets = new SheetCalls(shelf);
        app.MapPost("/api/sheet/{id}", sheets.Measure);
        app.MapPost("/api/jobs/{job:guid}/adjusted", sheets.Adjusted);
        var practice = new PracticeCalls(shelf);
        app.MapGet("/api/practice", practice.Show);
        app.MapPost("/api/practice/new", practice.Make);
        app.MapPost("/api/practice/diagnose", practice.Diagnose);
        app.MapGet("/api/signal/{name}", SignalCalls.Send);
        app.MapPost("/api/pair", pair.Code);
        app.MapGet("/pair", PairCalls.Form);
        app.MapPost("/pair", pair.Redeem);
        app.Map("/live", new LiveSocket(new LiveSessions(shelf)).Serve);
        app.MapGet("/files/{name}", context => PageFiles.Send(context, (string)context.Request.RouteValues["name"]!));
        Book.BookRoutes.Map(app, shelf);
        // Every other address is a screen of the one page.
        app.MapFallback(context =>
        {
            var path = context.Request.Path;
            if (path.StartsWithSegments("/record"))
                return PageFiles.SendNothing(context, $"There is nothing at {path}.");
            if (HttpMethods.IsGet(context.Request.Method) && !path.StartsWithSegments("/api"))
                return PageFiles.Send(context, "index.html");
            context.Response.StatusCode = StatusCodes.Status404NotFound;
            return WebJson.Send(context, json => json.WriteString("problem", $"There is nothing at {path}."));
        });
    }
}
