using System.Globalization;
using Spoolwright.Bench;
using Spoolwright.Reports.Plots;

namespace Spoolwright.Reports.Text;

/// <summary>The audio interface by its own loopback: what it does to every capture, and what was taken out.</summary>
internal static class LoopbackSection
{
    public static IEnumerable<Block> Of(RecordData data)
    {
        if (data.Calibrations.Count == 0)
            yield break;
        yield return new Heading(3, "The audio interface, wired to itself", "loopback");
        foreach (PassMeasurement loopback in data.Calibrations)
        {
            var readings = loopback.Result.Readings;
            string Pair(string quantity, Func<IEnumerable<Reading>, Reading?> choose) =>
                string.Join(
                    " / ",
                    new[] { Channel.Left, Channel.Right }
                        .Select(c => choose(readings.Where(r => r.Quantity == quantity && r.Channel == c)))
                        .OfType<Reading>()
                        .Select(Figures.ValueWithUnit)
                );
            string skew = readings.FirstOrDefault(r => r.Quantity == "time-skew") is { } s
                ? $"{Figures.ValueWithUnit(s)} ± {Figures.Uncertainty(s)}"
                : Figures.NotStated;
            double[] tones = [.. readings.Where(r => r.Quantity == "response").Select(r => r.FrequencyHz!.Value).Distinct()];
            if (tones.Length == 0)
                continue;
            yield return new Paragraph(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"Loopback of {Figures.Day(loopback.Entry.MeasuredAt)}, {tones.Length} tones from {Figures.Frequency(tones.Min())} to {Figures.Frequency(tones.Max())}, outputs and inputs together, left / right: lowest response {Pair("response", r => r.MinBy(x => x.Value))}; right input later by {skew}; noise {Pair("noise-unweighted", r => r.FirstOrDefault())}; highest distortion {Pair("thd", r => r.MaxBy(x => x.Value))}. {Corrected(data)}"
                ),
                Small: true
            );
            if (LoopbackPlot.Of(loopback.Result) is { } drawing)
                yield return new DrawingRow([drawing], .3);
        }
    }

    // By the notes of the measurements themselves: what was not given the calibration keeps the interface's own figures.
    private static string Corrected(RecordData data)
    {
        var measured = data.Conditions.SelectMany(c => c.Passes).SelectMany(p => p.Measurements).ToList();
        string[] without =
        [
            .. Bench.Measurements.Catalogue.Entries.Where(e =>
                    measured.Any(m => m.Entry.Measurement == e.Id && m.Result.Notes.Any(n => n.Code == "interface-corrected"))
                )
                .Select(e => e.Name),
        ];
        return without.Length == 0
            ? "It was taken out of no figure of this record."
            : $"What it does was taken out of: {string.Join("; ", without)}. In all other figures it is left in.";
    }
}
