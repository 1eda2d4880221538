using Spoolwright.App.Tests.Cli;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.App.Tests.Reports;

/// <summary>A job whose deck came with 2 µm of dirt on the left gap forward and a capstan that swings, from closed forms, and left without
/// them.</summary>
internal static class AilingJob
{
    public const double Micrometres = 2;
    public const double CapstanHz = 7.58;
    public const double CapstanPercent = 0.09;
    private static readonly double[] Tones = [40, 63, 125, 250, 500, 1000, 2000, 4000, 6300, 8000, 10000, 12500];
    private static readonly DateTimeOffset Day = new(2026, 5, 4, 9, 0, 0, TimeSpan.Zero);

    public static JobFile File(bool mended = true)
    {
        var deck = new Deck(
            Guid.CreateVersion7(),
            "Invented",
            System.IO.File.ReadAllText(Path.Combine(Tree.Root, "examples", "deck-profile.json")),
            "A-1",
            "Open-reel deck"
        );
        var job = new Job(Guid.CreateVersion7(), deck.Id, Day, Day.AddDays(2), "Heads cleaned, capstan trued");
        var filed = new List<FiledMeasurement>();
        foreach (var mark in mended ? new[] { Mark.AsFound, Mark.AsLeft } : [Mark.AsFound])
        {
            foreach (var direction in new[] { Direction.Forward, Direction.Reverse })
            {
                foreach (var speed in new[] { 19.05, 9.525 })
                {
                    var condition = new Condition(direction, speed);
                    var dirt = mark == Mark.AsFound && direction == Direction.Forward ? Micrometres : 0;
                    filed.Add(Filed(job, condition, mark, Playback(dirt, speed)));
                    filed.Add(Filed(job, condition, mark, Speed(mark == Mark.AsFound ? CapstanPercent : 0, CapstanHz * speed / 19.05)));
                }
            }
        }

        return new JobFile(deck, job, filed, []);
    }

    /// <summary>Loss by tape held off the gap, dB: 54.575 dB a wavelength.</summary>
    public static double Loss(double micrometres, double hertz, double speed) => -54.575 * micrometres * hertz / (speed * 1e4);

    private static MeasurementResult Playback(double dirt, double speed)
    {
        var readings = new List<Reading>();
        foreach (var channel in new[] { Channel.Left, Channel.Right })
        {
            double Level(double hertz) => channel == Channel.Left ? Loss(dirt, hertz, speed) : 0;
            readings.AddRange(Tones.Select(f => Read("response", Level(f) - Level(1000), "dB", 0.2, channel, f)));
            readings.Add(Read("playback-level", -12 + Level(1000), "dBFS", 0.1, channel, null));
        }

        return new MeasurementResult("playback", readings, [], []);
    }

    private static MeasurementResult Speed(double percent, double hertz)
    {
        const double rate = 200;
        double[] seconds = [.. Enumerable.Range(0, 4000).Select(i => i / rate)];
        var readings = new List<Reading>
        {
            Read("speed-error", 0.01, "%", 0.02, Channel.Both, null),
            Read("wow-flutter-unweighted-rms", Math.Sqrt((percent * percent / 2) + 0.0004), "%", 0.002, Channel.Both, null),
        };
        if (percent > 0)
            readings.Add(Read("flutter-line", percent, "%", 0.004, Channel.Both, hertz) with { Part = "capstan", Confidence = 0.95 });
        return new MeasurementResult(
            "speed",
            readings,
            [],
            [new Trace("speed", Channel.Both, "s", "%", seconds, [.. seconds.Select(t => percent * Math.Sin(2 * Math.PI * hertz * t))])]
        );
    }

    private static Reading Read(string quantity, double value, string unit, double uncertainty, Channel channel, double? hertz) => new()
    {
        Quantity = quantity,
        Value = value,
        Unit = unit,
        Uncertainty = uncertainty,
        Channel = channel,
        FrequencyHz = hertz,
        Method = "closed form",
    };

    private static FiledMeasurement Filed(Job job, Condition condition, Mark mark, MeasurementResult result)
    {
        var entry = new CaptureEntry
        {
            Id = Guid.CreateVersion7(),
            JobId = job.Id,
            Capture = new Capture("invented.wav", new string('a', 64), 96000, 2, 20),
            Condition = condition,
            Mark = mark,
            Measurement = result.Measurement,
            MeasuredAt = mark == Mark.AsFound ? Day : Day.AddDays(1),
            ProgramVersion = "0.1.0",
        };
        Limit[] limits =
        [
            new()
            {
                Quantity = "response",
                Mask = [new MaskStep(40, 12500, -3, 3)],
                Source = "invented",
            },
            new()
            {
                Quantity = "speed-error",
                Min = -0.5,
                Max = 0.5,
                Source = "invented",
            },
        ];
        return new FiledMeasurement(entry, result, [], limits);
    }
}
