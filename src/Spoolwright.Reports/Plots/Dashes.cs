using ScottPlot;
using SkiaSharp;

namespace Spoolwright.Reports.Plots;

/// <summary>Dashes as strokes of their own. The SVG writer knows no dashed pen: it draws such a line through, and complains on the standard
/// error.</summary>
internal static class Dashes
{
    /// <summary>Draws a path with dashes and gaps of those lengths, in points, one after another.</summary>
    /// <param name="canvas">Where.</param>
    /// <param name="path">Along what.</param>
    /// <param name="pen">A plain pen.</param>
    /// <param name="lengths">Dash, gap, …; an even number, each above 0.</param>
    public static void Along(SKCanvas canvas, SKPath path, SKPaint pen, ReadOnlySpan<float> lengths)
    {
        using var dashed = new SKPath();
        using var measure = new SKPathMeasure(path, forceClosed: false);
        do
        {
            var at = 0f;
            for (var i = 0; at < measure.Length; i++)
            {
                var to = at + lengths[i % lengths.Length];
                if (i % 2 == 0)
                    measure.GetSegment(at, Math.Min(to, measure.Length), dashed, startWithMoveTo: true);
                at = to;
            }
        }
        while (measure.NextContour());

        canvas.DrawPath(dashed, pen);
    }

    /// <summary>Draws a straight line so.</summary>
    public static void Line(SKCanvas canvas, float x0, float y0, float x1, float y1, SKPaint pen, ReadOnlySpan<float> lengths)
    {
        using var path = new SKPath();
        path.MoveTo(x0, y0);
        path.LineTo(x1, y1);
        Along(canvas, path, pen, lengths);
    }
}

/// <summary>A line through points of a plot, dashed or dotted.</summary>
internal sealed class DashedLine(double[] x, double[] y, SKColor color, float width, float[] lengths) : IPlottable
{
    public bool IsVisible { get; set; } = true;

    public IAxes Axes { get; set; } = new Axes();

    public IEnumerable<LegendItem> LegendItems => LegendItem.None;

    public AxisLimits GetAxisLimits() => new(x.Min(), x.Max(), y.Min(), y.Max());

    public void Render(RenderPack rp)
    {
        using var path = new SKPath();
        for (var i = 0; i < x.Length; i++)
        {
            var at = Axes.GetPixel(new Coordinates(x[i], y[i]));
            if (i == 0)
                path.MoveTo(at.X, at.Y);
            else
                path.LineTo(at.X, at.Y);
        }

        using var pen = new SKPaint { Color = color, StrokeWidth = width, IsAntialias = true, Style = SKPaintStyle.Stroke };
        Dashes.Along(rp.Canvas, path, pen, lengths);
    }
}
