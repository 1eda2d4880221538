using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Measurements;

/// <summary>Readings at the reference tone: balance, level at reference fluxivity, level at the deck's output in volts.</summary>
internal static class PlaybackLevels
{
    public static IEnumerable<Reading> Readings(
        FoundTone reference, TestTape tape, MeasurementSettings settings, IEnumerable<Channel> channels, Func<Channel, TrackBand?> track)
    {
        var speed = settings.SpeedCmPerS ?? tape.SpeedCmPerS;
        double Fringe(Channel c) => track(c) is { } band ? Fringing.Correction(tape, band, reference.Tone.FrequencyHz, speed)?.GainDb ?? 0 : 0;
        var present = channels.Where(c => PlaybackMeasurement.FiguresOf(reference, c) is not null).ToArray();
        if (present.Length == 2)
        {
            var left = PlaybackMeasurement.FiguresOf(reference, Channel.Left)!.Value;
            var right = PlaybackMeasurement.FiguresOf(reference, Channel.Right)!.Value;
            var fringe = Fringe(Channel.Left) - Fringe(Channel.Right);
            yield return Uncertain.Reading(
                Quantity.ChannelBalance, left.LevelDb - right.LevelDb - fringe,
                [
                    new UncertaintyPart("noise", Math.Sqrt((left.LevelNoiseDb * left.LevelNoiseDb) + (right.LevelNoiseDb * right.LevelNoiseDb))),
                    new UncertaintyPart("fringing", Fringing.RelativeUncertainty * Math.Abs(fringe)),
                    new UncertaintyPart("interface-balance", null),
                ],
                "left level less right level at the reference tone", frequencyHz: reference.Tone.FrequencyHz);
        }

        foreach (var channel in present)
        {
            var figures = PlaybackMeasurement.FiguresOf(reference, channel)!.Value;
            var tapeUncertainty = PlaybackMeasurement.Uncertainty(tape, reference.Tone);
            var fluxivity = tape.FluxivityNWbPerM is { } flux ? FormattableString.Invariant($" ({flux:0} nWb/m by the tape's label)") : "";
            yield return Uncertain.Reading(
                Quantity.PlaybackLevel, figures.LevelDb - PlaybackMeasurement.TapeLevel(tape, reference.Tone) - Fringe(channel),
                [new UncertaintyPart("noise", figures.LevelNoiseDb), new UncertaintyPart("test-tape", tapeUncertainty), new UncertaintyPart("interface-response", null)],
                $"level of the reference tone less what the tape holds there: where 0 dB on the tape{fluxivity} lies", channel, reference.Tone.FrequencyHz);

            var volts = channel == Channel.Left ? settings.FullScaleVoltsLeft : settings.FullScaleVoltsRight;
            if (volts is { } fullScale)
            {
                // 0 dBu is √0.6 V; a full-scale sine is the volts that the meter showed for it.
                yield return Uncertain.Reading(
                    Quantity.OutputLevel, figures.LevelDb + (20 * Math.Log10(fullScale / Math.Sqrt(0.6))),
                    [new UncertaintyPart("noise", figures.LevelNoiseDb), new UncertaintyPart("volt-calibration", null)],
                    FormattableString.Invariant($"level of the reference tone, full scale taken as {fullScale:0.###} V rms"), channel, reference.Tone.FrequencyHz);
            }
        }
    }
}
