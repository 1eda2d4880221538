using Microsoft.AspNetCore.Http;

namespace Spoolwright.App.Web;

/// <summary>
/// Lets in only what the bench's own pages send: calls that name this server by its loopback address, and of those that change something or open a
/// socket only such as come from its own pages. Another site open in the same browser can do neither.
/// </summary>
internal static class Doorman
{
    private const string Policy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; worker-src 'self'; media-src 'self'; "
        + "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

    // The record is one file with its own style and pictures, and runs nothing.
    private const string RecordPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

    /// <summary>Refuses, or sets the headers and goes on.</summary>
    public static Task Admit(HttpContext context, RequestDelegate next)
    {
        var headers = context.Response.Headers;
        headers.ContentSecurityPolicy = context.Request.Path.StartsWithSegments("/record") ? RecordPolicy : Policy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "no-referrer";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Permissions-Policy"] = "microphone=(self)";
        headers.CacheControl = "no-store";
        if (!IsLoopbackName(context.Request.Host.Host))
            return Refuse(context, "This bench answers to its loopback address alone.");
        var harmless = HttpMethods.IsGet(context.Request.Method) && !context.WebSockets.IsWebSocketRequest;
        if (!harmless && !IsOwn(context.Request))
            return Refuse(context, "Only the bench's own pages may do this.");
        return next(context);
    }

    // A name that some other server points at this machine is not ours.
    private static bool IsLoopbackName(string host) => host is "127.0.0.1" or "localhost" or "[::1]" or "::1";

    private static bool IsOwn(HttpRequest request) =>
        request.Headers.Origin is [{ } origin] && string.Equals(origin, $"{request.Scheme}://{request.Host}", StringComparison.OrdinalIgnoreCase);

    private static Task Refuse(HttpContext context, string why)
    {
        context.Response.StatusCode = StatusCodes.Status403Forbidden;
        context.Response.ContentType = "text/plain; charset=utf-8";
        return context.Response.WriteAsync(why);
    }
}
