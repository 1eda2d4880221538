using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal.Live;

namespace Spoolwright.Reports.Plots;

/// <summary>One turn of the part that a cause sits in, fast outside and slow inside its dashed circle: a part out of true has its ring off
/// centre.</summary>
internal static class CauseRing
{
    // Fewer points a turn than this show no shape.
    private const double LeastPoints = 8;
    private const double LeastTurns = 4;

    // The line's own rate is known far better than a part's by its diameter; a belt creeps.
    private const double Slip = 0.01;

    /// <summary>The drawing, or null where the cause sits in no turning part, or its turns were not heard.</summary>
    public static Drawing? Of(Ailments of, CauseFinding finding)
    {
        if (
            finding.Fitted.Where(f => f.Figure.Part is not null).MaxBy(f => Math.Abs(f.Law)) is not { } line
            || of.Profile is not { } profile
        )
            return null;
        var place = line.Figure.Place;
        foreach (
            var (condition, speed) in of.Speeds.Where(s =>
                s.Condition.Direction == place.Direction && Math.Abs(s.Condition.SpeedCmPerS - place.SpeedCmPerS!.Value) < .1
            )
        )
        {
            foreach (var part in profile.RotatingParts.Where(p => DeckWords.Word(p.Kind) == line.Figure.Part))
            {
                if (Rate(speed, part.Name) is { } rate && Turned(speed, rate) is { } ring)
                    return Drawn(part.Name, condition, ring);
            }
        }

        return null;
    }

    // Of a line of a harmonic the part turns so many times slower.
    private static double? Rate(MeasurementResult speed, string part)
    {
        foreach (
            Reading r in speed
                .Readings.Where(r => r is { Quantity: "flutter-line", FrequencyHz: > 0, Part: not null })
                .OrderByDescending(r => r.Value)
        )
        {
            if (r.Part == part)
                return r.FrequencyHz;
            if (
                r.Part!.StartsWith(part + ", harmonic ", StringComparison.Ordinal)
                && int.TryParse(r.Part.AsSpan(part.Length + 11), out int n)
                && n > 0
            )
                return r.FrequencyHz / n;
        }

        return null;
    }

    private static TurnRing? Turned(MeasurementResult speed, double rateHz)
    {
        if (speed.Traces.FirstOrDefault(t => t.Id == "speed" && t.X.Count > 10) is not { } course)
            return null;
        double sampleRate = (course.X.Count - 1) / (course.X[^1] - course.X[0]);
        if (!(sampleRate > LeastPoints * rateHz) || !((course.X[^1] - course.X[0]) * rateHz > LeastTurns))
            return null;
        // The trace is coarser than a ring's angles: between its points the speed is taken as straight, so that no angle stays empty.
        int between = Math.Max(1, (int)Math.Ceiling(2 * TurnRing.Angles * rateHz / sampleRate));
        var ring = new TurnRing(rateHz, Slip, sampleRate * between);
        for (int i = 1; i < course.Y.Count; i++)
        {
            for (int k = 0; k < between; k++)
                ring.Next(course.Y[i - 1] + (course.Y[i] - course.Y[i - 1]) * k / between);
        }

        return ring;
    }

    private static Drawing Drawn(string part, Condition condition, TurnRing ring)
    {
        var (peak, degrees) = ring.Eccentricity();
        double[] percent = ring.Percent.ToArray();
        double mean = percent.Average(), rate = ring.RateHz;
        return new Drawing(
            $"One turn of the {part}, {Words.Of(condition)}",
            FormattableString.Invariant(
                $"One turn of the {part}, {Words.Of(condition)}: {rate:0.00} turns a second, {peak:0.000} % peak once a turn. The ring's centre lies off the circle's by that much."
            ),
            (canvas, w, h) => Draw(canvas, w, h, [.. percent.Select(p => p - mean)], peak, degrees, rate)
        );
    }

    private static void Draw(SKCanvas canvas, float width, float height, double[] percent, double peak, double degrees, double rateHz)
    {
        double scale = new[] { .02, .05, .1, .2, .5, 1, 2, 5 }.FirstOrDefault(s => s >= percent.Max(Math.Abs), 5);
        // The legend has its own width beside the ring, whatever the ring's height allows.
        string strength = FormattableString.Invariant($"{peak:0.000} % a turn");
        float legend = Math.Max(PlotFrame.Width(strength, 7.5f, bold: true), PlotFrame.Width("dashed: mean speed", 6.5f)), gap = 12;
        float radius = Math.Min((width - legend - gap - 8) / 2, height / 2 - 8), rest = radius * .66f, swing = radius * .34f;
        float cx = (width - legend - gap) / 2, cy = height / 2;
        using var thin = new SKPaint { Color = Palette.Rule, StrokeWidth = .6f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        canvas.DrawCircle(cx, cy, rest + swing, thin);
        canvas.DrawCircle(cx, cy, rest - swing, thin);
        // Dashes drawn one by one: the SVG writer drops a pen's own.
        using var quiet = new SKPaint { Color = Palette.Quiet, StrokeWidth = .7f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        for (int a = 0; a < 360; a += 8)
            canvas.DrawLine(
                At(cx, rest, a),
                At(cx, rest, a, sine: true, cy),
                At(cx, rest, a + 4),
                At(cx, rest, a + 4, sine: true, cy),
                quiet
            );
        using var ink = new SKPaint
        {
            Color = Palette.Accent,
            StrokeWidth = 1.6f,
            IsAntialias = true,
            Style = SKPaintStyle.Stroke,
            StrokeJoin = SKStrokeJoin.Round,
        };
        using var path = new SKPath();
        for (int k = 0; k <= percent.Length; k++)
        {
            float r = rest + swing * (float)Math.Clamp(percent[k % percent.Length] / scale, -1.2, 1.2);
            float x = At(cx, r, 360f * k / percent.Length), y = At(cx, r, 360f * k / percent.Length, sine: true, cy);
            if (k == 0)
                path.MoveTo(x, y);
            else
                path.LineTo(x, y);
        }

        canvas.DrawPath(path, ink);
        // From the circle's centre to the ring's own.
        float off = swing * (float)Math.Min(1.2, peak / scale),
            ex = At(cx, off, (float)degrees),
            ey = At(cx, off, (float)degrees, sine: true, cy);
        using var pen = new SKPaint
        {
            Color = Palette.Ink,
            StrokeWidth = 1,
            IsAntialias = true,
            Style = SKPaintStyle.Stroke,
        };
        canvas.DrawLine(cx - 4, cy, cx + 4, cy, pen);
        canvas.DrawLine(cx, cy - 4, cx, cy + 4, pen);
        canvas.DrawLine(cx, cy, ex, ey, pen);
        using var dot = new SKPaint { Color = Palette.Ink, IsAntialias = true };
        canvas.DrawCircle(ex, ey, 2.4f, dot);
        float left = cx + radius + gap;
        PlotFrame.Text(canvas, strength, left, cy - 12, 7.5f, Palette.Ink, bold: true);
        PlotFrame.Text(canvas, FormattableString.Invariant($"{rateHz:0.00} turns/s"), left, cy - 2, 7, Palette.Ink);
        PlotFrame.Text(canvas, "dashed: mean speed", left, cy + 10, 6.5f, Palette.Quiet);
        PlotFrame.Text(canvas, FormattableString.Invariant($"outer: {scale} % fast"), left, cy + 19, 6.5f, Palette.Quiet);
        PlotFrame.Text(canvas, FormattableString.Invariant($"inner: {scale} % slow"), left, cy + 28, 6.5f, Palette.Quiet);
    }

    private static float At(float centre, float radius, float degrees, bool sine = false, float otherCentre = 0)
    {
        double a = (degrees - 90) * Math.PI / 180;
        return sine ? otherCentre + radius * (float)Math.Sin(a) : centre + radius * (float)Math.Cos(a);
    }
}
