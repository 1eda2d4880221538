using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.Reports.Plots;

/// <summary>The interface's own response, from its outputs to its inputs.</summary>
internal static class LoopbackPlot
{
    private const double From = 20, To = 20000;

    public static Drawing? Of(MeasurementResult loopback)
    {
        Reading[] left = Tones(loopback, Channel.Left), right = Tones(loopback, Channel.Right);
        if (left.Length < 2)
            return null;
        Reading[] all = [.. left, .. right];
        return new Drawing(
            "Left strong, right thin",
            $"The interface's own response: from {Figures.ValueWithUnit(all.MinBy(r => r.Value)!)} to {Figures.ValueWithUnit(all.MaxBy(r => r.Value)!)}.",
            (canvas, w, h) => Draw(canvas, w, h, left, right)
        );
    }

    private static Reading[] Tones(MeasurementResult loopback, Channel channel) =>
        [
            .. loopback
                .Readings.Where(r => r is { Quantity: "response", FrequencyHz: >= From and <= To } && r.Channel == channel)
                .OrderBy(r => r.FrequencyHz),
        ];

    private static void Draw(SKCanvas canvas, float width, float height, Reading[] left, Reading[] right)
    {
        double most = Math.Max(.25, left.Concat(right).Max(r => Math.Abs(r.Value)) * 1.15);
        Plot plot = PlotFrame.OverFrequency(From, To);
        plot.Axes.SetLimits(Math.Log10(From), Math.Log10(To), -most, most);
        double step = most < .6 ? .1 : most < 2 ? .5 : 2;
        double[] y = PlotFrame.Steps(-most, most, step);
        PlotFrame.YAxis(plot, y, [.. y.Select(v => Figures.Plain(Math.Round(v, 3), sign: true))]);
        foreach ((Reading[] tones, float wide) in new[] { (left, 1.5f), (right, .7f) })
            PlotFrame.Line(
                plot,
                [.. tones.Select(r => Math.Log10(r.FrequencyHz!.Value))],
                [.. tones.Select(r => r.Value)],
                Palette.Accent,
                LinePattern.Solid,
                wide
            );
        PlotFrame.Draw(plot, canvas, width, height, "dB");
    }
}
