using System.Net;
using Microsoft.AspNetCore.Http;

namespace Spoolwright.App.Web;

/// <summary>
/// Lets in only what the bench's own pages send: calls that name this server by the address it listens at, and of those that change
/// something or open a socket only such as come from its own pages. Another site open in the same browser can do neither. What comes in at
/// another address than this machine's loopback must come from a paired tablet.
/// </summary>
internal sealed class Doorman(Pairing pairing, IPAddress? tabletAddress)
{
    /// <summary>What the one page may do; it is what an address of the record sends where there is no record.</summary>
    public const string Policy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; worker-src 'self'; media-src 'self'; "
        + "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

    // The record is one file with its own style and pictures, and runs nothing.
    private const string RecordPolicy =
        "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

    // The form of the pairing page runs nothing and goes back to where it came from.
    private const string PairPolicy =
        "default-src 'none'; style-src 'self'; img-src data:; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";
    private const string TabletMark = "tablet";

    /// <summary>Whether a call that was let in came from a paired tablet.</summary>
    public static bool IsTablet(HttpContext context) => context.Items.ContainsKey(TabletMark);

    /// <summary>Refuses, or sets the headers and goes on.</summary>
    public Task Admit(HttpContext context, RequestDelegate next)
    {
        var path = context.Request.Path;
        var headers = context.Response.Headers;
        headers.ContentSecurityPolicy = path.StartsWithSegments("/record") ? RecordPolicy : path == "/pair" ? PairPolicy : Policy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Permissions-Policy"] = "microphone=(self)";
        headers.CacheControl = "no-store";
        var fromOutside = tabletAddress is not null && tabletAddress.Equals(Plain(context.Connection.LocalIpAddress));
        if (!(fromOutside ? IsThe(tabletAddress!, context.Request.Host.Host) : IsLoopbackName(context.Request.Host.Host)))
            return Refuse(context, "This bench answers to the address it listens at alone.");
        var harmless = HttpMethods.IsGet(context.Request.Method) && !context.WebSockets.IsWebSocketRequest;
        if (!harmless && !IsOwn(context.Request))
            return Refuse(context, "Only the bench's own pages may do this.");
        if (!fromOutside)
            return next(context);
        if (pairing.Knows(context.Request))
        {
            context.Items[TabletMark] = true;
            return next(context);
        }

        if (path == "/pair" || path == "/files/pair.css")
            return next(context);
        if (!HttpMethods.IsGet(context.Request.Method) || context.WebSockets.IsWebSocketRequest || path.StartsWithSegments("/api"))
            return Refuse(context, "Pair this tablet first: open /pair.");
        context.Response.Redirect("/pair");
        return Task.CompletedTask;
    }

    private static IPAddress? Plain(IPAddress? address) => address is { IsIPv4MappedToIPv6: true } ? address.MapToIPv4() : address;

    private static bool IsThe(IPAddress address, string host) =>
        IPAddress.TryParse(host.Trim('[', ']'), out var named) && named.Equals(address);

    // A name that some other server points at this machine is not ours.
    private static bool IsLoopbackName(string host) => host is "127.0.0.1" or "localhost" or "[::1]" or "::1";

    private static bool IsOwn(HttpRequest request) =>
        request.Headers.Origin is [{ } origin]
        && string.Equals(origin, $"{request.Scheme}://{request.Host}", StringComparison.OrdinalIgnoreCase);

    private static Task Refuse(HttpContext context, string why)
    {
        context.Response.StatusCode = StatusCodes.Status403Forbidden;
        context.Response.ContentType = "text/plain; charset=utf-8";
        return context.Response.WriteAsync(why);
    }
}
