using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>
/// Fills a book as a shop would in a lifetime, through the same calls that the program makes: jobs of a hundred readings each, in four
/// measurements. The same seed
/// gives the same book. What it says is invented.
/// </summary>
internal static class LargeBook
{
    private const int MeasurementsOfAJob = 4, ReadingsOfAMeasurement = 25, DecksInTen = 8;

    private static readonly string[] Faults =
    [
        "belts turned to tar", "pinch roller glazed", "reel motor hums", "capstan bearing dry", "counter belt missing", "relay contacts black", "head worn to the shim",
        "brake pads gone", "lamp of the left meter dark", "pot of the right input scratches", "idler slips in reverse", "solenoid weak when warm", "oil on the flywheel",
        "foil sensor dirty", "supply reel table runs out of true", "feet perished",
    ];

    private static readonly string[] Work =
    [
        "Belts replaced", "Rollers replaced", "Transport stripped and cleaned", "Relays cleaned", "Head block rebuilt", "Brakes lined anew", "Meters lit again", "Bearings oiled",
        "Azimuth set", "Bias set for the new tape", "Run in for four hours", "Speed trimmed",
    ];

    /// <summary>Readings of a book of that many jobs.</summary>
    public static long Readings(int jobs) => (long)jobs * MeasurementsOfAJob * ReadingsOfAMeasurement;

    public static void Fill(ServiceBook book, int jobs, string profileText)
    {
        var profile = DeckProfileFile.Parse(profileText).Value ?? throw new InvalidOperationException("the profile cannot be read");
        var random = new Random(2026);
        var decks = new List<Deck>();
        var day = new DateTimeOffset(1996, 1, 2, 8, 0, 0, TimeSpan.Zero);
        for (int i = 0; i < jobs; i++)
        {
            day = day.AddHours(random.Next(20, 80));
            if (decks.Count == 0 || random.Next(10) < DecksInTen)
                decks.Add(book.AddDeck($"{profile.Name} {random.Next(12)}", profileText, $"F{decks.Count:00000}-{random.Next(1000):000}", Some(random, Faults, 1)));
            Deck deck = decks[random.Next(Math.Max(0, decks.Count - 400), decks.Count)];
            Job job = book.OpenJob(deck.Id, $"{Some(random, Work, 4)}. Found: {Some(random, Faults, 3)}.", day);
            foreach (Mark mark in (Mark[])[Mark.AsFound, Mark.AsLeft])
            {
                File(book, job, profile, mark, "speed", day, random);
                File(book, job, profile, mark, "playback", day, random);
            }

            if (i < jobs - 5)
                book.CloseJob(job.Id, day.AddDays(3));
        }
    }

    private static void File(ServiceBook book, Job job, DeckProfile profile, Mark mark, string kind, DateTimeOffset day, Random random)
    {
        var readings = Enumerable.Range(0, ReadingsOfAMeasurement).Select(n => kind == "speed"
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
            }).ToArray();
        book.FileMeasurement(new Filing
        {
            JobId = job.Id,
            Condition = new Condition(random.Next(2) == 0 ? profile.Directions[0] : profile.Directions[^1], profile.SpeedsCmPerS[random.Next(profile.SpeedsCmPerS.Count)]),
            Mark = mark,
            Capture = new Capture("", "", null, null, null),
            OpenCapture = null,
            Result = new MeasurementResult(kind, readings, random.Next(3) == 0 ? [Note.Hint("looked", $"Looked at again: {Some(random, Faults, 1)}.")] : [], []),
            Limits = profile.Limits,
            Instruments = [new Instrument("audio interface", "Bench interface", "invented"), new Instrument("test tape", $"Tape {random.Next(4)}", "invented")],
            MeasuredAt = day,
            ProgramVersion = "benchmark",
        });
    }

    private static string Some(Random random, string[] of, int most) =>
        string.Join(", ", Enumerable.Range(0, random.Next(1, most + 1)).Select(_ => of[random.Next(of.Length)]));
}
