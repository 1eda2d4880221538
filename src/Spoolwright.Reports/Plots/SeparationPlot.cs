using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports.Plots;

/// <summary>Separation of the channels tone by tone: tones of the left channel filled, of the right channel open.</summary>
internal static class SeparationPlot
{
    private const double From = 20, To = 20000;

    /// <summary>The drawing, or null where no pass has a separation.</summary>
    public static Drawing? Of(RecordedCondition condition)
    {
        Reading[] found = Tones(Passes.Before(condition)), left = Tones(Passes.After(condition));
        if (found.Length + left.Length == 0)
            return null;
        string name = Words.Capital(Words.Of(condition.Condition));
        Limit? limit = condition
            .Passes.SelectMany(p => p.Judgements)
            .Select(j => j.Limit)
            .FirstOrDefault(l => l is { Quantity: "separation", Min: not null });
        return new Drawing(
            name,
            $"Channel separation, {name}. As found: {Said(found)}. As left: {Said(left)}.",
            (canvas, w, h) => Draw(canvas, w, h, found, left, limit)
        );
    }

    private static Reading[] Tones(RecordedPass? pass) =>
        [.. (pass?.Readings ?? []).Where(r => r is { Quantity: "separation", FrequencyHz: > 0 }).OrderBy(r => r.FrequencyHz)];

    private static string Said(Reading[] tones) =>
        tones.Length == 0 ? "not measured" : $"{tones.Length} tones, least {Figures.ValueWithUnit(tones.MinBy(t => t.Value)!)}";

    private static void Draw(SKCanvas canvas, float width, float height, Reading[] found, Reading[] left, Limit? limit)
    {
        Plot plot = PlotFrame.OverFrequency(From, To);
        plot.Axes.SetLimits(Math.Log10(From), Math.Log10(To), 20, 90);
        double[] y = PlotFrame.Steps(20, 90, 20);
        PlotFrame.YAxis(plot, y, [.. y.Select(v => Figures.Plain(v))]);
        // A limit of one tone is a rule about it alone.
        if (limit is { Min: { } least })
            PlotFrame.Limit(plot, Math.Log10(limit.FrequencyHz / 1.4 ?? From), Math.Log10(limit.FrequencyHz * 1.4 ?? To), least);
        Marks(plot, found, Palette.Before);
        Marks(plot, left, Palette.Accent);
        PlotFrame.Draw(plot, canvas, width, height, "dB");
    }

    private static void Marks(Plot plot, Reading[] tones, SKColor color)
    {
        foreach (Reading r in tones)
        {
            double x = Math.Log10(r.FrequencyHz!.Value), y = Math.Clamp(r.Value, 20, 90);
            if (r.Uncertainty is { } u)
            {
                var bar = plot.Add.Line(x, Math.Max(r.Value - u, 20), x, Math.Min(r.Value + u, 90));
                bar.LineColor = PlotFrame.Of(color);
                bar.LineWidth = .6f;
            }

            var mark = plot.Add.Marker(
                x,
                y,
                r.Channel == Channel.Right ? MarkerShape.OpenCircle : MarkerShape.FilledCircle,
                4,
                PlotFrame.Of(color)
            );
            mark.MarkerLineWidth = .9f;
        }
    }
}
