using System.Net;

namespace Spoolwright.Reports.Html;

/// <summary>Text made safe for a page: what people typed is shown, never obeyed.</summary>
internal static class HtmlText
{
    public static string Of(string text) => WebUtility.HtmlEncode(text).Replace("\r\n", "\n", StringComparison.Ordinal)
        .Replace("\n", "<br>", StringComparison.Ordinal);

    public static string Attribute(string text) => WebUtility.HtmlEncode(text.ReplaceLineEndings(" "));
}
