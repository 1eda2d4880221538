using Spoolwright.Signal;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Measurements;

/// <summary>Readings of the lines in a flutter spectrum, each matched to the rotating part that makes it where a profile is given.</summary>
internal static class SpeedLines
{
    public static IEnumerable<Reading> Readings(FlutterResult result, MeasurementSettings settings, List<Note> notes)
    {
        foreach (var line in result.Lines)
        {
            yield return Uncertain.Reading(
                Quantity.FlutterLine, line.Peak, [new UncertaintyPart("noise", line.PeakUncertainty)],
                "averaged spectrum of the demodulated tone, line over what lies around it", frequencyHz: line.FrequencyHz);
        }
    }
}
