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
        string inner = svg[(svg.IndexOf('>', svg.IndexOf("<svg", StringComparison.Ordinal)) + 1)..svg.LastIndexOf("</svg>",
            StringComparison.Ordinal)];
        // The plotting library first clears its space to transparent, which the SVG writer paints as a black rectangle.
        inner = Cleared().Replace(inner, string.Empty);
        // The SVG writer numbers its names through the life of the program; numbered anew, the same drawing gives the same text.
        var names = new Dictionary<string, int>(StringComparer.Ordinal);
        inner = Name().Replace(inner, m =>
            {
                string name = m.Groups["name"].Value;
                names.TryAdd(name, names.Count + 1);
                return string.Create(CultureInfo.InvariantCulture, $"{m.Groups["before"].Value}d{number}-{names[name]}");
            })
            .Replace("xlink:href", "href", StringComparison.Ordinal);
        // Written to the hundredth of a point: finer than any printer, and a third of the size.
        // In tags alone: the text between them is what people read.
        inner = Tag()
            .Replace(
                inner,
                tag =>
                    LongNumber()
                        .Replace(
                            tag.Value,
                            m => double.Parse(m.Value, CultureInfo.InvariantCulture).ToString("0.##", CultureInfo.InvariantCulture)
                        )
            );
        return string.Create(
            CultureInfo.InvariantCulture,
            $"<svg viewBox=\"0 0 {width:0.##} {height:0.##}\" role=\"img\" aria-label=\"{HtmlText.Attribute(drawing.Description)}\">{inner.Trim()}</svg>"
        );
    }

    [GeneratedRegex("""(?<before>\bid="|url\(#|href="#)(?<name>[^")]+)""", RegexOptions.ExplicitCapture, 2000)]
    private static partial Regex Name();

    [GeneratedRegex("""^\s*<rect width="[\d.]+" height="[\d.]+"/>""", RegexOptions.None, 2000)]
    private static partial Regex Cleared();

    [GeneratedRegex("<[^>]*>", RegexOptions.None, 2000)]
    private static partial Regex Tag();

    [GeneratedRegex(@"-?\d+\.\d{3,}(?![\w.])", RegexOptions.None, 2000)]
    private static partial Regex LongNumber();
}
