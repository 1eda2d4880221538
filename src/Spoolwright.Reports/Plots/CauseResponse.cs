using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Reports.Plots;

/// <summary>A response that a cause bends: what is off in it laid against the curve of the cause's law.</summary>
internal static class CauseResponse
{
    private const double From = 20, To = 20000;

    /// <summary>The responses that a finding touches, the one that its law bends most first; played ones before recorded ones of like
    /// bend.</summary>
    public static IReadOnlyList<FittedResponse> Fitted(CauseFinding finding) =>
        [
            .. finding
                .Curves.Select(c => new FittedResponse(
                    c.Of,
                    c.Place,
                    [
                        .. finding
                            .Fitted.Where(f => f.Figure.Of == c.Of && f.Figure.Place == c.Place && f.Figure.FrequencyHz is not null)
                            .OrderBy(f => f.Figure.FrequencyHz),
                    ],
                    c
                ))
                .Where(r => r.Points.Count > 1)
                .OrderByDescending(r => r.Points.Max(p => Math.Abs(p.Law)) * (r.Of.Name == "playback/response" ? 1.3 : 1)),
        ];

    /// <summary>What is off, tone by tone, and the law's curve through it.</summary>
    public static Drawing Residual(CauseFinding finding, FittedResponse response)
    {
        var worst = response.Points.MaxBy(p => Math.Abs(p.Law))!;
        string what = $"{response.Of.Words}, {response.Place.Words}";
        return new Drawing(
            $"Points off; curve: law; tint: sound decks ({(response.Place with { Direction = null }).Words})",
            $"Residual against the fitted law. {what}: at {Figures.Frequency(worst.Figure.FrequencyHz!.Value)} the reading is off by {Figures.Plain(Math.Round(worst.Off, 1), sign: true)} dB, the law makes {Figures.Plain(Math.Round(worst.Law, 1), sign: true)} dB of it.",
            (canvas, w, h) =>
            {
                Plot plot = PlotFrame.OverFrequency(From, To);
                var (bottom, top) = Scale(plot, response.Points.SelectMany(p => new[] { p.Off, p.Law }));
                plot.Axes.SetLimits(Math.Log10(From), Math.Log10(To), bottom, top);
                Zone(plot, response.Points, p => Math.Log10(p.Figure.FrequencyHz!.Value), bottom, top);
                PlotFrame.Line(
                    plot,
                    [.. response.Curve.Hz.Select(Math.Log10)],
                    [.. response.Curve.Db.Select(v => Math.Clamp(v, bottom, top))],
                    Palette.Accent,
                    LinePattern.Solid,
                    1.6f
                );
                Points(
                    plot,
                    response.Points,
                    p => Math.Log10(p.Figure.FrequencyHz!.Value),
                    Palette.Ink,
                    MarkerShape.FilledCircle,
                    bottom,
                    top
                );
                PlotFrame.Draw(plot, canvas, w, h, "dB");
            });
    }

    /// <summary>Two speeds over frequency: what is electronics falls together here. Null where only one speed was played.</summary>
    public static Drawing? OverFrequency(CauseFinding finding) =>
        TwoSpeeds(finding) is not var (fast, slow)
            ? null
            : Speeds(
                fast,
                slow,
                "over frequency: one if electronics",
                PlotFrame.OverFrequency(From, To),
                Math.Log10(From),
                Math.Log10(To),
                (hertz, _) => Math.Log10(hertz),
                "Hz"
            );

    /// <summary>Two speeds over wavelength: what is head or tape falls together here. Null where only one speed was played.</summary>
    public static Drawing? OverWavelength(CauseFinding finding)
    {
        if (TwoSpeeds(finding) is not var (fast, slow))
            return null;
        double[] at = [5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000];
        var plot = PlotFrame.Over([.. at.Select(a => -Math.Log10(a))], [.. at.Select(a => Figures.Plain(a))]);
        return Speeds(
            fast,
            slow,
            "over wavelength: one if head or tape",
            plot,
            -Math.Log10(6000),
            -Math.Log10(5),
            (hertz, place) => -Math.Log10(Wavelength.Micrometres(hertz, place.SpeedCmPerS ?? 19.05)),
            "µm"
        );
    }

    /// <summary>The same response in both directions, neither cause nor fit taken off: forward solid, reverse dashed. Null where one
    /// direction was read.</summary>
    public static Drawing? Directions(Explanation explanation, FittedResponse response)
    {
        FittedFigure[] Of(Direction d) =>
            [
                .. explanation
                    .Weighed.Where(w =>
                        w.Figure.Of == response.Of
                        && w.Figure.Place == response.Place with { Direction = d }
                        && w.Figure.FrequencyHz is not null
                    )
                    .OrderBy(w => w.Figure.FrequencyHz),
            ];
        FittedFigure[] forward = Of(Direction.Forward),
            reverse = Of(Direction.Reverse);
        if (forward.Length < 2 || reverse.Length < 2)
            return null;
        string what = $"{response.Of.Words}, {(response.Place with { Direction = null }).Words}";
        return new Drawing(
            $"Forward solid, reverse dashed. {Words.Capital((response.Place with { Direction = null }).Words)}",
            $"Forward laid over reverse. {what}: forward from {Range(forward)}, reverse from {Range(reverse)}.",
            (canvas, w, h) =>
            {
                Plot plot = PlotFrame.OverFrequency(From, To);
                var (bottom, top) = Scale(plot, forward.Concat(reverse).Select(p => p.Off));
                plot.Axes.SetLimits(Math.Log10(From), Math.Log10(To), bottom, top);
                Series(plot, reverse, Palette.Before, LinePattern.DenselyDashed, MarkerShape.OpenCircle, 1f, bottom, top);
                Series(plot, forward, Palette.Accent, LinePattern.Solid, MarkerShape.FilledCircle, 1.4f, bottom, top);
                PlotFrame.Draw(plot, canvas, w, h, "dB");
            });
    }

    // Of one direction and channel the fastest and the slowest speed played.
    private static (FittedResponse Fast, FittedResponse Slow)? TwoSpeeds(CauseFinding finding)
    {
        var pair = Fitted(finding)
            .Where(r => r.Of.Name == "playback/response" && r.Place.SpeedCmPerS is not null)
            .GroupBy(r => r.Place with { SpeedCmPerS = null })
            .Select(g => g.OrderByDescending(r => r.Place.SpeedCmPerS).ToArray())
            .FirstOrDefault(g => g.Length > 1);
        return pair is null ? null : (pair[0], pair[^1]);
    }

    private static Drawing Speeds(
        FittedResponse fast,
        FittedResponse slow,
        string how,
        Plot plot,
        double left,
        double right,
        Func<double, CausePlace, double> x,
        string unit
    )
    {
        string name(FittedResponse r) => Figures.Speed(r.Place.SpeedCmPerS!.Value);
        return new Drawing(
            $"{Figures.Plain(fast.Place.SpeedCmPerS!.Value)} cm/s solid, {Figures.Plain(slow.Place.SpeedCmPerS!.Value)} dashed, {how}",
            $"Speed against speed, {(fast.Place with { SpeedCmPerS = null }).Words}, {how}. {name(fast)}: from {Range(fast.Points)}. {name(slow)}: from {Range(slow.Points)}.",
            (canvas, w, h) =>
            {
                var (bottom, top) = Scale(plot, fast.Points.Concat(slow.Points).Select(p => p.Off));
                plot.Axes.SetLimits(left, right, bottom, top);
                foreach (
                    var (r, color, pattern, shape, width) in new[]
                    {
                        (slow, Palette.Before, LinePattern.DenselyDashed, MarkerShape.OpenCircle, 1f),
                        (fast, Palette.Accent, LinePattern.Solid, MarkerShape.FilledCircle, 1.4f),
                    }
                )
                {
                    PlotFrame.Line(
                        plot,
                        [.. r.Points.Select(p => x(p.Figure.FrequencyHz!.Value, p.Figure.Place))],
                        [.. r.Points.Select(p => Math.Clamp(p.Off, bottom, top))],
                        color,
                        pattern,
                        width
                    );
                    Points(plot, r.Points, p => x(p.Figure.FrequencyHz!.Value, p.Figure.Place), color, shape, bottom, top);
                }

                PlotFrame.Draw(plot, canvas, w, h, "dB", unit);
            });
    }

    private static string Range(IReadOnlyList<FittedFigure> points) =>
        $"{Figures.Plain(Math.Round(points.Min(p => p.Off), 1), sign: true)} to {Figures.Plain(Math.Round(points.Max(p => p.Off), 1), sign: true)} dB off";

    private static void Series(
        Plot plot,
        FittedFigure[] points,
        SKColor color,
        LinePattern pattern,
        MarkerShape shape,
        float width,
        double bottom,
        double top
    )
    {
        PlotFrame.Line(
            plot,
            [.. points.Select(p => Math.Log10(p.Figure.FrequencyHz!.Value))],
            [.. points.Select(p => Math.Clamp(p.Off, bottom, top))],
            color,
            pattern,
            width
        );
        Points(plot, points, p => Math.Log10(p.Figure.FrequencyHz!.Value), color, shape, bottom, top);
    }

    // Markers, each with its reading's own uncertainty (k = 2).
    private static void Points(
        Plot plot,
        IReadOnlyList<FittedFigure> points,
        Func<FittedFigure, double> x,
        SKColor color,
        MarkerShape shape,
        double bottom,
        double top
    )
    {
        foreach (FittedFigure p in points)
        {
            double at = Math.Clamp(p.Off, bottom, top),
                own = 2 * Math.Sqrt((p.Figure.Deviation * p.Figure.Deviation) + p.Figure.Shared.Sum(s => s.Deviation * s.Deviation));
            var bar = plot.Add.Line(x(p), Math.Clamp(at - own, bottom, top), x(p), Math.Clamp(at + own, bottom, top));
            bar.LineColor = PlotFrame.Of(color);
            bar.LineWidth = .8f;
            var mark = plot.Add.Marker(x(p), at, shape, 3.6f, PlotFrame.Of(color));
            mark.MarkerLineWidth = .8f;
        }
    }

    // What sound decks spread, two standard deviations either way.
    private static void Zone(Plot plot, IReadOnlyList<FittedFigure> points, Func<FittedFigure, double> x, double bottom, double top)
    {
        var zone = plot.Add.FillY(
            [.. points.Select(x)],
            [.. points.Select(p => Math.Clamp(-2 * p.Spread, bottom, top))],
            [.. points.Select(p => Math.Clamp(2 * p.Spread, bottom, top))]
        );
        zone.FillColor = PlotFrame.Of(Palette.Inside);
        zone.LineWidth = 0;
        zone.MarkerSize = 0;
    }

    private static (double Bottom, double Top) Scale(Plot plot, IEnumerable<double> values)
    {
        var all = values.Where(double.IsFinite).Append(-1.5).Append(1.5).ToList();
        double bottom = Math.Max(Math.Floor(all.Min() - .5), -24), top = Math.Min(Math.Ceiling(all.Max() + .5), 24);
        double step = top - bottom <= 6 ? 1 : top - bottom <= 20 ? 3 : 6;
        double[] at = PlotFrame.Steps(bottom, top, step);
        PlotFrame.YAxis(plot, at, [.. at.Select(v => Figures.Plain(v, sign: true))]);
        return (bottom, top);
    }
}

/// <summary>One response with what a cause makes of it.</summary>
internal sealed record FittedResponse(Observable Of, CausePlace Place, IReadOnlyList<FittedFigure> Points, LawCurve Curve);
