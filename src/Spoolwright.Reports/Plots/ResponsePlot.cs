using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports.Plots;

/// <summary>The response of one channel in one condition inside its limits: as left in front, as found behind.</summary>
internal static class ResponsePlot
{
    private const double From = 20, To = 20000;

    /// <summary>
    /// Lowest and highest level of every response plot of a record, dB: all have one scale, so that they can be held against each other.
    /// It reaches over every tone and mask, but not below −24 dB, lest a dead channel flatten all the others.
    /// </summary>
    public static (double Bottom, double Top) Scale(RecordData data)
    {
        var passes = data.Passes.Select(p => p.Pass).ToList();
        var levels = passes.SelectMany(p => p.Readings).Where(r => r.Quantity == "response").Select(r => r.Value)
            .Concat(passes.SelectMany(p => p.Judgements).Where(j => j.Limit.Quantity == "response").SelectMany(j => Steps(j.Limit))
                .SelectMany(s => (double[])[s.MinDb, s.MaxDb]))
            .Concat([-3, 3]).ToList();
        return (Math.Max(Math.Floor(levels.Min() - .8), -24), Math.Min(Math.Ceiling(levels.Max() + .8), 24));
    }

    /// <summary>The drawing, or null where neither pass has a response.</summary>
    public static Drawing? Of(RecordedCondition condition, Channel channel, (double Bottom, double Top) scale)
    {
        RecordedPass? before = Passes.Before(condition),
            after = Passes.After(condition);
        Reading[] found = Tones(before, channel, "response"),
            left = Tones(after, channel, "response"),
            part = Tones(after ?? before, channel, "record-response");
        if (found.Length + left.Length == 0)
            return null;
        var limits = condition.Passes.Reverse().SelectMany(p => p.Judgements).Select(j => j.Limit).Where(l => l.Quantity == "response")
            .ToList();
        string name = $"{Words.Capital(Words.Of(channel))} channel, {Words.Of(condition.Condition)}";
        return new Drawing(name, $"Response, {name}. {Said("As found", found)} {Said("As left", left)}", (canvas, w, h) =>
            Draw(canvas, w, h, found, left, part, limits, scale));
    }

    private static Reading[] Tones(RecordedPass? pass, Channel channel, string quantity) =>
        [.. (pass?.Readings ?? []).Where(r => r.Quantity == quantity && r.Channel == channel && r.FrequencyHz > 0)
            .OrderBy(r => r.FrequencyHz)];

    private static string Said(string when, Reading[] tones) => tones.Length == 0
        ? $"{when}: not measured."
        : $"{when}: {tones.Length} tones from {Figures.ValueWithUnit(tones.MinBy(t => t.Value)!)} to {Figures.ValueWithUnit(tones.MaxBy(t => t.Value)!)}.";

    private static void Draw(
        SKCanvas canvas,
        float width,
        float height,
        Reading[] found,
        Reading[] left,
        Reading[] part,
        List<Limit> limits,
        (double Bottom, double Top) scale
    )
    {
        Plot plot = PlotFrame.OverFrequency(From, To);
        var steps = limits.SelectMany(Steps).Distinct().ToList();
        (double bottom, double top) = scale;
        plot.Axes.SetLimits(Math.Log10(From), Math.Log10(To), bottom, top);
        double step = top - bottom <= 20 ? 3 : 6; // the usual limits are whole steps of 3 dB
        double[] at =
        [
            .. Enumerable
                .Range((int)Math.Ceiling(bottom / step), (int)(Math.Floor(top / step) - Math.Ceiling(bottom / step)) + 1)
                .Select(i => i * step),
        ];
        PlotFrame.YAxis(plot, at, [.. at.Select(v => Figures.Plain(v, sign: true))]);

        foreach (MaskStep s in steps)
        {
            double x0 = Math.Log10(Math.Max(s.FromHz, From)), x1 = Math.Log10(Math.Min(s.ToHz, To));
            if (x1 <= x0)
                continue;
            var area = plot.Add.Rectangle(x0, x1, s.MinDb, s.MaxDb);
            area.FillColor = PlotFrame.Of(Palette.Inside);
            area.LineWidth = 0;
            foreach (double edge in (double[])[s.MinDb, s.MaxDb])
            {
                var line = plot.Add.Line(x0, edge, x1, edge);
                line.LineColor = PlotFrame.Of(Palette.Limit);
                line.LineWidth = 1;
            }
        }

        PlotFrame.Line(
            plot,
            [.. part.Select(t => Math.Log10(t.FrequencyHz!.Value))],
            [.. part.Select(t => Math.Clamp(t.Value, bottom, top))],
            Palette.Quiet,
            LinePattern.Dotted,
            1.1f
        );
        Curve(plot, found, Palette.Before, LinePattern.DenselyDashed, MarkerShape.OpenCircle, 1f);
        Curve(plot, left, Palette.Accent, LinePattern.Solid, MarkerShape.FilledCircle, 1.4f);
        foreach (Reading r in left.Where(r => r.Uncertainty is > 0))
        {
            double x = Math.Log10(r.FrequencyHz!.Value);
            var bar = plot.Add.Line(x, r.Value - r.Uncertainty!.Value, x, r.Value + r.Uncertainty.Value);
            bar.LineColor = PlotFrame.Of(Palette.Accent);
            bar.LineWidth = .8f;
        }

        PlotFrame.Draw(plot, canvas, width, height, "dB");
    }

    private static void Curve(Plot plot, Reading[] tones, SKColor color, LinePattern pattern, MarkerShape shape, float width)
    {
        Reading[] judged = [.. tones.Where(t => t.Judgeable)];
        if (judged.Length > 0)
        {
            double[] x = [.. judged.Select(t => Math.Log10(t.FrequencyHz!.Value))], y = [.. judged.Select(t => t.Value)];
            PlotFrame.Line(plot, x, y, color, pattern, width);
            var curve = plot.Add.ScatterPoints(x, y);
            curve.Color = PlotFrame.Of(color);
            curve.MarkerShape = shape;
            curve.MarkerSize = 3.4f;
            curve.MarkerLineWidth = .8f;
        }

        // Tones that may not be judged stand apart from the curve.
        foreach (Reading t in tones.Where(t => !t.Judgeable))
        {
            var mark = plot.Add.Marker(Math.Log10(t.FrequencyHz!.Value), t.Value, MarkerShape.Eks, 4, PlotFrame.Of(color));
            mark.MarkerLineWidth = 1;
        }
    }

    private static IEnumerable<MaskStep> Steps(Limit limit) => limit.Mask.Count > 0
        ? limit.Mask
        : limit is { Min: { } min, Max: { } max, FrequencyHz: null } ? [new MaskStep(From, To, min, max)] : [];
}
