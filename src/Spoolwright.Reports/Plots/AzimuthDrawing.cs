using SkiaSharp;
using Spoolwright.Bench;

namespace Spoolwright.Reports.Plots;

/// <summary>
/// Azimuth of one condition: at the left the gap's angle, drawn larger than life; at the right, for every tone, a tick at each skew that
/// its phase
/// allows. The true skew is where the ticks of all tones agree.
/// </summary>
internal static class AzimuthDrawing
{
    private const float AngleWidth = 70, NameWidth = 34, Below = 24, Above = 6, Exaggeration = 60;

    /// <summary>The drawing, or null where neither pass has phases or a skew.</summary>
    public static Drawing? Of(RecordedCondition condition)
    {
        Side? found = Side.Of(Passes.Before(condition)), left = Side.Of(Passes.After(condition));
        if (found is null && left is null)
            return null;
        string name = Words.Capital(Words.Of(condition.Condition));
        return new Drawing(name, $"Azimuth, {name}. As found: {Said(found)}. As left: {Said(left)}.", (canvas, w, h) =>
            Draw(canvas, w, h, condition.Condition.Direction, found, left));
    }

    private static string Said(Side? side) => side is null
        ? "not measured"
        : string.Join(", ", new[] { side.Skew, side.Angle }.OfType<Reading>()
            .Select(r => $"{Words.Quantity(r.Quantity)} {Figures.ValueWithUnit(r)}").DefaultIfEmpty("phases only, no skew resolved"));

    private static void Draw(SKCanvas canvas, float width, float height, Direction direction, Side? found, Side? left)
    {
        Angle(canvas, height, direction, found?.Angle, left?.Angle);
        float x0 = AngleWidth + NameWidth, x1 = width - 6, y0 = Above, y1 = height - Below;
        double[] tones = [.. (found?.Phases ?? []).Concat(left?.Phases ?? []).Select(p => p.FrequencyHz!.Value).Distinct().Order()];
        double span = Math.Max(12, 1.35 * Math.Max(Math.Abs(found?.Skew?.Value ?? 0), Math.Abs(left?.Skew?.Value ?? 0)));
        double step = Step(span);
        span = Math.Ceiling(span / step) * step;
        float X(double skew) => x0 + (float)((skew + span) / (2 * span)) * (x1 - x0);

        using var rule = new SKPaint { Color = Palette.Rule, StrokeWidth = .5f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        for (double s = -span; s <= span + step / 2; s += step)
        {
            canvas.DrawLine(X(s), y0, X(s), y1, rule);
            PlotFrame.Text(canvas, Figures.Plain(Math.Round(s, 6), sign: true), X(s), y1 + 9, 6.5f, Palette.Quiet, SKTextAlign.Center);
        }

        PlotFrame.Text(canvas, "time skew, µs (right later: +)", (x0 + x1) / 2, y1 + 19, 6.5f, Palette.Quiet, SKTextAlign.Center);
        float lane = (y1 - y0) / Math.Max(tones.Length, 1);
        for (int i = 0; i < tones.Length; i++)
        {
            // Lowest tone at the bottom: its ticks lie farthest apart.
            float top = y1 - (i + 1) * lane;
            if (lane >= 7.5f || i % 2 == 0)
                PlotFrame.Text(canvas, Figures.Frequency(tones[i]), x0 - 5, top + lane / 2 + 2.3f, 6.5f, Palette.Quiet, SKTextAlign.Right);
            Ticks(canvas, found, tones[i], span, X, top + lane * .08f, top + lane * .46f, Palette.Before, 1.1f);
            Ticks(canvas, left, tones[i], span, X, top + lane * .5f, top + lane * .94f, Palette.Accent, 1.6f);
        }

        Agreement(canvas, found?.Skew, X, y0, y1, Palette.Before, dashed: true);
        Agreement(canvas, left?.Skew, X, y0, y1, Palette.Accent, dashed: false);
    }

    private static void Ticks(SKCanvas canvas, Side? side, double hertz, double span, Func<double, float> x, float top, float bottom,
        SKColor color, float width)
    {
        if (side?.Phases.FirstOrDefault(p => p.FrequencyHz == hertz) is not { } phase)
            return;
        double period = 1e6 / hertz;
        if (x(period) - x(0) < 3)
            return; // so close that they say nothing
        // phase = −360 f τ, so τ = −phase / (360 f), and every whole period more or less is allowed as well.
        double first = -phase.Value / 360 * period;
        using var paint = new SKPaint { Color = color, StrokeWidth = width, IsAntialias = true, Style = SKPaintStyle.Stroke };
        for (double s = first - Math.Ceiling((first + span) / period) * period; s <= span; s += period)
        {
            if (s >= -span)
                canvas.DrawLine(x(s), top, x(s), bottom, paint);
        }
    }

    private static void Agreement(SKCanvas canvas, Reading? skew, Func<double, float> x, float y0, float y1, SKColor color, bool dashed)
    {
        if (skew is null)
            return;
        using var paint = new SKPaint { Color = color.WithAlpha(170), StrokeWidth = .8f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        if (dashed)
            Dashes.Line(canvas, x(skew.Value), y0 - 4, x(skew.Value), y1 + 2, paint, [3, 2]);
        else
            canvas.DrawLine(x(skew.Value), y0 - 4, x(skew.Value), y1 + 2, paint);
    }

    private static void Angle(SKCanvas canvas, float height, Direction direction, Reading? found, Reading? left)
    {
        float cx = AngleWidth / 2 - 4, cy = (height - Below) / 2, reach = Math.Min(cy - 16, 44);
        using var pen = new SKPaint { Color = Palette.Rule, StrokeWidth = .7f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        // The tape's edges and the square across it.
        canvas.DrawLine(cx - 30, cy - reach, cx + 30, cy - reach, pen);
        canvas.DrawLine(cx - 30, cy + reach, cx + 30, cy + reach, pen);
        Dashes.Line(canvas, cx, cy - reach, cx, cy + reach, pen, [2, 2]);
        Gap(canvas, cx, cy, reach, direction, found, Palette.Before, dashed: true);
        Gap(canvas, cx, cy, reach, direction, left, Palette.Accent, dashed: false);

        // Which way the tape runs.
        float way = direction == Direction.Forward ? 1 : -1;
        using var arrow = new SKPaint { Color = Palette.Quiet, StrokeWidth = .8f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        float ay = cy - reach - 6;
        canvas.DrawLine(cx - 12, ay, cx + 12, ay, arrow);
        canvas.DrawLine(cx + way * 12, ay, cx + way * 8, ay - 2.5f, arrow);
        canvas.DrawLine(cx + way * 12, ay, cx + way * 8, ay + 2.5f, arrow);

        float line = cy + reach + 10;
        PlotFrame.Text(canvas, "found " + Short(found), cx, line, 6.5f, found is null ? Palette.Quiet : new SKColor(0x7A, 0x5C, 0x30),
            SKTextAlign.Center);
        PlotFrame.Text(canvas, "left " + Short(left), cx, line + 9, 6.5f, Palette.Accent, SKTextAlign.Center, bold: true);
    }

    private static string Short(Reading? angle) => angle is null ? "no angle" : Figures.Short(angle) + "′";

    private static void Gap(SKCanvas canvas, float cx, float cy, float reach, Direction direction, Reading? angle, SKColor color,
        bool dashed)
    {
        if (angle is null)
            return;
        // Positive: the upper end meets the tape later, so it leans the way the tape runs.
        double lean = Math.Clamp(angle.Value / 60 * Exaggeration, -38, 38) * Math.PI / 180 * (direction == Direction.Forward ? 1 : -1);
        float dx = (float)(Math.Tan(lean) * reach);
        using var pen = new SKPaint { Color = color, StrokeWidth = dashed ? 1.2f : 1.8f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        if (dashed)
            Dashes.Line(canvas, cx + dx, cy - reach, cx - dx, cy + reach, pen, [4, 2.5f]);
        else
            canvas.DrawLine(cx + dx, cy - reach, cx - dx, cy + reach, pen);
    }

    private static double Step(double span)
    {
        double raw = span / 3, ten = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        // Nine numbers at most stand side by side without touching.
        return (raw / ten) switch { < 1.333 => 1, < 2.667 => 2, < 6.667 => 5, _ => 10 } * ten;
    }

    private sealed record Side(Reading? Skew, Reading? Angle, IReadOnlyList<Reading> Phases)
    {
        public static Side? Of(RecordedPass? pass)
        {
            if (pass is null)
                return null;
            var readings = pass.Readings.ToList();
            var side = new Side(
                readings.Find(r => r is { Quantity: "time-skew", FrequencyHz: null }),
                readings.Find(r => r is { Quantity: "azimuth-angle" }),
                [.. readings.Where(r => r is { Quantity: "phase", FrequencyHz: > 0 })]);
            return side.Skew is null && side.Phases.Count == 0 ? null : side;
        }
    }
}
