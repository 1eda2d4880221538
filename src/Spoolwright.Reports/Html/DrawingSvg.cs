using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using SkiaSharp;

namespace Spoolwright.Reports.Html;

/// <summary>A drawing as SVG that may stand inside a page beside others.</summary>
internal static partial class DrawingSvg
{
    /// <summary>Draws it; <paramref name="number"/> keeps its inner names apart from those of the page's other drawings.</summary>
    public static string Of(Drawing drawing, float width, float height, int number)
    {
        using var stream = new MemoryStream();
        using (SKCanvas canvas = SKSvgCanvas.Create(SKRect.Create(width, height), stream))
            drawing.Draw(canvas, width, height);
        string svg = Encoding.UTF8.GetString(stream.ToArray());
        string inner = svg[(svg.IndexOf('>', svg.IndexOf("<svg", StringComparison.Ordinal)) + 1)..svg.LastIndexOf("</svg>", StringComparison.Ordinal)];
        inner = Name().Replace(inner, m => string.Create(CultureInfo.InvariantCulture, $"{m.Groups["before"].Value}d{number}-{m.Groups["name"].Value}"))
            .Replace("xlink:href", "href", StringComparison.Ordinal);
        // Written to the hundredth of a point: finer than any printer, and a third of the size.
        inner = LongNumber().Replace(inner, m => double.Parse(m.Value, CultureInfo.InvariantCulture).ToString("0.##", CultureInfo.InvariantCulture));
        return string.Create(CultureInfo.InvariantCulture,
            $"<svg viewBox=\"0 0 {width:0.##} {height:0.##}\" role=\"img\" aria-label=\"{HtmlText.Attribute(drawing.Description)}\">{inner.Trim()}</svg>");
    }

    [GeneratedRegex("""(?<before>\bid="|url\(#|href="#)(?<name>[^")]+)""", RegexOptions.ExplicitCapture, 2000)]
    private static partial Regex Name();

    [GeneratedRegex(@"-?\d+\.\d{3,}(?![\w.])", RegexOptions.None, 2000)]
    private static partial Regex LongNumber();
}
