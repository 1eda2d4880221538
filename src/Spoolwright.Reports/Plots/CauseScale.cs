using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;

namespace Spoolwright.Reports.Plots;

/// <summary>
/// The figures that a cause touches on one scale: how far each is off, in standard deviations of what sound decks spread. Forward stands
/// over reverse in one row, so that what both have is seen at once; a bar leads to where the figure would be without the cause.
/// </summary>
internal static class CauseScale
{
    private const int MostRows = 7;

    /// <summary>The drawing; null where all the cause touches are responses.</summary>
    public static (Drawing? Drawing, double HeightShare) Of(Explanation explanation, CauseFinding finding)
    {
        var rows = Rows(explanation, finding);
        if (rows.Count == 0)
            return (null, 0);
        var said = rows.SelectMany(r => new[] { r.Forward, r.Reverse, r.Either })
            .OfType<FittedFigure>()
            .Select(f =>
                FormattableString.Invariant(
                    $"{f.Figure.Words}: {CausesSection.Shown(f.Figure)}, {f.Off / f.Spread:0.0} times the spread"
                )
            );
        return (
            new Drawing(
                "How far off, in spreads of sound decks; bar: this cause's part",
                $"What is off on one scale. {string.Join("; ", said)}.",
                (canvas, w, h) => Draw(canvas, w, h, rows)
            ),
            0.09 + 0.1 * rows.Count
        );
    }

    private static List<ScaleRow> Rows(Explanation explanation, CauseFinding finding)
    {
        var own = finding.Fitted.ToDictionary(f => f.Figure);
        var kinds = finding
            .Fitted.Where(f => !f.Figure.Of.Name.EndsWith("/response", StringComparison.Ordinal))
            .Select(f => (f.Figure.Of, f.Figure.Part))
            .Distinct()
            .ToHashSet();
        var rows = new List<ScaleRow>();
        foreach (
            var group in explanation
                .Weighed.Where(w => kinds.Contains((w.Figure.Of, w.Figure.Part)))
                .GroupBy(w =>
                    (
                        w.Figure.Of,
                        w.Figure.Part,
                        Hz: w.Figure.Of.ByFrequency ? w.Figure.FrequencyHz : null,
                        Place: w.Figure.Place with
                        {
                            Direction = null,
                        }
                    )
                )
        )
        {
            // The figure as it was read, with what this one cause makes of it.
            FittedFigure? In(Direction? d) =>
                group
                    .Where(w => w.Figure.Place.Direction == d)
                    .Select(w => w with { Law = own.TryGetValue(w.Figure, out var mine) ? mine.Law : 0 })
                    .FirstOrDefault();
            var first = group.First().Figure;
            string name =
                Words.Capital(first.Of.Words)
                + (first.Part is { } part ? $" of the {part.Replace('-', ' ')}" : string.Empty)
                + (group.Key.Hz is { } hz ? $", {Figures.Frequency(hz)}" : string.Empty);
            rows.Add(
                new ScaleRow(name, (first.Place with { Direction = null }).Words, In(Direction.Forward), In(Direction.Reverse), In(null))
            );
        }

        // Rows of the cause's own place first, then the furthest off.
        return [.. rows.OrderByDescending(r => r.Law > 0).ThenByDescending(r => r.Most).Take(MostRows)];
    }

    private static void Draw(SKCanvas canvas, float width, float height, List<ScaleRow> rows)
    {
        float left = width * .4f, right = width - 8, top = 4, bottom = height - 16, lane = (bottom - top) / rows.Count;
        bottom = top + lane * rows.Count;
        double most = Math.Clamp(rows.Max(r => r.Most) * 1.1, 4, 40), step = most <= 5 ? 1 : most <= 12 ? 2 : most <= 25 ? 5 : 10;
        bool down = rows.Any(r => r.Least < -.5), up = rows.Any(r => r.Highest > .5);
        double from = down ? -most : -2.5, to = up || !down ? most : 2.5;
        float X(double v) => left + (float)((Math.Clamp(v, from, to) - from) / (to - from)) * (right - left);
        using var tint = new SKPaint { Color = Palette.Inside };
        canvas.DrawRect(X(-2), top, X(2) - X(-2), bottom - top, tint);
        using var rule = new SKPaint { Color = Palette.Rule, StrokeWidth = .5f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        foreach (double at in PlotFrame.Steps(from, to, step))
        {
            canvas.DrawLine(X(at), top, X(at), bottom, rule);
            PlotFrame.Text(
                canvas,
                Figures.Plain(Math.Round(at, 3), sign: true),
                X(at),
                bottom + 9,
                6.5f,
                Palette.Quiet,
                SKTextAlign.Center
            );
        }

        for (int i = 0; i < rows.Count; i++)
        {
            float y = top + lane * (i + .5f);
            canvas.DrawLine(0, top + lane * (i + 1), right, top + lane * (i + 1), rule);
            // A long name takes two lines; a third would touch the rule.
            var name = Pdf.Typeset.Wrap(rows[i].Name, 7, bold: false, left - 6);
            if (name.Count > 2)
                name = [name[0], Fitting(string.Join(' ', name.Skip(1)), left - 6, 7)];
            float line = y - 1 - (name.Count - 1) * 4;
            foreach (string part in name)
            {
                PlotFrame.Text(canvas, part, 0, line, 7, Palette.Ink);
                line += 8;
            }

            PlotFrame.Text(canvas, Fitting(rows[i].Where, left - 6, 6.5f), 0, line + .5f, 6.5f, Palette.Quiet);
            Mark(canvas, rows[i].Forward, "forward", X, y - lane * .2f, Palette.Accent, (left, right));
            Mark(canvas, rows[i].Reverse, "reverse", X, y + lane * .2f, Palette.Before, (left, right));
            Mark(canvas, rows[i].Either, string.Empty, X, y, Palette.Accent, (left, right));
        }
    }

    private static void Mark(SKCanvas canvas, FittedFigure? figure, string word, Func<double, float> x, float y, SKColor color, (float Left, float Right) room)
    {
        if (figure is null)
            return;
        float at = x(figure.Off / figure.Spread), without = x((figure.Off - figure.Law) / figure.Spread);
        using var pen = new SKPaint { Color = color, StrokeWidth = 1.2f, IsAntialias = true, Style = SKPaintStyle.Stroke };
        if (Math.Abs(at - without) > 1)
        {
            canvas.DrawLine(at, y, without, y, pen);
            canvas.DrawLine(without, y - 3, without, y + 3, pen);
        }

        using var dot = new SKPaint
        {
            Color = color,
            IsAntialias = true,
            StrokeWidth = 1.1f,
            Style = word == "reverse" ? SKPaintStyle.Stroke : SKPaintStyle.Fill,
        };
        canvas.DrawCircle(at, y, 2.6f, dot);
        string text = $"{word} {CausesSection.Shown(figure.Figure)}".TrimStart();
        float wide = PlotFrame.Width(text, 6.5f), beside = Math.Max(at, without) + 5, down = 2.2f;
        if (beside + wide > room.Right)
            beside = Math.Min(at, without) - 5 - wide;
        // A bar over all of the scale has room over itself alone; to its left stand the names.
        if (beside < room.Left)
            (beside, down) = (Math.Clamp((at + without - wide) / 2, room.Left, room.Right - wide), -2);
        PlotFrame.Text(canvas, text, beside, y + down, 6.5f, Palette.Ink);
    }

    private static string Fitting(string text, float width, float size)
    {
        while (text.Length > 4 && PlotFrame.Width(text, size) > width)
            text = text[..^2].TrimEnd('…', ' ', ',') + "…";
        return text;
    }

    private sealed record ScaleRow(string Name, string Where, FittedFigure? Forward, FittedFigure? Reverse, FittedFigure? Either)
    {
        private IEnumerable<FittedFigure> All => new[] { Forward, Reverse, Either }.OfType<FittedFigure>();

        public double Most => All.Max(f => Math.Abs(f.Off / f.Spread));

        public double Least => All.Min(f => f.Off / f.Spread);

        public double Highest => All.Max(f => f.Off / f.Spread);

        public double Law => All.Max(f => Math.Abs(f.Law));
    }
}
