using ScottPlot;
using ScottPlot.TickGenerators;
using SkiaSharp;

namespace Spoolwright.Reports.Plots;

/// <summary>The frame that every plot of a record has in common: the record's type, thin rules, a frequency axis by octaves of
/// ten.</summary>
internal static class PlotFrame
{
    private static readonly double[] OfADecade = [1, 2, 5];

    /// <summary>An empty plot with a logarithmic frequency axis (x is log10 of Hz) between two frequencies.</summary>
    public static Plot OverFrequency(double fromHz, double toHz)
    {
        Plot plot = Empty();
        double[] at = Decades(fromHz, toHz);
        plot.Axes.Bottom.TickGenerator = new NumericManual(at.Select(Math.Log10).ToArray(), at.Select(Short).ToArray());
        return plot;
    }

    /// <summary>An empty plot with ticks of the x axis set by hand.</summary>
    public static Plot Over(double[] at, string[] labels)
    {
        Plot plot = Empty();
        plot.Axes.Bottom.TickGenerator = new NumericManual(at, labels);
        return plot;
    }

    /// <summary>Whole multiples of a step between two ends.</summary>
    public static double[] Steps(double from, double to, double step) =>
        [
            .. Enumerable
                .Range(
                    (int)Math.Ceiling((from / step) - 1e-9),
                    Math.Max(0, (int)(Math.Floor((to / step) + 1e-9) - Math.Ceiling((from / step) - 1e-9)) + 1)
                )
                .Select(i => i * step),
        ];

    /// <summary>A line through points; as found it is dashed, and the right channel is thin.</summary>
    public static void Line(Plot plot, IReadOnlyList<double> x, IReadOnlyList<double> y, SKColor color, LinePattern pattern, float width)
    {
        if (x.Count == 0)
            return;
        if (pattern.Name != LinePattern.Solid.Name)
        {
            plot.Add.Plottable(
                new DashedLine([.. x], [.. y], color, width, pattern.Name == LinePattern.Dotted.Name ? [width, 2 * width] : [4, 2.5f])
            );
            return;
        }

        var line = plot.Add.ScatterLine(x.ToArray(), y.ToArray());
        line.Color = Of(color);
        line.LineWidth = width;
    }

    /// <summary>A straight rule in the limits' colour.</summary>
    public static void Limit(Plot plot, double x0, double x1, double y)
    {
        var rule = plot.Add.Line(x0, y, x1, y);
        rule.LineColor = Of(Palette.Limit);
        rule.LineWidth = 1;
    }

    private static Plot Empty()
    {
        RecordFonts.Register();
        var plot = new Plot();
        plot.FigureBackground.Color = Of(Palette.Paper); // not transparent: the SVG writer makes that black
        plot.DataBackground.Color = Of(Palette.Paper);
        plot.Grid.MajorLineColor = Of(Palette.Rule).WithAlpha(.7);
        plot.Grid.MajorLineWidth = .5f;
        plot.Axes.Top.IsVisible = false;
        plot.Axes.Right.IsVisible = false;
        foreach (IAxis axis in (IAxis[])[plot.Axes.Bottom, plot.Axes.Left])
        {
            axis.FrameLineStyle.Width = .7f;
            axis.FrameLineStyle.Color = Of(Palette.Quiet);
            axis.MajorTickStyle.Length = 3;
            axis.MajorTickStyle.Width = .6f;
            axis.MajorTickStyle.Color = Of(Palette.Quiet);
            axis.MinorTickStyle.Length = 0;
            axis.TickLabelStyle.FontName = RecordFonts.Family;
            axis.TickLabelStyle.FontSize = 7;
            axis.TickLabelStyle.ForeColor = Of(Palette.Quiet);
        }

        return plot;
    }

    /// <summary>Sets ticks of the y axis by hand and says its unit beside the uppermost one.</summary>
    public static void YAxis(Plot plot, double[] at, string[] labels) => plot.Axes.Left.TickGenerator = new NumericManual(at, labels);

    /// <summary>Draws the plot into a space, with the units at the axes' ends.</summary>
    public static void Draw(Plot plot, SKCanvas canvas, float width, float height, string yUnit, string xUnit = "Hz", float below = 16)
    {
        plot.Layout.Fixed(new PixelPadding(30, 10, below, 14));
        // The library draws twice over when it draws a plot for the first time; on paper that would be two of everything, one on the other.
        plot.RenderInMemory((int)width, (int)height);
        plot.Render(canvas, new PixelRect(0, width, height, 0));
        Text(canvas, yUnit, 26, 6.5f, 7, Palette.Quiet, SKTextAlign.Right);
        Text(canvas, xUnit, 22, height - 4.5f, 7, Palette.Quiet, SKTextAlign.Right);
    }

    /// <summary>Sets a line of the record's type with its baseline at (<paramref name="x"/>, <paramref name="y"/>).</summary>
    public static void Text(SKCanvas canvas, string text, float x, float y, float size, SKColor color, SKTextAlign align = SKTextAlign.Left,
        bool bold = false)
    {
        using var font = new SKFont(bold ? RecordFonts.Bold : RecordFonts.Regular, size)
        {
            Subpixel = true,
            LinearMetrics = true,
            Hinting =
            SKFontHinting.None
        };
        using var paint = new SKPaint { Color = color, IsAntialias = true };
        canvas.DrawText(RecordFonts.Printable(text), x, y, align, font, paint);
    }

    /// <summary>Width of a line of the record's type.</summary>
    public static float Width(string text, float size, bool bold = false)
    {
        using var font = new SKFont(bold ? RecordFonts.Bold : RecordFonts.Regular, size)
        {
            Subpixel = true,
            LinearMetrics = true,
            Hinting =
            SKFontHinting.None
        };
        return font.MeasureText(RecordFonts.Printable(text));
    }

    public static Color Of(SKColor color) => new(color.Red, color.Green, color.Blue);

    private static double[] Decades(double from, double to)
    {
        var at = new List<double>();
        for (int decade = (int)Math.Floor(Math.Log10(from)); decade <= Math.Ceiling(Math.Log10(to)); decade++)
            at.AddRange(OfADecade.Select(s => s * Math.Pow(10, decade)).Where(f => f >= from * .999 && f <= to * 1.001));
        return [.. at];
    }

    private static string Short(double hertz) => hertz >= 1000 ? Figures.Plain(hertz / 1000) + "k" : Figures.Plain(hertz);
}
