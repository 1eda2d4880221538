using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench;

namespace Spoolwright.Reports.Plots;

/// <summary>Third harmonic against level, with the level of 3 % marked.</summary>
internal static class DistortionPlot
{
    private const double LeastPercent = 0.05, MostPercent = 20, MaximumPercent = 3;

    /// <summary>The drawing, or null where no pass has such a curve.</summary>
    public static Drawing? Of(RecordedCondition condition)
    {
        var curves = PassCurve
            .Of(condition, "distortion", "third-harmonic-against-level")
            .Where(c => c.Reading("mol-relative") is not null)
            .ToList();
        if (curves.Count == 0)
            return null;
        string name = Words.Capital(Words.Of(condition.Condition));
        string said = string.Join(
            "; ",
            curves.Select(c => $"{c.Name}: 3 % at {Figures.ValueWithUnit(c.Reading("mol-relative")!)} over reference level")
        );
        return new Drawing(name, $"Third harmonic against level, {name}. {said}.", (canvas, w, h) => Draw(canvas, w, h, curves));
    }

    private static void Draw(SKCanvas canvas, float width, float height, List<PassCurve> curves)
    {
        const double least = -4, most = 14;
        double[] x = PlotFrame.Steps(least, most, 2);
        Plot plot = PlotFrame.Over(x, [.. x.Select(v => Figures.Plain(v, sign: true))]);
        double[] y = [0.1, 0.3, 1, 3, 10];
        PlotFrame.YAxis(plot, [.. y.Select(Math.Log10)], [.. y.Select(v => Figures.Plain(v))]);
        plot.Axes.SetLimits(least, most, Math.Log10(LeastPercent), Math.Log10(MostPercent));
        PlotFrame.Limit(plot, least, most, Math.Log10(MaximumPercent));
        foreach (PassCurve c in curves)
        {
            // Reference level is what the output level was held against.
            double reference = c.Reading("mol")!.Value - c.Reading("mol-relative")!.Value;
            var points = c
                .Trace.X.Zip(c.Trace.Y, (l, p) => (X: l - reference, Y: p))
                .Where(p => p.X is >= least and <= most && p.Y > LeastPercent)
                .OrderBy(p => p.X)
                .ToList();
            PlotFrame.Line(
                plot,
                [.. points.Select(p => p.X)],
                [.. points.Select(p => Math.Log10(Math.Min(p.Y, MostPercent)))],
                c.Color,
                c.Pattern,
                c.Width
            );
            var mark = plot.Add.Marker(
                c.Reading("mol-relative")!.Value,
                Math.Log10(MaximumPercent),
                c.Channel == Channel.Right ? MarkerShape.OpenCircle : MarkerShape.FilledCircle,
                6,
                PlotFrame.Of(c.Color)
            );
            mark.MarkerLineWidth = 1;
        }

        PlotFrame.Draw(plot, canvas, width, height, "%", "dB");
    }
}
