using ScottPlot;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Field;

namespace Spoolwright.Reports.Plots;

/// <summary>Hours foreseen against hours taken, stage by stage.</summary>
internal static class HoursPlot
{
    /// <summary>The drawing, or null where no hour was timed.</summary>
    public static Drawing? Of(IReadOnlyList<TaskHours> tasks)
    {
        var stages = tasks.Where(t => t.Taken is not null).GroupBy(t => t.Stage).OrderBy(g => g.Key)
            .Select(g => (Name: KebabWord.Plain(g.Key), Foreseen: g.Sum(t => t.Foreseen), Taken: g.Sum(t => t.Taken!.Mean),
                Least: g.Sum(t => t.Taken!.Least), Most: g.Sum(t => t.Taken!.Most))).ToList();
        if (stages.Count == 0)
            return null;
        return new Drawing(
            "Hours by stage: foreseen (pale bar) and taken (mark: mean; line: least to most)",
            $"Hours foreseen and taken. {string.Join("; ", stages.Select(s => $"{s.Name} {s.Foreseen:0.0} foreseen, {s.Taken:0.0} taken"))}.",
            (canvas, w, h) =>
            {
                double top = Math.Max(1, Math.Ceiling(stages.Max(s => Math.Max(s.Most, s.Foreseen)) * 1.05));
                // Names stand in two lines by turns, so that no two touch.
                Plot plot = PlotFrame.Over(
                    [.. stages.Select((_, i) => (double)i)],
                    [.. stages.Select((s, i) => i % 2 == 0 ? s.Name : "\n" + s.Name)]
                );
                plot.Axes.SetLimits(-0.6, stages.Count - 0.4, 0, top);
                double[] y = PlotFrame.Steps(0, top, top > 6 ? 2 : 1);
                PlotFrame.YAxis(plot, y, [.. y.Select(v => Figures.Plain(v))]);
                for (int i = 0; i < stages.Count; i++)
                {
                    var s = stages[i];
                    var bar = plot.Add.Rectangle(i - 0.32, i + 0.32, 0, s.Foreseen);
                    bar.FillColor = PlotFrame.Of(Palette.Wash);
                    bar.LineColor = PlotFrame.Of(Palette.Before);
                    bar.LineWidth = 1;
                    var range = plot.Add.Line(i, s.Least, i, s.Most);
                    range.LineColor = PlotFrame.Of(Palette.Accent);
                    range.LineWidth = 1.6f;
                    plot.Add.Markers(new[] { (double)i }, new[] { s.Taken }, MarkerShape.FilledDiamond, 9, PlotFrame.Of(Palette.Accent));
                }

                PlotFrame.Draw(plot, canvas, w, h, "h", string.Empty, below: 25);
            });
    }
}
