using System.Text.Encodings.Web;
using Microsoft.AspNetCore.Http;

namespace Spoolwright.App.Web;

/// <summary>The page on which a tablet types its code, and the call by which this machine gets one.</summary>
internal sealed class PairCalls(Pairing pairing, string? tabletAddress)
{
    /// <summary>The form, with a word about the last try.</summary>
    public static Task Form(HttpContext context) => Page(context, "");

    /// <summary>A code as typed on the tablet.</summary>
    public async Task Redeem(HttpContext context)
    {
        var form = context.Request.HasFormContentType
            ? await context.Request.ReadFormAsync(context.RequestAborted).ConfigureAwait(false)
            : null;
        if (pairing.Redeem(form?["code"].ToString() ?? "") is not { } token)
        {
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
            await Page(
                    context,
                    "That is not the code, or it is used up. A code holds for five minutes and five tries; the bench's sound page gives a new one."
                )
                .ConfigureAwait(false);
            return;
        }

        context.Response.Cookies.Append(
            Pairing.Cookie,
            token,
            new CookieOptions
            {
                HttpOnly = true,
                SameSite = SameSiteMode.Strict,
                MaxAge = Pairing.TabletLife,
                Path = "/",
            }
        );
        context.Response.Redirect("/");
    }

    /// <summary>A new code, for this machine's own pages alone.</summary>
    public Task Code(HttpContext context) => Doorman.IsTablet(context)
        ? WebJson.Refuse(context, "A code is given on the bench's own machine alone.")
        : WebJson.Send(context, json =>
        {
            json.WriteString("address", tabletAddress);
            json.WriteString("code", tabletAddress is null ? null : pairing.NewCode());
        });

    // The form needs no script: it is all that a tablet gets before it is paired.
    private static Task Page(HttpContext context, string said)
    {
        context.Response.ContentType = "text/html; charset=utf-8";
        var word = said.Length == 0 ? "" : $"<p role=\"alert\">{HtmlEncoder.Default.Encode(said)}</p>";
        return context.Response.WriteAsync(
            $"""
            <!doctype html>
            <html lang="en">
            <head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>Pair with the bench</title><link rel="icon" href="data:,"><link rel="stylesheet" href="/files/pair.css"></head>
            <body><main>
            <h1>Pair this tablet with the bench</h1>
            <p>Type the code that the bench shows: in the terminal when it starts, or on its sound page.</p>
            {word}
            <form method="post" action="/pair"><label for="code">Code</label> <input id="code" name="code" inputmode="numeric" autocomplete="one-time-code" maxlength="12" required autofocus> <button type="submit">Pair</button></form>
            </main></body></html>
            """);
    }
}
