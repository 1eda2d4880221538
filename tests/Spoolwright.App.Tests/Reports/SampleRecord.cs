using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;

namespace Spoolwright.App.Tests.Reports;

/// <summary>
/// A made-up job as the service book would give it: an auto-reverse deck of invented make, two directions, two speeds, sixteen tones, as
/// found and as left,
/// with what a record has to bear: a condition that could not run as found, tones that may not be judged, uncertainties that nobody knows,
/// forty notes,
/// one of them of great length.
/// </summary>
internal static class SampleRecord
{
    public static readonly double[] Tones = [31.5, 40, 63, 100, 125, 250, 500, 1000, 2000, 4000, 6300, 8000, 10000, 12500, 14000, 16000];

    public static readonly IReadOnlyList<Limit> Limits =
    [
        new() { Quantity = "speed-error", Min = -0.5, Max = 0.5, Source = "made-up service manual, page 12" },
        new() { Quantity = "wow-flutter-quasi-peak", Max = 0.07, SpeedCmPerS = 19.05, Source = "made-up service manual, page 12" },
        new() { Quantity = "wow-flutter-quasi-peak", Max = 0.12, SpeedCmPerS = 9.53, Source = "made-up service manual, page 12" },
        new() { Quantity = "response", Mask = [new MaskStep(40, 100, -5, 3), new MaskStep(100, 10000, -3, 3),
            new MaskStep(10000, 16000, -5, 3)], Source = "made-up service manual, page 14" },
        new() { Quantity = "channel-balance", Min = -1, Max = 1, Source = "the workshop's own wish" },
        new() { Quantity = "azimuth-angle", Min = -2, Max = 2, Source = "the workshop's own wish" },
        new() { Quantity = "output-level", Min = -3, Max = 3, Source = "made-up service manual, page 13" },
    ];

    private static readonly DateTimeOffset Day = new(2026, 3, 12, 10, 0, 0, TimeSpan.Zero);

    private static readonly Instrument Interface =
        new("audio-interface", "Bench interface, inputs 1 and 2", "loopback of 2 March 2026: 0.02 dB, 0.03 µs");

    private static readonly Instrument LevelTape =
        new("test-tape", "Level tape “Fallow 250”", "leaflet of 2023, 41 plays; azimuth not certified");

    private static readonly Instrument SpeedTape = new("test-tape", "Speed tape 3150 Hz", null);

    public static RecordData Data() => RecordComposer.Compose(File(), Judge, Day.AddDays(4), "0.1.0", Conditions,
        "Hollin Lane Tape Repairs, Netherby");

    public static IReadOnlyList<Condition> Conditions { get; } =
        [new(Direction.Forward, 9.53), new(Direction.Forward, 19.05), new(Direction.Reverse, 9.53), new(Direction.Reverse, 19.05)];

    public static JobFile File()
    {
        var deck = new Deck(
            new Guid("018f0000-0000-7000-8000-000000000001"),
            "Meridian A7",
            "{}",
            "A7-00412",
            "Open-reel deck, quarter-track stereo, auto-reverse, 9.53 and 19.05 cm/s"
        );
        var job = new Job(
            new Guid("018f0000-0000-7000-8000-000000000002"),
            deck.Id,
            Day,
            Day.AddDays(3),
            "Capstan belt and both pinch rollers replaced; old grease removed and bearings relubricated; head block cleaned, heads not relapped.\nPlayback level, equalization and azimuth aligned in both directions. Record side not touched."
        );
        var filed = new List<FiledMeasurement>();
        foreach (Condition c in Conditions)
        {
            // Reverse at the slow speed did not run as found.
            bool dead = c is { Direction: Direction.Reverse, SpeedCmPerS: 9.53 };
            if (!dead)
                Add(filed, job, c, Mark.AsFound);
            Add(filed, job, c, Mark.AsLeft);
        }

        return new JobFile(deck, job, filed,
            [new Unmeasured(job.Id, Conditions[2], Mark.AsFound,
                "could not run: the reverse pinch roller had turned to tar and the tape did not move.")]);
    }

    /// <summary>Judges as section 9 of the design says; the program's own judge is not needed to set a record.</summary>
    public static IReadOnlyList<Judgement> Judge(IReadOnlyList<Reading> readings, IReadOnlyList<Limit> limits, Condition? condition)
    {
        var said = new List<Judgement>();
        foreach (Limit limit in limits.Where(l => l.SpeedCmPerS is null || l.SpeedCmPerS == condition!.SpeedCmPerS))
        {
            var those = readings.Where(r => r.Quantity == limit.Quantity).ToList();
            if (those.Count == 0)
                said.Add(new Judgement(limit, null, Verdict.NotMeasured, null, "no reading"));
            foreach (Reading r in those)
            {
                MaskStep? step = limit.Mask.FirstOrDefault(m => r.FrequencyHz >= m.FromHz && r.FrequencyHz <= m.ToHz);
                if (limit.Mask.Count > 0 && step is null)
                    continue;
                double margin = Math.Min((step?.MaxDb ?? limit.Max ?? double.PositiveInfinity) - r.Value,
                    r.Value - (step?.MinDb ?? limit.Min ?? double.NegativeInfinity));
                said.Add(new Judgement(limit, r, !r.Judgeable ? Verdict.NotMeasured : r.Uncertainty is not { } u ? Verdict.NotProven
                    : margin >= u ? Verdict.Met : margin < -u ? Verdict.NotMet : Verdict.NotProven, margin));
            }
        }

        return said;
    }

    private static void Add(List<FiledMeasurement> filed, Job job, Condition c, Mark mark)
    {
        bool left = mark == Mark.AsLeft;
        filed.Add(Filed(job, c, mark, SampleFlutter.Result(c, left, new Random(7 + filed.Count)), SpeedTape, "speed"));
        filed.Add(Filed(job, c, mark, SamplePlayback.Playback(c, left, new Random(70 + filed.Count)), LevelTape, "level"));
        filed.Add(Filed(job, c, mark, SamplePlayback.Azimuth(c, left, new Random(700 + filed.Count)), LevelTape, "level"));
    }

    private static FiledMeasurement Filed(Job job, Condition c, Mark mark, MeasurementResult result, Instrument tape, string sound)
    {
        string file =
            $"A7-00412 {(c.Direction == Direction.Forward ? "forward" : "reverse")} {c.SpeedCmPerS} {(mark == Mark.AsLeft ? "as-left" : "as-found")} {sound} tape.wav";
        string hash = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(file)));
        var entry = new CaptureEntry
        {
            Id = new Guid(System.Security.Cryptography.SHA256.HashData(System.Text.Encoding.UTF8.GetBytes(file
                + result.Measurement))[..16]),
            JobId = job.Id,
            Capture = new Capture(file, hash, 96000, 2, sound == "speed" ? 60 : 214.5),
            Condition = c,
            Mark = mark,
            Measurement = result.Measurement,
            Instruments = [Interface, tape],
            MeasuredAt = Day.AddDays(mark == Mark.AsLeft ? 2 : 0).AddMinutes(c.SpeedCmPerS),
            ProgramVersion = "0.1.0",
        };
        return new FiledMeasurement(entry, result, [], Limits);
    }
}
