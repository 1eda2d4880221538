using System.Globalization;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tape;
using Spoolwright.Signal.Live;

namespace Spoolwright.Bench.Live;

/// <summary>Turns what the live meters say into readings with uncertainty, and holds them to the deck's limits.</summary>
internal static class LiveReadings
{
    // The filters remember so much of what lay before the window, s: weighting to a tenth, the lowest edge of the bands. Computed.
    private const double WeightedMemorySeconds = 0.3;
    private const double BandMemorySeconds = 1.0;

    public static void Speed(LiveSpeedReading speed, List<Reading> into)
    {
        var seconds = speed.Seconds.ToString("0", CultureInfo.InvariantCulture);
        var noise = 100 * speed.MeanNoiseHz / speed.NominalHz;
        into.Add(Uncertain.Reading(
            Quantity.SpeedError, 100 * ((speed.MeanHz / speed.NominalHz) - 1),
            [new("noise", noise), new("interface-clock", null)], $"live, time mean of the last {seconds} s"));
        if (speed.Seconds < 5)
        {
            return;
        }

        void Add(Quantity quantity, double value, double noiseFloor, double memory, string method)
        {
            if (value > 0)
            {
                var bias = value - Math.Sqrt(Math.Max(0, (value * value) - (noiseFloor * noiseFloor)));
                into.Add(
                    Uncertain.Reading(
                        quantity,
                        value,
                        [new("noise", bias), new("method", value * memory / (2 * speed.Seconds))],
                        $"live, last {seconds} s; {method}"
                    )
                );
            }
        }

        var (weighted, plain) = (speed.WeightedNoise, speed.UnweightedNoise);
        Add(
            Quantity.QuasiPeak,
            speed.QuasiPeak,
            weighted,
            2 * WeightedMemorySeconds,
            "weighting and quasi-peak detector after [IEC60386:1988], 95th percentile in time"
        );
        Add(
            Quantity.TwoSigma,
            speed.TwoSigma,
            weighted,
            WeightedMemorySeconds,
            "weighted, deviation exceeded for 5 % of the time after [AES6:2008]"
        );
        Add(Quantity.WeightedRms, speed.WeightedRms, weighted, WeightedMemorySeconds, "weighting after [IEC60386:1988], root mean square");
        Add(Quantity.UnweightedRms, speed.UnweightedRms, plain, BandMemorySeconds, "0.2 to 200 Hz, root mean square");
        Add(Quantity.WowRms, speed.WowRms, plain * 0.2, BandMemorySeconds, "0.2 to 10 Hz, root mean square");
        Add(Quantity.FlutterRms, speed.FlutterRms, plain, BandMemorySeconds, "10 to 200 Hz, root mean square");
    }

    public static void Skew(LiveSkew skew, LiveContext context, List<Reading> into)
    {
        var how = skew.Cycle switch
        {
            CycleChoice.Resolved => "cycle resolved by the tones that stand",
            CycleChoice.Followed => "cycle followed from where it was resolved",
            _ => "cycle not resolved: the delay nearest none",
        };
        into.Add(Uncertain.Reading(Quantity.TimeSkew, skew.Microseconds, [new UncertaintyPart("noise", skew.Uncertainty)], "live; " + how));
        // Own recording holds both heads' skew; what is left without the playback head's is the record head's. With the cycle open it could
        // be another's.
        if (context is { Sent: not null, PlaybackSkew: { } playback } && skew.Cycle != CycleChoice.Nearest)
        {
            into.Add(Uncertain.Reading(
                Quantity.RecordTimeSkew, skew.Microseconds - playback.Microseconds,
                [new("noise", skew.Uncertainty), new("playback", playback.UncertaintyMicroseconds), new("interface-skew", null)],
                "live, skew of one's own recording less the playback skew of the same condition"));
        }

        if (context.TrackOffsetMm is not { } offset || Math.Abs(offset) < 1e-6 || context.Condition is not { } condition)
        {
            return;
        }

        var angle = AzimuthGeometry.AngleArcmin(skew.Microseconds, offset, condition.SpeedCmPerS);
        var spread = Math.Abs(AzimuthGeometry.AngleArcmin(skew.Microseconds + skew.Uncertainty, offset, condition.SpeedCmPerS) - angle);
        into.Add(
            Uncertain.Reading(
                Quantity.AzimuthAngle,
                angle,
                [
                    new UncertaintyPart("noise", spread),
                    new UncertaintyPart("test-tape", context.TestTape?.AzimuthUncertaintyArcmin),
                    new UncertaintyPart("gap-stagger", null),
                ],
                "live, apparent; gap stagger, the tape's own azimuth and the interface's skew are in it"
            )
        );
    }

    public static void Levels(IReadOnlyList<LiveToneState> tones, List<Reading> into)
    {
        foreach (var tone in tones.Where(t => t.AgeSeconds == 0))
        {
            into.Add(Level(Quantity.ToneLevel, tone, tone.LeftDb, tone.LeftUncertaintyDb, Channel.Left));
            into.Add(Level(Quantity.ToneLevel, tone, tone.RightDb, tone.RightUncertaintyDb, Channel.Right));
            if (tone is { LeftResponseDb: { } left, RightResponseDb: { } right })
            {
                into.Add(Level(Quantity.Response, tone, left, tone.LeftUncertaintyDb, Channel.Left));
                into.Add(Level(Quantity.Response, tone, right, tone.RightUncertaintyDb, Channel.Right));
            }
        }
    }

    public static IReadOnlyList<LiveReading> Judged(IReadOnlyList<Reading> readings, LiveContext context)
    {
        var limits = context.Profile?.Limits ?? [];
        var held = limits.Count == 0 ? [] : Judge.Readings(readings, limits, context.Condition).Where(j => j.Reading is not null).ToArray();
        return [.. readings.Select(r => new LiveReading(r, held.FirstOrDefault(j => ReferenceEquals(j.Reading, r))))];
    }

    private static Reading Level(Quantity quantity, LiveToneState tone, double value, double noise, Channel channel) =>
        Uncertain.Reading(
            quantity,
            value,
            [new UncertaintyPart("noise", noise)],
            "live, power of the tone brought to 0 Hz, noise taken off",
            channel,
            tone.NominalHz
        );
}
