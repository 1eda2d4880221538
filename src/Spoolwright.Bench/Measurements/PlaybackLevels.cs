using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tape;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>Readings at the reference tone: balance, level at reference fluxivity, level at the deck's output in volts.</summary>
internal static class PlaybackLevels
{
    public static IEnumerable<Reading> Readings(
        FoundTone reference, TestTape tape, MeasurementSettings settings, IEnumerable<Channel> channels, Func<Channel, TrackBand?> track)
    {
        var speed = settings.SpeedCmPerS ?? tape.SpeedCmPerS;
        double Fringe(Channel c) =>
            track(c) is { } band ? Fringing.Correction(tape, band, reference.Tone.FrequencyHz, speed)?.GainDb ?? 0 : 0;
        var present = channels.Where(c => PlaybackMeasurement.FiguresOf(reference, c) is not null).ToArray();
        if (present.Length == 2)
        {
            var left = PlaybackMeasurement.FiguresOf(reference, Channel.Left)!.Value;
            var right = PlaybackMeasurement.FiguresOf(reference, Channel.Right)!.Value;
            var fringe = Fringe(Channel.Left) - Fringe(Channel.Right);
            yield return Uncertain.Reading(
                Quantity.ChannelBalance, left.LevelDb - right.LevelDb - fringe,
                [
                    new UncertaintyPart("noise", double.Hypot(left.LevelNoiseDb, right.LevelNoiseDb)),
                    new UncertaintyPart("method", reference.Figures.BalanceMethodDb),
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
                Quantity.PlaybackLevel,
                figures.LevelDb - PlaybackMeasurement.TapeLevel(tape, reference.Tone) - Fringe(channel),
                [
                    new UncertaintyPart("noise", figures.LevelNoiseDb),
                    new UncertaintyPart("method", figures.LevelMethodDb),
                    new UncertaintyPart("test-tape", tapeUncertainty),
                    new UncertaintyPart("interface-response", null),
                ],
                $"level of the reference tone less what the tape holds there: where 0 dB on the tape{fluxivity} lies",
                channel,
                reference.Tone.FrequencyHz
            );

            var volts = channel == Channel.Left ? settings.FullScaleVoltsLeft : settings.FullScaleVoltsRight;
            if (volts is { } fullScale)
            {
                foreach (var reading in OutputLevels(figures, fullScale, channel, reference.Tone.FrequencyHz))
                {
                    yield return reading;
                }
            }
        }
    }
    // One level in three units; 0 dBu is √0.6 V, 0 dBV is 1 V, rms. Common practice, no source.
    private static IEnumerable<Reading> OutputLevels(ChannelFigures figures, double fullScaleVolts, Channel channel, double frequencyHz)
    {
        var method = FormattableString.Invariant($"level of the reference tone, full scale taken as {fullScaleVolts:0.###} V rms");
        var dBV = figures.LevelDb + (20 * Math.Log10(fullScaleVolts));
        UncertaintyPart[] parts =
            [new("noise", figures.LevelNoiseDb), new("method", figures.LevelMethodDb), new("volt-calibration", null)];
        yield return Uncertain.Reading(Quantity.OutputLevel, dBV - (20 * Math.Log10(Math.Sqrt(0.6))), parts, method, channel, frequencyHz);
        yield return Uncertain.Reading(Quantity.OutputLevel, dBV, parts, method, channel, frequencyHz) with { Unit = "dBV" };
        var volts = Math.Pow(10, dBV / 20);
        var perDb = volts * Math.Log(10) / 20;
        yield return Uncertain.Reading(
            Quantity.OutputLevel,
            volts,
            [.. parts.Select(p => p with { Expanded = p.Expanded * perDb })],
            method,
            channel,
            frequencyHz
        ) with
        {
            Unit = "V",
        };
    }
}
