using ScottPlot;
using SkiaSharp;

namespace Spoolwright.Reports.Plots;

/// <summary>The hill that the level goes over while bias is turned: its peak at 0 dB, the drop wanted as a rule, and the drop at the
/// end.</summary>
internal static class BiasPlot
{
    private const double Bottom = -14, Top = 1;

    /// <summary>The drawing, or null where no pass has a peak.</summary>
    public static Drawing? Of(RecordedCondition condition)
    {
        var curves = PassCurve.Of(condition, "bias", "bias-level").Where(c => c.Reading("bias-peak") is not null).ToList();
        if (curves.Count == 0)
            return null;
        string name = Words.Capital(Words.Of(condition.Condition));
        string said = string.Join(
            "; ",
            curves.Select(c =>
                $"{c.Name}: " + (c.Reading("overbias") is { } drop ? $"{Figures.ValueWithUnit(drop)} past the peak" : "not past the peak")
            )
        );
        double? wanted = curves.Select(c => c.Reading("overbias-wanted")?.Value).FirstOrDefault(v => v is not null);
        return new Drawing(
            name,
            $"Level while bias is turned, {name}. {said}. Wanted: {(wanted is { } w0 ? Figures.Plain(w0) + " dB" : "not stated")}.",
            (canvas, w, h) => Draw(canvas, w, h, curves, wanted)
        );
    }

    private static void Draw(SKCanvas canvas, float width, float height, List<PassCurve> curves, double? wanted)
    {
        double to = Math.Ceiling(curves.Max(c => c.Trace.X[^1]) / 5) * 5;
        double[] x = PlotFrame.Steps(0, to, 10);
        Plot plot = PlotFrame.Over(x, [.. x.Select(v => Figures.Plain(v))]);
        double[] y = PlotFrame.Steps(Bottom, 0, 3);
        PlotFrame.YAxis(plot, y, [.. y.Select(v => Figures.Plain(v))]);
        plot.Axes.SetLimits(0, to, Bottom, Top);
        if (wanted is { } drop)
            PlotFrame.Limit(plot, 0, to, -drop);
        foreach (PassCurve c in curves)
        {
            double peak = c.Reading("bias-peak")!.Value;
            var points = c
                .Trace.X.Zip(c.Trace.Y, (t, level) => (X: t, Y: level - peak))
                .Where((_, i) => i % 4 == 0)
                .Where(p => p.Y > Bottom - 3)
                .ToList();
            PlotFrame.Line(
                plot,
                [.. points.Select(p => p.X)],
                [.. points.Select(p => Math.Clamp(p.Y, Bottom, Top))],
                c.Color,
                c.Pattern,
                c.Width
            );
        }

        PlotFrame.Draw(plot, canvas, width, height, "dB", "s");
    }
}
