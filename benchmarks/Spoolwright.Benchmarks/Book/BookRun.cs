using System.Diagnostics;
using System.Globalization;
using Spoolwright.App.Web;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>Times every page and every search of the bench's server with a large book. The bound is 200 ms for each.</summary>
internal static class BookRun
{
    private const double BoundMs = 200;
    private const int Runs = 15;

    // Asked before it counts: the very first asking reads the file's pages from the disk and starts what is started once.
    private const int Unheard = 1;

    /// <summary>
    /// Fills the book where it is not filled yet, times the questions, and returns an exit code: 1 where one takes too long.
    /// </summary>
    /// <param name="where">A file or a database.</param>
    /// <param name="jobs">How many jobs.</param>
    /// <param name="profile">Path of the deck profile that the decks have.</param>
    /// <param name="program">The program as people have it, compiled ahead of time: it serves what is asked.</param>
    public static async Task<int> Run(string where, int jobs, string profile, string program)
    {
        var clock = new BookClock();
        var opening = Stopwatch.StartNew();
        using ServiceBook book = ServiceBook.Open(where, TimeSpan.FromSeconds(60), clock);
        if (book.DeckCount() == 0)
        {
            var filling = Stopwatch.StartNew();
            LargeBook.Fill(book, clock, jobs, File.ReadAllText(profile));
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"filled in {filling.Elapsed.TotalSeconds:0} s, {filling.Elapsed.TotalMilliseconds / LargeBook.Readings(jobs):0.000} ms a reading, every commit on the disk"));
        }
        else
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"opened in {opening.Elapsed.TotalSeconds:0.0} s"));
        }

        LargeRest.Keep(book);
        int count = book.ProfileLines().Sum(p => p.Jobs);
        Console.WriteLine(
            string.Create(CultureInfo.InvariantCulture, $"{count} jobs, {LargeBook.Readings(count)} readings, {book.DeckCount()} decks")
        );
        if (File.Exists(where))
        {
            long bytes = Directory
                .GetFiles(Path.GetDirectoryName(Path.GetFullPath(where))!, Path.GetFileName(where) + "*")
                .Sum(f => new FileInfo(f).Length);
            Console.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{bytes / 1e6:0.0} MB, {(double)bytes / LargeBook.Readings(count):0} bytes a reading, everything else among it"
                )
            );
        }

        // Only to be asked which addresses there are: it lets go of the book when it ends.
        using var shelf = BookShelf.Of(book, Path.GetDirectoryName(program)!);
        await using var host = await BenchHost.Start(shelf, 0).ConfigureAwait(false);
        using var bench = ServedBook.Start(program, where);
        using var client = new HttpClient { BaseAddress = bench.Address };
        return await Ask(client, new BookQuestions(book).All(host.Asked), bench).ConfigureAwait(false) ? 1 : 0;
    }

    private static async Task<bool> Ask(HttpClient client, IReadOnlyList<(string What, Func<string> Address)> questions, ServedBook bench)
    {
        // Processor time counts on a busy machine too; a database's server spends more beside it.
        Console.WriteLine($"{"question",-58}  median ms   worst ms  CPU ms     kB");
        bool slow = false;
        foreach (var (what, address) in questions)
        {
            for (int i = 0; i < Unheard; i++)
                await Answer(client, address()).ConfigureAwait(false);
            int size = 0;
            TimeSpan before = bench.Spent;
            var times = new double[Runs];
            for (int i = 0; i < Runs; i++)
            {
                string asked = address();
                var timed = Stopwatch.StartNew();
                size = await Answer(client, asked).ConfigureAwait(false);
                times[i] = timed.Elapsed.TotalMilliseconds;
            }

            double cpu = (bench.Spent - before).TotalMilliseconds / Runs;
            Array.Sort(times);
            bool late = times[Runs / 2] > BoundMs;
            slow |= late;
            Console.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{what,-58} {times[Runs / 2],10:0.0} {times[^1],10:0.0} {cpu,7:0.0} {size / 1e3,6:0.0}{(late ? "  over" : "")}"
                )
            );
        }

        return slow;
    }

    private static async Task<int> Answer(HttpClient client, string address)
    {
        using HttpResponseMessage answer = await client.GetAsync(new Uri(address, UriKind.Relative)).ConfigureAwait(false);
        byte[] body = await answer.Content.ReadAsByteArrayAsync().ConfigureAwait(false);
        return answer.IsSuccessStatusCode ? body.Length
            : throw new InvalidOperationException($"{address}: {(int)answer.StatusCode} {System.Text.Encoding.UTF8.GetString(body)}");
    }
}
