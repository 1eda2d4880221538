using SkiaSharp;

namespace Spoolwright.Reports.Plots;

/// <summary>One line that says what the plots' lines and marks mean.</summary>
internal static class PlotKey
{
    /// <summary>A key with the lines named; <paramref name="limits"/> adds the limit's line.</summary>
    public static DrawingRow Of(string before, string after, bool limits, bool tones = true) =>
        new(
            [
                new Drawing(
                    string.Empty,
                    $"Dashed: {before}. Solid: {after}."
                        + (limits ? (tones ? " Thin rules with a tint between: the limits." : " Thin rule: the limit.") : string.Empty),
                    (canvas, _, _) =>
                    {
                        float x = 0;
                        x = Line(canvas, x, before, Palette.Before, 1.1f, dashed: true);
                        x = Line(canvas, x, after, Palette.Accent, 1.6f, dashed: false);
                        if (limits && !tones)
                        {
                            Line(canvas, x, "limit or mark", Palette.Limit, 1f, dashed: false);
                        }
                        else if (limits)
                        {
                            using var tint = new SKPaint { Color = Palette.Inside };
                            canvas.DrawRect(x, 2, 18, 7, tint);
                            x = Line(canvas, x, "limits", Palette.Limit, 1f, dashed: false, at: [2, 9]);
                            using var cross = new SKPaint
                            {
                                Color = Palette.Accent,
                                StrokeWidth = 1,
                                IsAntialias = true,
                                Style = SKPaintStyle.Stroke,
                            };
                            canvas.DrawLine(x + 2, 3, x + 7, 8, cross);
                            canvas.DrawLine(x + 7, 3, x + 2, 8, cross);
                            PlotFrame.Text(canvas, "tone shown but not judged", x + 12, 8.2f, 7.5f, Palette.Ink);
                        }
                    }
                ),
            ],
            0.024
        );

    private static float Line(SKCanvas canvas, float x, string text, SKColor color, float width, bool dashed, float[]? at = null)
    {
        using var pen = new SKPaint { Color = color, StrokeWidth = width, IsAntialias = true, Style = SKPaintStyle.Stroke };
        foreach (float y in at ?? [5.5f])
        {
            if (dashed)
                Dashes.Line(canvas, x, y, x + 18, y, pen, [4, 2.5f]);
            else
                canvas.DrawLine(x, y, x + 18, y, pen);
        }

        PlotFrame.Text(canvas, text, x + 22, 8.2f, 7.5f, Palette.Ink);
        return x + 22 + PlotFrame.Width(text, 7.5f) + 18;
    }
}
