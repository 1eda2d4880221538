using System.Text;
using System.Text.Encodings.Web;
using Microsoft.AspNetCore.Http;

namespace Spoolwright.App.Web;

/// <summary>The pages' files, out of the program itself: a name that is not among them is nothing, so no path can lead anywhere.</summary>
internal static class PageFiles
{
    private const string Prefix = "Pages/";

    // Where the page says its sentences.
    private const string Said = "aria-live=\"polite\">";

    private static readonly Dictionary<string, byte[]> Files = Load();

    /// <summary>Sends a file, or says that there is none.</summary>
    public static Task Send(HttpContext context, string name)
    {
        if (!Files.TryGetValue(name, out var bytes))
        {
            context.Response.StatusCode = StatusCodes.Status404NotFound;
            return Task.CompletedTask;
        }

        context.Response.ContentType = Path.GetExtension(name) switch
        {
            ".js" => "text/javascript; charset=utf-8",
            ".css" => "text/css; charset=utf-8",
            ".svg" => "image/svg+xml",
            _ => "text/html; charset=utf-8",
        };
        context.Response.ContentLength = bytes.Length;
        return context.Response.Body.WriteAsync(bytes).AsTask();
    }

    /// <summary>Sends the one page, which says that what was asked for is not there, and why.</summary>
    public static Task SendNothing(HttpContext context, string why)
    {
        var page = Encoding.UTF8.GetString(Files["index.html"]).Replace(Said, Said + HtmlEncoder.Default.Encode("✗ " + why), StringComparison.Ordinal);
        context.Response.StatusCode = StatusCodes.Status404NotFound;
        context.Response.ContentType = "text/html; charset=utf-8";
        context.Response.Headers.ContentSecurityPolicy = Doorman.Policy;
        return context.Response.WriteAsync(page);
    }

    private static Dictionary<string, byte[]> Load()
    {
        var assembly = typeof(PageFiles).Assembly;
        var files = new Dictionary<string, byte[]>(StringComparer.Ordinal);
        foreach (var name in assembly.GetManifestResourceNames().Where(n => n.StartsWith(Prefix, StringComparison.Ordinal)))
        {
            using var stream = assembly.GetManifestResourceStream(name)!;
            var bytes = new byte[stream.Length];
            stream.ReadExactly(bytes);
            files.Add(name[Prefix.Length..], bytes);
        }

        return files;
    }
}
