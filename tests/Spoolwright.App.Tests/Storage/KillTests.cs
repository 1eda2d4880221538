using System.Diagnostics;
using System.Globalization;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>A bench is killed at random moments: what the book acknowledged is there, and nothing half-written is read.</summary>
public abstract class KillTests(BookKind kind)
{
    [Fact]
    public void Bench_KilledAtRandomMoments_LosesNothingAcknowledged() => Kill(kills: 24, seed: 1);

    [Fact(Explicit = true)]
    [Trait("Category", "Long")]
    public void Bench_KilledHundredsOfTimes_LosesNothingAcknowledged() => Kill(kills: 300, seed: 2);

    private void Kill(int kills, int seed)
    {
        var random = new Random(seed);
        BookOnDisk? disk = null;
        int acknowledged = 0;
        try
        {
            for (int i = 0; i < kills; i++)
            {
                // Now and then a book that is just being made.
                if (i % 8 == 0)
                {
                    CheckWhole(disk);
                    disk?.Dispose();
                    disk = new BookOnDisk(kind);
                    if (kind == BookKind.Sqlite && i % 16 == 0)
                    {
                        disk.Book.Dispose();
                        foreach (string file in Directory.GetFiles(disk.Folder))
                            File.Delete(file);
                    }
                }

                var said = RunAndKill(disk!.Path, random);
                acknowledged += said.Count;
                CheckAcknowledged(disk.Path, said);
            }

            CheckWhole(disk);
        }
        finally
        {
            disk?.Dispose();
        }

        // A test in which nothing was ever written would prove nothing.
        Assert.True(acknowledged > kills, $"{acknowledged} entries were acknowledged in {kills} runs");
    }

    private static List<string> RunAndKill(string address, Random random)
    {
        using Process bench = BenchProcess.Start(["write", address, random.Next().ToString(CultureInfo.InvariantCulture)]);
        var said = new List<string>();
        int after = random.Next(0, 12);
        double pause = random.NextDouble() * random.NextDouble() * 40; // ms: the shorter the more often
        Task<string> errors = bench.StandardError.ReadToEndAsync();
        while (said.Count < after && bench.StandardOutput.ReadLine() is { } line)
            said.Add(line);
        var waited = Stopwatch.StartNew();
        while (waited.Elapsed.TotalMilliseconds < pause)
            Thread.SpinWait(50);
        Assert.False(bench.HasExited, bench.HasExited ? errors.Result : "");
        bench.Kill();
        // What it had said by then counts too, but for a line that was cut off.
        string rest = bench.StandardOutput.ReadToEnd();
        said.AddRange(rest.Split('\n')[..^1]);
        bench.WaitForExit();
        Assert.Equal("", errors.Result);
        return said;
    }

    private static void CheckAcknowledged(string address, List<string> said)
    {
        using ServiceBook book = ServiceBook.Open(address, TimeSpan.FromSeconds(60));
        if (said.Count > 0)
        {
            var deck = book.Decks().Single(d => d.Id == Guid.Parse(said[0].Split(' ')[1]));
            var jobs = book.Jobs(deck.Id).ToDictionary(j => j.Id, j => book.ReadJob(j.Id));
            Assert.Empty(jobs.Values.SelectMany(BenchProcess.Halves));
            foreach (string[] words in said.Skip(1).Select(s => s.Split(' ')))
            {
                var file = jobs[Guid.Parse(words[1])];
                if (words[0] == "closed")
                    Assert.NotNull(file.Job.Closed);
                if (words[0] != "measurement")
                    continue;
                var filed = file.Measurements.Single(m => m.Entry.Id == Guid.Parse(words[2]));
                if (words[3] == "-")
                    continue;
                Assert.Equal(words[3], filed.Entry.Capture.Sha256);
                using var capture = book.OpenCapture(words[3]);
            }
        }

        book.AddDeck("Meridian A7", "{}", $"after {Guid.NewGuid():N}", ""); // and it goes on
    }

    private static void CheckWhole(BookOnDisk? disk)
    {
        if (disk is null)
            return;
        using ServiceBook book = ServiceBook.OpenExisting(disk.Path);
        Assert.Empty(book.Check());
        Assert.Empty(book.Jobs().SelectMany(j => BenchProcess.Halves(book.ReadJob(j.Id))));
    }
}

/// <summary>The same in a SQLite file.</summary>
public sealed class SqliteKillTests() : KillTests(BookKind.Sqlite);

/// <summary>The same in PostgreSQL.</summary>
public sealed class PostgresKillTests() : KillTests(BookKind.Postgres);
