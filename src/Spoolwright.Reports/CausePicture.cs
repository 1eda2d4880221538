using Spoolwright.Bench.Causes;
using Spoolwright.Reports.Plots;

namespace Spoolwright.Reports;

/// <summary>A picture that speaks for a cause, as a whole SVG file.</summary>
/// <param name="Caption">What it shows.</param>
/// <param name="Says">The same for those who cannot see it.</param>
/// <param name="Svg">The drawing.</param>
public sealed record CausePicture(string Caption, string Says, string Svg)
{
    // The page shows it 517 wide on a common screen, so that its smallest letters, 6.5 here, are 12 pixels high.
    private const float Width = 280;

    // The record's inks on paper, and what stands for each in a dim room: the colours of the bench's pages.
    private static readonly (SkiaSharp.SKColor Paper, string Dim)[] Inks =
    [
        (Palette.Ink, "#f3efe4"),
        (Palette.Quiet, "#a8a294"),
        (Palette.Rule, "#4a4b45"),
        (Palette.Accent, "#ffd166"),
        (Palette.Before, "#8fd0ff"),
        (Palette.Limit, "#ff9d8a"),
        (Palette.Inside, "#2c3a33"),
    ];

    /// <summary>The pictures of a finding for a page in a dim room, the one that says most first.</summary>
    public static IReadOnlyList<CausePicture> ForPage(Ailments ailments, CauseFinding finding)
    {
        ArgumentNullException.ThrowIfNull(ailments);
        ArgumentNullException.ThrowIfNull(finding);
        return [.. CausePlots.Of(ailments, finding).Select((p, i) => new CausePicture(
            p.Drawing.Caption, p.Drawing.Description, Dim(Html.DrawingSvg.Of(p.Drawing, Width, (float)(Width * p.HeightShare), i))))];
    }

    private static string Dim(string svg)
    {
        foreach (var (paper, dim) in Inks)
            svg = svg.Replace(Palette.Css(paper), dim, StringComparison.OrdinalIgnoreCase);
        svg = svg.Replace("fill=\"white\"", "fill=\"#14150f\"", StringComparison.Ordinal)
            .Replace("#ffffff", "#14150f", StringComparison.OrdinalIgnoreCase);
        return svg.Replace("<svg ", "<svg xmlns=\"http://www.w3.org/2000/svg\" ", StringComparison.Ordinal);
    }
}
