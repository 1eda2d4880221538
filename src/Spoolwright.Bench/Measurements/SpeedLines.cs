using Spoolwright.Bench.Tape;
using Spoolwright.Signal;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Measurements;

/// <summary>Readings of the lines in a flutter spectrum, each matched to the rotating part that makes it where a profile is
/// given.</summary>
internal static class SpeedLines
{
    public static IEnumerable<Reading> Readings(FlutterResult result, MeasurementSettings settings, List<Note> notes)
    {
        const string method =
            "averaged spectrum of the demodulated tone, power of the line alone: the noise under it, as it lies around, taken out";
        var matches = Matches(result, settings);
        for (var i = 0; i < result.Lines.Count; i++)
        {
            var line = result.Lines[i];
            var match = matches?[i];
            if (match is { MayBeHum: true })
            {
                notes.Add(
                    Note.Hint(
                        "may-be-hum",
                        FormattableString.Invariant(
                            $"The flutter line at {line.FrequencyHz:0.00} Hz stands at a mains frequency: hum in the carrier looks the same. If it stays there at another tape speed, it is hum."
                        )
                    )
                );
            }

            yield return Uncertain.Reading(
                Quantity.FlutterLine,
                line.Peak,
                [new UncertaintyPart("noise", line.PeakUncertainty), new UncertaintyPart("method", line.PeakMethod)],
                match is null ? method : $"{method}; {match.Text}",
                frequencyHz: line.FrequencyHz
            ) with
            {
                Part = match?.Best is { } best ? Name(best.Cause) : null,
                Confidence = match?.Best?.Confidence,
            };
        }
    }

    private static IReadOnlyList<FlutterLineMatch>? Matches(FlutterResult result, MeasurementSettings settings)
    {
        if (settings.Profile is not { RotatingParts.Count: > 0 } profile || settings.Condition is not { } condition)
        {
            return null;
        }

        var seen = result.Lines.Select(l => new FlutterLineSeen(l.FrequencyHz, l.Peak, l.FrequencyUncertaintyHz)).ToArray();
        var error = 100 * ((result.MeanHz.Value / result.NominalHz) - 1);
        return FlutterLineMatcher.Match(seen, profile, condition, error, new ReelRadii(settings.SupplyRadiusMm, settings.TakeUpRadiusMm));
    }

    private static string Name(FlutterCause cause) => cause.Harmonic == 1 ? cause.Part : $"{cause.Part}, harmonic {cause.Harmonic}";
}
