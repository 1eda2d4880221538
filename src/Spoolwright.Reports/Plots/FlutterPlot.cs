using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.Reports.Plots;

/// <summary>The spectrum of a condition's flutter, each line named by the part that makes it; as found behind as left.</summary>
internal static class FlutterPlot
{
    private const double From = 0.5, To = 200;

    /// <summary>The drawing, or null where neither pass has a spectrum.</summary>
    public static Drawing? Of(RecordedCondition condition)
    {
        RecordedPass? before = Passes.Before(condition), after = Passes.After(condition);
        Trace? found = Spectrum(before), left = Spectrum(after);
        if (found is null && left is null)
            return null;
        Reading[] lines = [.. Lines(after ?? before!)];
        string named = string.Join("; ", lines.Select(l =>
            $"{Figures.Frequency(l.FrequencyHz!.Value)} {Figures.ValueWithUnit(l)} {l.Part ?? "fits no part"}"));
        string name = Words.Capital(Words.Of(condition.Condition));
        return new Drawing(name, $"Flutter spectrum, {name}. Lines: {(named.Length == 0 ? "none" : named)}.", (canvas, w, h) =>
            Draw(canvas, w, h, found, left, lines));
    }

    /// <summary>The lines of a pass that lie on the plot, tallest first.</summary>
    public static IEnumerable<Reading> Lines(RecordedPass pass) =>
        pass.Readings.Where(r => r is { Quantity: "flutter-line", FrequencyHz: >= From and <= To, Value: > 0 })
            .OrderByDescending(r => r.Value);

    private static Trace? Spectrum(RecordedPass? pass) => pass?.Traces.Where(t => t.Id == "flutter-spectrum" && t.X.Count > 1)
        .OrderBy(t => t.Channel).FirstOrDefault();

    private static void Draw(SKCanvas canvas, float width, float height, Trace? found, Trace? left, Reading[] lines)
    {
        Plot plot = PlotFrame.OverFrequency(From, To);
        double highest = new[] { found, left }
            .OfType<Trace>()
            .SelectMany(t => Points(t).Select(p => p.Y))
            .Concat(lines.Select(l => l.Value))
            .DefaultIfEmpty(.01)
            .Max();
        double top = Math.Ceiling(Math.Log10(highest) + .1),
            bottom = top - 3;
        // Labels get the upper third.
        double ceiling = top + 1.35;
        plot.Axes.SetLimits(Math.Log10(From), Math.Log10(To), bottom, ceiling);
        double[] at = [.. Enumerable.Range(0, 4).Select(i => bottom + i)];
        PlotFrame.YAxis(plot, at, [.. at.Select(v =>
            Math.Pow(10, v).ToString("0.######", System.Globalization.CultureInfo.InvariantCulture))]);
        Curve(plot, found, Palette.Before, bottom, .8f, LinePattern.DenselyDashed);
        Curve(plot, left, Palette.Accent, bottom, 1f, LinePattern.Solid);
        PlotFrame.Draw(plot, canvas, width, height, "% peak");
        Labels(canvas, width, height, lines, bottom, ceiling);
    }

    private static void Curve(Plot plot, Trace? trace, SKColor color, double bottom, float width, LinePattern pattern)
    {
        if (trace is null)
            return;
        var points = Thin(Points(trace)).ToList();
        PlotFrame.Line(
            plot,
            [.. points.Select(p => Math.Log10(p.X))],
            [.. points.Select(p => Math.Max(Math.Log10(Math.Max(p.Y, 1e-12)), bottom))],
            color,
            pattern,
            width
        );
    }

    private static IEnumerable<(double X, double Y)> Points(Trace trace) =>
        trace.X.Zip(trace.Y, (x, y) => (X: x, Y: y)).Where(p => p.X is >= From and <= To);

    /// <summary>At most some 400 points a plot: the highest of each sliver, so that no line is lost.</summary>
    private static IEnumerable<(double X, double Y)> Thin(IEnumerable<(double X, double Y)> points) =>
        points.GroupBy(p => (int)(Math.Log10(p.X / From) / Math.Log10(To / From) * 400)).Select(g => g.MaxBy(p => p.Y));

    /// <summary>
    /// Names over the lines: tallest first, each in the first row where it touches no other, a thin rule down to its peak.
    /// A name that finds no row is left to the table.
    /// </summary>
    private static void Labels(SKCanvas canvas, float width, float height, Reading[] lines, double bottom, double ceiling)
    {
        const float left = 30, right = 10, below = 16, above = 14, size = 6.5f, rowHeight = 8.5f;
        float plotWidth = width - left - right, plotHeight = height - below - above;
        var taken = new List<(int Row, float From, float To, float Rule)>();
        using var rule = new SKPaint { Color = Palette.Quiet, StrokeWidth = .5f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        foreach (Reading line in lines.Take(10))
        {
            string text = line.Part ?? "fits no part";
            float x = left + (float)(Math.Log10(line.FrequencyHz!.Value / From) / Math.Log10(To / From)) * plotWidth;
            float wide = PlotFrame.Width(text, size);
            // A rule must not run through a name in a row under its own, whichever of the two came first.
            bool Fits(int r, float at) =>
                !taken.Exists(t =>
                    t.Row == r && at < t.To + 4 && at + wide > t.From - 4
                    || t.Row > r && x > t.From - 1 && x < t.To + 1
                    || t.Row < r && t.Rule > at - 1 && t.Rule < at + wide + 1
                );
            // In the middle over its rule, else to its right, else to its left.
            var places = Enumerable.Range(0, 4).SelectMany(r => new[] { x - wide / 2, x - 2, x - wide + 2 }
                .Select(at => (Row: r, From: Math.Clamp(at, left + 2, width - right - wide)))).Where(p => Fits(p.Row, p.From)).ToList();
            if (places.Count == 0)
                continue;
            (int row, float from) = places[0];
            taken.Add((row, from, from + wide, x));
            float baseline = above + 8 + row * rowHeight;
            float peak = above + (float)((ceiling - Math.Log10(line.Value)) / (ceiling - bottom)) * plotHeight;
            canvas.DrawLine(x, baseline + 2, x, Math.Max(peak - 2, baseline + 2), rule);
            PlotFrame.Text(canvas, text, from, baseline, size, Palette.Ink);
        }
    }
}
