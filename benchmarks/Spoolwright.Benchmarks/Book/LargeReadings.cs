using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>Four measurements of a job, each with a capture of its own: some bytes stand for the sound, which no page reads.</summary>
internal static class LargeReadings
{
    /// <summary>Readings of one measurement.</summary>
    public const int OfAMeasurement = 25;

    public static void File(ServiceBook book, Job job, DeckProfile profile, DateTimeOffset day, Random random)
    {
        foreach (Mark mark in (Mark[])[Mark.AsFound, Mark.AsLeft])
        {
            var at = mark == Mark.AsFound ? day.AddHours(1) : day.AddHours(60);
            File(book, job, profile, mark, "speed", at, random);
            File(book, job, profile, mark, "playback", at.AddMinutes(20), random);
        }
    }

    private static void File(ServiceBook book, Job job, DeckProfile profile, Mark mark, string kind, DateTimeOffset at, Random random)
    {
        byte[] sound = Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{job.Id} {mark} {kind}"));
        string hash = Convert.ToHexStringLower(SHA256.HashData(sound));
        book.FileMeasurement(
            new Filing
            {
                JobId = job.Id,
                Condition = new Condition(
                    random.Next(2) == 0 ? profile.Directions[0] : profile.Directions[^1],
                    profile.SpeedsCmPerS[random.Next(profile.SpeedsCmPerS.Count)]
                ),
                Mark = mark,
                Capture = new Capture($"{kind}-{mark}.wav", hash, 96000, 2, 60),
                OpenCapture = () => new MemoryStream(sound),
                Result = new MeasurementResult(
                    kind,
                    Readings(kind, random),
                    random.Next(3) == 0 ? [Note.Hint("looked", $"Looked at again: {LargeWords.Faults(random, 1)}.")] : [],
                    []
                ),
                Limits = profile.Limits,
                Instruments =
                [
                    new Instrument("audio interface", "Bench interface", "invented"),
                    new Instrument("test tape", $"Tape {random.Next(LargeStore.Tapes)}", "invented"),
                ],
                MeasuredAt = at,
                ProgramVersion = "benchmark",
            }
        );
    }

    private static Reading[] Readings(string kind, Random random) => [.. Enumerable.Range(0, OfAMeasurement).Select(n => kind == "speed"
        ? new Reading
        {
            Quantity = n == 0 ? Quantity.SpeedError.Id : n == 1 ? Quantity.QuasiPeak.Id : Quantity.FlutterLine.Id,
            Value = random.NextDouble() * 0.2,
            Unit = "%",
            Uncertainty = 0.002,
            Parts = [new UncertaintyPart("noise", 0.001), new UncertaintyPart("method", 0.0015)],
            FrequencyHz = n < 2 ? null : Math.Round(random.NextDouble() * 100, 2),
            Method = "line of the speed's spectrum, Hann window",
            Part = n < 2 ? null : "capstan",
        }
        : new Reading
        {
            Quantity = Quantity.Response.Id,
            Value = random.NextDouble() * 4 - 2,
            Unit = "dB",
            Uncertainty = 0.05,
            Parts = [new UncertaintyPart("noise", 0.01), new UncertaintyPart("test tape", 0.045)],
            Channel = n % 2 == 0 ? Channel.Left : Channel.Right,
            FrequencyHz = 31.5 * Math.Pow(2, n / 2 * 0.75),
            Method = "sine fit through flutter, against the reference tone",
            Role = "response",
        })];
}
