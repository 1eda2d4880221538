using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.Reports.Text;

/// <summary>Which figures the tables list. The steps on the way to others, tone by tone, are left to the record's CSV and JSON.</summary>
internal static class ListedFigures
{
    /// <summary>Said where the tables begin.</summary>
    public const string LeftOut =
        "Left to the record as CSV or JSON, which have every figure with its method: of single tones the level, phase, delay and mono sum, and separation and overall response where a plot shows them; "
        + "record’s part in the response; intermodulation; typed readings told once more in another unit.";

    /// <summary>Whether the tables list a figure of a measurement.</summary>
    public static bool Lists(string measurement, Reading reading) =>
        (Quantity.Find(reading.Quantity) is not { } kind || kind.Unit == reading.Unit) && reading.Quantity switch
        {
            "tone-level" => reading.Role == "reference" && measurement == "playback",
            "phase" or "mono-sum-loss" or "record-response" or "intermodulation" or "overbias-wanted" => false,
            "time-skew" => reading.FrequencyHz is null,
            "separation" => measurement == "crosstalk",
            "response" or "response-max" or "response-min" => measurement != "record",
            "wanted-drop-time" => false,
            "hum" => reading.FrequencyHz < 200,
            _ => true,
        };

    /// <summary>Every figure of the record that some table lists.</summary>
    public static IEnumerable<Reading> Of(RecordData data) =>
        data.Passes.SelectMany(p => p.Pass.Measurements).SelectMany(m => m.Result.Readings.Where(r => Lists(m.Entry.Measurement, r)));

    /// <summary>Whether a measurement is read from a gauge and typed in.</summary>
    public static bool IsTyped(string measurement) => Catalogue.Find(measurement) is { MeasureSheet: not null };
}
