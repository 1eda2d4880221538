using System.Diagnostics;
using System.Globalization;
using System.Security.Cryptography;
using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>
/// A bench in a process of its own, which a test kills or starves. It says on standard output what the book has acknowledged, and each
/// entry carries how much belongs to it,
/// so that half an entry is seen.
/// </summary>
internal static class BenchProcess
{
    /// <summary>Starts one.</summary>
    /// <param name="words">What it shall do.</param>
    /// <param name="under">A program to run it under; empty: none.</param>
    public static Process Start(string[] words, params string[] under)
    {
        string[] call = [.. under, Environment.ProcessPath!, .. RunnerArguments(), EntryPoint.Bench, .. words];
        return Process.Start(
            new ProcessStartInfo(call[0], call[1..])
            {
                RedirectStandardOutput = true,
                RedirectStandardError = true,
                UseShellExecute = false,
            }
        )!;
    }

    public static int Run(string[] words)
    {
        switch (words)
        {
            case ["write", var address, var seed]:
                Write(address, new Random(int.Parse(seed, CultureInfo.InvariantCulture)));
                return 0;
            case ["full-disk", var folder]:
                FullDisk(folder, Path.Combine(folder, "service.book"));
                return 0;
            case ["full-server", var folder]:
                using (var server = new PostgresServer())
                    FullDisk(folder, server.AddressOn(Directory.CreateDirectory(Path.Combine(folder, "space")).FullName));
                return 0;
            case ["loaded", var file]:
                ServiceBook.Open(file).Dispose();
                Console.Out.Write(string.Join('\n', AppDomain.CurrentDomain.GetAssemblies().Select(a => a.GetName().Name)));
                return 0;
            case ["sample", var step, var file]:
                OldBooks.Make(int.Parse(step, CultureInfo.InvariantCulture), file);
                return 0;
            default:
                Console.Error.WriteLine(
                    "bench: write ADDRESS SEED | full-disk FOLDER | full-server FOLDER | loaded FILE | sample STEP FILE"
                );
                return 2;
        }
    }

    /// <summary>
    /// A measurement of that many readings; the entry says itself how many there must be, and each reading which one it is.
    /// </summary>
    public static Filing Filing(Guid job, byte[]? sound, int readings) =>
        new()
        {
            JobId = job,
            Condition = BookOnDisk.Forward19,
            Mark = Mark.AsFound,
            Capture = sound is null
                ? new Capture("", "", null, null, null)
                : new Capture("capture.wav", Convert.ToHexStringLower(SHA256.HashData(sound)), 96000, 2, 1.5),
            OpenCapture = sound is null ? null : () => new MemoryStream(sound),
            Result = new MeasurementResult(
                "speed",
                [.. Enumerable.Range(0, readings).Select(i => BookOnDisk.Speed(i))],
                [Note.Hint("count", $"{readings}")],
                [
                    new Bench.Measurements.Trace(
                        "speed",
                        Channel.Both,
                        "s",
                        "%",
                        [.. Enumerable.Range(0, readings).Select(i => (double)i)],
                        new double[readings]
                    ),
                ]
            ),
            Instruments = [new Instrument("audio-interface", "Bench interface")],
            MeasuredAt = BookOnDisk.Day,
            ProgramVersion = "0.1.0",
        };

    /// <summary>What is half-written in a job; empty: nothing is.</summary>
    public static IEnumerable<string> Halves(JobFile file) =>
        file
            .Measurements.Where(m =>
                m.Result.Notes is not [var note]
                || note.Text != $"{m.Readings.Count}"
                || m.Result.Traces is not [var trace]
                || trace.X.Count != m.Readings.Count
                || m.Entry.Instruments.Count != 1
                || !m.Readings.Select(r => r.Reading.Value).SequenceEqual(Enumerable.Range(0, m.Readings.Count).Select(i => (double)i))
            )
            .Select(m =>
                $"measurement {m.Entry.Id}: {m.Readings.Count} readings, {m.Result.Notes.Count} notes, {m.Result.Traces.Count} curves"
            );

    private static string[] RunnerArguments() =>
        Path.GetFileNameWithoutExtension(Environment.ProcessPath) == "dotnet" ? [typeof(BenchProcess).Assembly.Location] : [];

    private static void Write(string address, Random random)
    {
        using ServiceBook book = ServiceBook.Open(address, TimeSpan.FromSeconds(60));
        string serial = $"A7-{Guid.NewGuid():N}";
        Deck deck = book.AddDeck("Meridian A7", "{}", serial, "deck");
        Say($"deck {deck.Id}");
        while (true)
        {
            Job job = book.OpenJob(deck.Id, "work", BookOnDisk.Day);
            Say($"job {job.Id}");
            for (int i = random.Next(1, 5); i > 0; i--)
            {
                byte[]? sound = random.Next(4) == 0 ? null : BookOnDisk.Sound(random.Next(), random.Next(1000, 400_000));
                CaptureEntry entry = book.FileMeasurement(Filing(job.Id, sound, random.Next(1, 30)));
                Say($"measurement {job.Id} {entry.Id} {(sound is null ? "-" : entry.Capture.Sha256)}");
            }

            book.CloseJob(job.Id, BookOnDisk.Day.AddDays(1));
            Say($"closed {job.Id}");
        }
    }

    /// <summary>
    /// On a disk of a few MB: files until it is full, with captures and then without; each time the words must say so, all that was
    /// acknowledged must be there, and
    /// once room is made it must go on. What it finds otherwise ends the process.
    /// </summary>
    private static void FullDisk(string folder, string address)
    {
        string ballast = Path.Combine(folder, "ballast");
        File.WriteAllBytes(ballast, new byte[2 << 20]);
        using ServiceBook book = ServiceBook.Open(address);
        Deck deck = book.AddDeck("Meridian A7", "{}", "A7-1", "deck");
        Job job = book.OpenJob(deck.Id, "work", BookOnDisk.Day);
        int kept = 0;
        foreach (bool withSound in (bool[])[true, false])
        {
            ServiceBookException? full = null;
            for (int i = 0; full is null && i < 100_000; i++)
            {
                try
                {
                    book.FileMeasurement(Filing(job.Id, withSound ? BookOnDisk.Sound(i, 50_000) : null, 20));
                    kept++;
                }
                catch (ServiceBookException e)
                {
                    full = e;
                }
            }

            Say($"full {full?.Code} {full?.Message}");
            JobFile file = book.ReadJob(job.Id);
            Say(
                $"kept {kept} found {file.Measurements.Count} halves {Halves(file).Count()} captures {book.CheckCaptures().Count} faults {book.Check().Count(f => !NotCompared(f))}"
            );
            Say(
                $"passing {Directory.GetFiles(folder, ".arriving-*", new EnumerationOptions { RecurseSubdirectories = true, AttributesToSkip = 0 }).Length}"
            );
            // The other kind of entry goes into what is left, until that is full as well.
        }

        File.Delete(ballast);
        book.FileMeasurement(Filing(job.Id, BookOnDisk.Sound(1_000_000, 50_000), 20));
        Say($"after {book.ReadJob(job.Id).Measurements.Count - kept}");
    }

    // A new schema beside the book needs room as well, where it is a server's.
    private static bool NotCompared(string fault) =>
        fault.StartsWith("The schema was not compared with a new one: could not extend", StringComparison.Ordinal);

    private static void Say(string line)
    {
        Console.Out.WriteLine(line);
        Console.Out.Flush();
    }
}
