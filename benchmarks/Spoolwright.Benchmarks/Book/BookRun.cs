using System.Diagnostics;
using System.Globalization;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>Times at the server what pages ask of a large book. The bound is 200 ms for each.</summary>
internal static class BookRun
{
    private const double BoundMs = 200;
    private const int Runs = 15;

    /// <summary>
    /// Fills the book where it is not filled yet, times the questions, and returns an exit code: 1 where one takes too long.
    /// </summary>
    /// <param name="where">A file or a database.</param>
    /// <param name="jobs">How many jobs.</param>
    /// <param name="profile">Path of the deck profile that the decks have.</param>
    public static int Run(string where, int jobs, string profile)
    {
        using ServiceBook book = ServiceBook.Open(where, TimeSpan.FromSeconds(60));
        if (book.Jobs().Count == 0)
        {
            var filling = Stopwatch.StartNew();
            LargeBook.Fill(book, jobs, File.ReadAllText(profile));
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"filled in {filling.Elapsed.TotalSeconds:0} s, {filling.Elapsed.TotalMilliseconds / LargeBook.Readings(jobs):0.000} ms a reading, every commit on the disk"));
        }

        IReadOnlyList<Job> all = book.Jobs();
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{all.Count} jobs, {LargeBook.Readings(all.Count)} readings, {book.DeckLines().Count} decks"));
        if (File.Exists(where))
        {
            long bytes = Directory.GetFiles(Path.GetDirectoryName(Path.GetFullPath(where))!, Path.GetFileName(where) + "*").Sum(f => new FileInfo(f).Length);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{bytes / 1e6:0.0} MB, {(double)bytes / LargeBook.Readings(all.Count):0} bytes a reading, everything else among it"));
        }

        var random = new Random(7);
        Job Any() => all[random.Next(all.Count)];
        (string What, Func<int> Ask)[] questions =
        [
            ("list of decks", () => book.DeckLines().Count),
            ("list of jobs", () => book.Jobs().Count),
            ("jobs of a deck", () => book.Jobs(Any().DeckId).Count),
            ("a job, whole", () => book.ReadJob(Any().Id).Measurements.Count),
            ("a deck's matrix", () => Matrix(book, Any())),
            ("a job's record", () => Record(book, Any())),
            ("search: a rare word", () => book.Search($"F{random.Next(3000):00000}").Count),
            ("search: a common word", () => book.Search("belts").Count),
            ("search: two common words", () => book.Search("belts replaced").Count),
            ("search: beginning of a word", () => book.Search("be").Count),
            ("search: one letter", () => book.Search("b").Count),
            ("search: three letters at once", () => book.Search("b r c").Count),
            ("search: nothing", () => book.Search("zwieback").Count),
            ("last edits", () => book.Acts().Count),
        ];
        // Processor time counts on a busy machine too; a file's book is asked in this very process.
        Console.WriteLine("question                          median ms   worst ms  CPU ms  found");
        bool slow = false;
        foreach ((string what, Func<int> ask) in questions)
        {
            ask();
            int found = 0;
            TimeSpan before = Spent();
            double[] times = [.. Enumerable.Range(0, Runs).Select(_ =>
            {
                var timed = Stopwatch.StartNew();
                found = ask();
                return timed.Elapsed.TotalMilliseconds;
            }).Order()];
            double cpu = (Spent() - before).TotalMilliseconds / Runs;
            slow |= times[Runs / 2] > BoundMs;
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{what,-32} {times[Runs / 2],10:0.0} {times[^1],10:0.0} {cpu,7:0.0} {found,6}"));
        }

        return slow ? 1 : 0;
    }

    private static TimeSpan Spent()
    {
        using var self = Process.GetCurrentProcess();
        return self.TotalProcessorTime;
    }

    private static int Matrix(ServiceBook book, Job job)
    {
        JobFile file = book.ReadJob(job.Id);
        return DeckMatrix.Of(DeckProfileFile.Parse(file.Deck.ProfileJson).Value!, file, []).Parts.Sum(p => p.Rows.Count);
    }

    private static int Record(ServiceBook book, Job job)
    {
        JobFile file = book.ReadJob(job.Id);
        return RecordComposer.Compose(file, Judge.Readings, job.Opened, "benchmark", null, null).ToString().Length > 0 ? 1 : 0;
    }
}
