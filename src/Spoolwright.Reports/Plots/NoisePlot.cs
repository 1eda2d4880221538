using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench;

namespace Spoolwright.Reports.Plots;

/// <summary>The spectrum of a condition's noise, with the lines of the mains named.</summary>
internal static class NoisePlot
{
    private const double From = 20, To = 20000;

    /// <summary>Lowest and highest level of every noise plot of a record, dBFS.</summary>
    public static (double Bottom, double Top) Scale(RecordData data)
    {
        var levels = data
            .Passes.SelectMany(p => p.Pass.Traces)
            .Where(t => t.Id == "noise-spectrum")
            .SelectMany(t => t.X.Zip(t.Y).Where(p => p.First is >= From and <= To).Select(p => p.Second))
            .ToList();
        if (levels.Count == 0)
            return (-120, -60);
        levels.Sort();
        return (Math.Floor((levels[levels.Count / 100] - 3) / 10) * 10, Math.Ceiling((levels[^1] + 8) / 10) * 10);
    }

    /// <summary>The drawing, or null where no pass has a spectrum.</summary>
    public static Drawing? Of(RecordedCondition condition, (double Bottom, double Top) scale)
    {
        var curves = PassCurve.Of(condition, "noise", "noise-spectrum");
        if (curves.Count == 0)
            return null;
        var hum = curves[^1]
            .Pass.Readings.Where(r => r.Quantity == "hum" && r.Channel == curves[^1].Channel)
            .OrderByDescending(r => r.Value)
            .Take(4)
            .OrderBy(r => r.FrequencyHz)
            .ToList();
        string name = Words.Capital(Words.Of(condition.Condition));
        string lines = string.Join(", ", hum.Select(r => $"{Figures.Frequency(r.FrequencyHz!.Value)} {Figures.ValueWithUnit(r)}"));
        return new Drawing(name, $"Noise spectrum, {name}. Hum lines, {curves[^1].Name}: {(lines.Length == 0 ? "none" : lines)}.",
            (canvas, w, h) => Draw(canvas, w, h, curves, hum, scale));
    }

    private static void Draw(
        SKCanvas canvas,
        float width,
        float height,
        IReadOnlyList<PassCurve> curves,
        List<Reading> hum,
        (double Bottom, double Top) scale
    )
    {
        Plot plot = PlotFrame.OverFrequency(From, To);
        plot.Axes.SetLimits(Math.Log10(From), Math.Log10(To), scale.Bottom, scale.Top);
        double[] y = PlotFrame.Steps(scale.Bottom, scale.Top, 20);
        PlotFrame.YAxis(plot, y, [.. y.Select(v => Figures.Plain(v))]);
        foreach (PassCurve c in curves)
        {
            var points = Thin(c.Trace.X.Zip(c.Trace.Y, (x, v) => (X: x, Y: v)).Where(p => p.X is >= From and <= To)).ToList();
            PlotFrame.Line(
                plot,
                [.. points.Select(p => Math.Log10(p.X))],
                [.. points.Select(p => Math.Clamp(p.Y, scale.Bottom, scale.Top))],
                c.Color,
                c.Pattern,
                Math.Min(c.Width, 1)
            );
        }

        PlotFrame.Draw(plot, canvas, width, height, "dBFS");
        const float left = 30, right = 10, above = 14;
        float taken = 0;
        foreach (Reading line in hum)
        {
            string text = Figures.Frequency(Math.Round(line.FrequencyHz!.Value));
            float x = left + (float)(Math.Log10(line.FrequencyHz!.Value / From) / Math.Log10(To / From)) * (width - left - right);
            float wide = PlotFrame.Width(text, 6.5f);
            if (x - wide / 2 < taken)
                continue;
            PlotFrame.Text(canvas, text, x, above + 7, 6.5f, Palette.Ink, SKTextAlign.Center);
            taken = x + wide / 2 + 4;
        }
    }

    // The highest of each sliver, so that no line of the mains is lost.
    private static IEnumerable<(double X, double Y)> Thin(IEnumerable<(double X, double Y)> points) =>
        points.GroupBy(p => (int)(Math.Log10(p.X / From) / Math.Log10(To / From) * 260)).Select(g => g.MaxBy(p => p.Y));
}
