using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.App.Tests.Reports;

/// <summary>Made-up level, response, phase and azimuth of one pass.</summary>
internal static class SamplePlayback
{
    private const string LevelMethod = "sine fitted through flutter, against the tape's levels and corrections [IEEE1057:2017]";

    public static MeasurementResult Playback(Condition c, bool left, Random random)
    {
        var readings = new List<Reading>();
        foreach (Channel channel in (Channel[])[Channel.Left, Channel.Right])
        {
            double treble = left ? -.4 : channel == Channel.Left ? -4.2 : -7.5, bump = 1.1 * (.8 + .4 * random.NextDouble());
            var response = SampleRecord.Tones.Select(f =>
                f == 1000 ? 0 : treble * Math.Pow(f / 12000, 2) / (1 + Math.Pow(f / 24000, 2))
                    + bump * Math.Exp(-Math.Pow(Math.Log2(f / 70), 2)) - 1.5 * Math.Pow(30 / f, 2) + .12 * (random.NextDouble() - .5))
                    .ToArray();
            for (int i = 0; i < response.Length; i++)
            {
                double f = SampleRecord.Tones[i];
                readings.Add(new Reading
                {
                    Quantity = "tone-level",
                    Value = -18.2 + response[i] - (f == 1000 ? 0 : 10),
                    Unit = "dBFS",
                    Uncertainty = .012,
                    Channel = channel,
                    FrequencyHz = f,
                    Method = LevelMethod,
                    Parts =
                    [new("noise", .004), new("interface", .011)]
                });
                readings.Add(new Reading
                {
                    Quantity = "response",
                    Value = response[i],
                    Unit = "dB",
                    Uncertainty = f > 12500 && channel == Channel.Right ? null : f < 63 ? .6 : .25,
                    Channel = channel,
                    FrequencyHz = f,
                    Method = LevelMethod + ", less the same at 1 kHz",
                    Judgeable = f >= 63,
                    Parts = f < 63 ? [new("noise", .006), new("fringing", .6), new("test-tape", null)]
                        : [new("noise", .006), new("interface", .02), new("test-tape", .25)],
                });
            }
        }

        readings.Add(new Reading
        {
            Quantity = "channel-balance",
            Value = left ? .12 : 1.35,
            Unit = "dB",
            Uncertainty = .05,
            Method =
            "left less right at 1 kHz",
            Parts = [new("noise", .004), new("interface", .05)]
        });
        readings.Add(new Reading
        {
            Quantity = "playback-level",
            Value = left ? -8.2 : -9.6,
            Unit = "dBFS",
            Method =
            "level at the tape's reference fluxivity",
            Parts = [new("test-tape", null), new("noise", .004)]
        });
        var notes = new List<Note> { Note.Warning("fringing-unknown",
            "Tones under 63 Hz are longer on the tape than the track is wide, and the leaflet does not say whether fringing is compensated: 31.5 and 40 Hz are shown, not judged.") };
        if (!left && c is { Direction: Direction.Forward, SpeedCmPerS: 19.05 })
        {
            for (int i = 0; i < 38; i++)
                notes.Add(Note.Hint("unknown-tone", $"A tone of {700 + 13 * i} Hz at {4 + i * 1.7:0.0} s is none of the tape's; left out."));
            notes.Add(Note.Error("no-tone", "No tone of 18 kHz was found in either channel where the tape should hold one. " + string
                .Concat(Enumerable.Repeat(
                "The stretch between 148 and 152 s holds only hiss, 6 dB over the hiss of the gaps, so that the tone may be there and be lost in it; clean the heads, look at the pressure of the pad against the head and capture the tape again from the announcement on. ", 14)).TrimEnd()));
        }

        return new MeasurementResult("playback", readings, notes, []);
    }

    public static MeasurementResult Azimuth(Condition c, bool left, Random random)
    {
        double skew = (left ? .9 : c.Direction == Direction.Forward ? 38 : -21) * (.8
            + .4 * random.NextDouble()) * 9.53 / c.SpeedCmPerS * 1.4;
        var readings = new List<Reading>
        {
            new() { Quantity = "time-skew", Value = skew, Unit = "µs", Uncertainty = .05, Method = "all tones together, cycle resolved",
                Parts = [new("noise", .02), new("interface", .04)] },
        };

        // The angle is left out where track centres are unknown.
        if (c is not { Direction: Direction.Reverse, SpeedCmPerS: 19.05 } || left)
        {
            readings.Add(new Reading
            {
                Quantity = "azimuth-angle",
                Value =
                Math.Atan(skew * 1e-6 * c.SpeedCmPerS / .32) * 180 / Math.PI * 60,
                Unit = "arcmin",
                Uncertainty = .4,
                Method =
                "from skew, speed and track spacing",
                Parts = [new("noise", .02), new("test-tape", null), new("method", .4)]
            });
        }

        foreach (double f in SampleRecord.Tones.Where(f => f >= 1000))
        {
            double phase = -360 * f * skew * 1e-6 + 3 * (random.NextDouble() - .5);
            readings.Add(new Reading
            {
                Quantity = "phase",
                Value = phase - 360 * Math.Round(phase / 360),
                Unit = "°",
                Uncertainty = 1.1,
                FrequencyHz = f,
                Method = "right less left, sines fitted together",
                Parts = [new("noise", 1.1)]
            });
            readings.Add(new Reading
            {
                Quantity = "mono-sum-loss",
                Value =
                -20 * Math.Log10(Math.Max(Math.Abs(Math.Cos(Math.PI * f * skew * 1e-6)), .01)),
                Unit = "dB",
                Uncertainty = .1,
                FrequencyHz =
                f,
                Method = "from the phase",
                Parts = [new("noise", .1)]
            });
        }

        readings.Add(
            new Reading
            {
                Quantity = "azimuth-wander",
                Value = left ? .6 : 1.9,
                Unit = "µs",
                Uncertainty = .2,
                FrequencyHz = 10000,
                Method = "5th to 95th percentile of the skew during the tone",
                Parts = [new("noise", .2)],
            }
        );
        return new MeasurementResult(
            "azimuth",
            readings,
            [
                Note.Hint(
                    "apparent-angle",
                    "The angle is the apparent one: gap stagger, the tape's own azimuth and interface skew are in it."
                ),
            ],
            []
        );
    }
}
