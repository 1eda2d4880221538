using ScottPlot;
using SkiaSharp;
using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.Reports.Plots;

/// <summary>One curve of a plot with the way it is drawn: as found dashed behind, as left solid before; left channel strong, right channel
/// thin.</summary>
internal sealed record PassCurve(RecordedPass Pass, Channel Channel, Trace Trace, SKColor Color, LinePattern Pattern, float Width)
{
    /// <summary>Both passes of a condition and both channels, those behind first.</summary>
    /// <param name="condition">The condition.</param>
    /// <param name="measurement">Id of the measurement.</param>
    /// <param name="trace">Id of its curve.</param>
    public static IReadOnlyList<PassCurve> Of(RecordedCondition condition, string measurement, string trace)
    {
        var curves = new List<PassCurve>();
        foreach ((RecordedPass? pass, bool after) in new[] { (Passes.Before(condition), false), (Passes.After(condition), true) })
        {
            foreach (Trace t in (pass?.Measurements ?? []).Where(m => m.Entry.Measurement == measurement).SelectMany(m => m.Result.Traces)
                .Where(t => t.Id == trace && t.X.Count > 1).OrderByDescending(t => t.Channel))
            {
                bool right = t.Channel == Channel.Right;
                curves.Add(new PassCurve(pass!, t.Channel, t, after ? Palette.Accent : Palette.Before,
                    after ? LinePattern.Solid : right ? LinePattern.Dotted : LinePattern.DenselyDashed, right ? .7f : after ? 1.5f : 1.1f));
            }
        }

        return curves;
    }

    /// <summary>A reading of the same pass and channel, or null.</summary>
    public Reading? Reading(string quantity, double? hertz = null) => Pass.Readings
        .FirstOrDefault(r => r.Quantity == quantity && r.Channel == Channel && (hertz is null || r.FrequencyHz.Equals(hertz)));

    /// <summary>Which curve it is, in words.</summary>
    public string Name => $"{Words.Of(Pass.Mark)}, {Words.Of(Channel)}";
}
