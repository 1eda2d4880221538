using System.Globalization;
using SkiaSharp;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports;

/// <summary>
/// The verdict's mark, drawn and not set in type, so that it looks the same everywhere. Four shapes that differ without colour:
/// a tick, a ring half filled, a cross, a short bar. All in a box of 10 by 10.
/// </summary>
internal static class VerdictMark
{
    private static string Strokes(Verdict verdict) => verdict switch
    {
        Verdict.Met => "M1.6 5.4 L4.1 8 L8.6 2",
        Verdict.NotProven => "M5 1.4 A3.6 3.6 0 1 1 5 8.6 A3.6 3.6 0 1 1 5 1.4",
        Verdict.NotMet => "M2 2 L8 8 M8 2 L2 8",
        _ => "M2.2 5 L7.8 5",
    };

    private static string Fill(Verdict verdict) => verdict == Verdict.NotProven ? "M5 1.4 A3.6 3.6 0 0 1 5 8.6 Z" : string.Empty;

    /// <summary>Draws it with its upper left corner at (<paramref name="x"/>, <paramref name="y"/>).</summary>
    public static void Draw(SKCanvas canvas, Verdict verdict, float x, float y, float size)
    {
        using var paint = new SKPaint
        {
            Color = Palette.Of(verdict),
            IsAntialias = true,
            Style = SKPaintStyle.Stroke,
            StrokeWidth = 1.5f,
            StrokeCap = SKStrokeCap.Round,
            StrokeJoin = SKStrokeJoin.Round
        };
        canvas.Save();
        canvas.Translate(x, y);
        canvas.Scale(size / 10);
        using (SKPath stroke = SKPath.ParseSvgPathData(Strokes(verdict)))
            canvas.DrawPath(stroke, paint);
        if (Fill(verdict).Length > 0)
        {
            paint.Style = SKPaintStyle.Fill;
            using SKPath fill = SKPath.ParseSvgPathData(Fill(verdict));
            canvas.DrawPath(fill, paint);
        }

        canvas.Restore();
    }

    /// <summary>The same as inline SVG; hidden from those who hear the page, since the word stands beside it.</summary>
    public static string Svg(Verdict verdict)
    {
        string fill = Fill(verdict).Length == 0 ? string.Empty : $"<path d=\"{Fill(verdict)}\" fill=\"currentColor\" stroke=\"none\"/>";
        return string.Create(CultureInfo.InvariantCulture,
            $"<svg class=\"mark\" viewBox=\"0 0 10 10\" aria-hidden=\"true\"><path d=\"{Strokes(verdict)}\"/>{fill}</svg>");
    }
}
