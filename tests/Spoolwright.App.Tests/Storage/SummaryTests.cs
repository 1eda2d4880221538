using Dapper;
using Spoolwright.Bench;
using Spoolwright.Bench.Service.Field;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>What is summed up as it is filed is what comes of adding everything up anew.</summary>
public abstract class SummaryTests(BookKind kind)
{
    [Fact]
    public void Summaries_KeptAlong_AreThoseMadeAnew()
    {
        using var disk = new BookOnDisk(kind);
        Filled(disk);
        List<string> kept = Rows(disk);
        Assert.True(kept.Count > 10, string.Join('\n', kept));
        using (var raw = disk.Raw())
            raw.Execute("DELETE FROM leaning; DELETE FROM job_digest; DELETE FROM setting WHERE name = 'summaries'");
        Assert.Empty(Rows(disk));
        ServiceBook.OpenExisting(disk.Path).Dispose();
        Assert.Equal(kept, Rows(disk));
    }

    [Fact]
    public void Figures_OfAKind_AreThoseOfItsJobsReadings()
    {
        using var disk = new BookOnDisk(kind);
        Filled(disk);
        // By hand, from the jobs as they are read whole: the last of each condition and mark that none took the place of.
        var expected = disk.Book.Jobs().SelectMany(j => disk.Book.ReadJob(j.Id).Measurements).Where(m => m.SupersededBy is null)
            .SelectMany(m => m.Result.Readings.Where(r => r.Quantity != "flutter-line")
                .Select(r => (Key: (r.Quantity, m.Entry.Condition.SpeedCmPerS, m.Entry.Mark), m.Entry.MeasuredAt, r.Value)))
            .GroupBy(r => r.Key).ToDictionary(g => g.Key, g => g.OrderBy(r => r.MeasuredAt).Last().Value);
        var found = DeckField.Quantities(disk.Book.JobFigures(disk.Deck.ProfileName));
        Assert.Equal(expected.Count, found.Sum(q => q.Decks.Sum(d => (d.AsFound is null ? 0 : 1) + (d.AsLeft is null ? 0 : 1))));
        foreach (var ((quantity, speed, mark), value) in expected)
        {
            FieldDeck deck = Assert.Single(found.Single(q => q.Key.Quantity == quantity && q.Key.SpeedCmPerS == speed).Decks);
            Assert.Equal(value, mark == Mark.AsFound ? deck.AsFound : deck.AsLeft);
        }

        // The interface wired to itself reads the same quantities: they are none of the deck's, and no repeating of its own.
        disk.Book.FileMeasurement(
            disk.Filing(BookOnDisk.Sound(5), [BookOnDisk.Speed(0.99)], "loopback") with { MeasuredAt = BookOnDisk.Day.AddHours(6) }
        );
        var again = DeckField.Quantities(disk.Book.JobFigures(disk.Deck.ProfileName));
        Assert.Equal(found.Select(q => (q.Key, q.AsFound?.Most)), again.Select(q => (q.Key, q.AsFound?.Most)));

        // 0.30 and 0.34 of one day: squares 2 x 0.02² over one degree of freedom.
        var repeats = Assert.Single(disk.Book.Repeats(disk.Deck.ProfileName), r => r.Quantity == "speed-error");
        Assert.Equal((1, 1), (repeats.Groups, repeats.Freedom));
        Assert.Equal(Math.Sqrt(2 * 0.02 * 0.02), repeats.Deviation, 12);
    }

    [Fact]
    public void Times_OfTasks_CountWhatStandsAndHasEnded()
    {
        using var disk = new BookOnDisk(kind);
        Filled(disk);
        var times = Assert.Single(disk.Book.TaskTimes(disk.Deck.ProfileName), t => t.Tasks.Count > 0);
        Assert.Equal(["clean", "strip"], times.Tasks.Select(t => t.Key).Order(StringComparer.Ordinal));
        // 50 minutes, corrected from 60; half an hour taken back; one that runs.
        Assert.Equal(TimeSpan.FromMinutes(50).Ticks, times.Tasks.Sum(t => t.Spent.Ticks));
        Assert.Empty(disk.Book.SpentTimes(disk.Deck.ProfileName));
        disk.Book.CloseJob(disk.Job.Id, BookOnDisk.Day.AddDays(9));
        Assert.Equal([(disk.Job.Id, TimeSpan.FromMinutes(50))], disk.Book.SpentTimes(disk.Deck.ProfileName));
        Assert.Equal(TaskState.Done, times.Tasks.Single(t => t.Key == "strip").State);
    }

    [Fact]
    public void Leanings_AreCountedByTheInstrumentsKindAndName_AndItsPlaysByCapture()
    {
        using var disk = new BookOnDisk(kind);
        Filled(disk);
        Assert.Equal(5, disk.Book.LeaningCounts()[("test-tape", "Speed tape 3150")]);
        // Two of the five were read from one capture.
        Assert.Equal(
            [0, 1, 2, 30],
            disk.Book.Plays("test-tape", "Speed tape 3150").Select(p => (int)Math.Round((p - BookOnDisk.Day).TotalHours))
        );
        DoubtedSpan[] spans = [new(BookOnDisk.Day.AddMinutes(30), BookOnDisk.Day.AddHours(2)), new(BookOnDisk.Day.AddHours(20), null)];
        Assert.Equal((2, 1), disk.Book.Leaned("test-tape", "Speed tape 3150", spans));
        Assert.Equal(
            [30, 1],
            disk.Book.Leanings("test-tape", "Speed tape 3150", 9, spans)
                .Select(l => (int)Math.Round((l.MeasuredAt - BookOnDisk.Day).TotalHours))
        );
        Assert.Equal((0, 0), disk.Book.Leaned("test-tape", "Speed tape 3150", []));
        Assert.Single(disk.Book.Leanings("test-tape", "Speed tape 3150", 1));
    }

    [Fact]
    public void Lists_AskedForByValues_AreTheSameOnEveryEngine()
    {
        using var disk = new BookOnDisk(kind);
        var (book, other) = (disk.Book, disk.Book.OpenJob(disk.Deck.Id, "other", BookOnDisk.Day.AddDays(1)));
        var supply = book.Add(
            new Spoolwright.Bench.Service.Supplies.Supply
            {
                Name = "belt",
                Kind = Spoolwright.Bench.Service.Supplies.SupplyKind.Belt,
                Unit = "piece",
            }
        );
        var lot = book.Add(
            new Spoolwright.Bench.Service.Supplies.Lot
            {
                SupplyId = supply.Root,
                Supplier = "S",
                Number = "L1",
                Received = new DateOnly(2026, 1, 1),
                Quantity = 9,
            }
        );
        foreach (var (job, quantity) in new[] { (disk.Job.Id, 1.5m), (disk.Job.Id, 1.5m), (other.Id, 2m) })
            book.Add(
                new Spoolwright.Bench.Service.Supplies.SupplyUse
                {
                    LotId = lot.Root,
                    JobId = job,
                    Quantity = quantity,
                    Place = "capstan",
                    Day = new DateOnly(2026, 1, 2),
                }
            );
        Assert.Equal(5m, book.Look(w => w.LotsUsed())[lot.Root]);
        Assert.Equal(
            [1.5m, 1.5m],
            book.Look(w => w.Standing<Spoolwright.Bench.Service.Supplies.SupplyUse>("JobId", disk.Job.Id, Guid.NewGuid()))
                .Select(u => u.Quantity)
        );
        Assert.Equal(3, book.Look(w => w.Standing<Spoolwright.Bench.Service.Supplies.SupplyUse>("JobId", disk.Job.Id, other.Id)).Count);
        Assert.Empty(book.Look(w => w.Standing<Spoolwright.Bench.Service.Supplies.SupplyUse>("JobId")));
        Assert.Equal([2m], book.Look(w => w.Newest<Spoolwright.Bench.Service.Supplies.SupplyUse>("Quantity", 1)).Select(u => u.Quantity));
        Assert.Equal(3, book.Look(w => w.Count<Spoolwright.Bench.Service.Supplies.SupplyUse>()));
        Assert.Equal([disk.Deck.Id, disk.Deck.Id], book.JobHeads([disk.Job.Id, other.Id, Guid.NewGuid()]).Values.Select(h => h.Deck.Id));
        Assert.Equal(disk.Deck.Id, Assert.Single(book.DecksOfSerial(disk.Deck.SerialNumber.ToLowerInvariant())).Id);
        Assert.Equal(disk.Deck.Id, Assert.Single(book.DecksOfSerial("0041", partly: true)).Id);
        Assert.Equal(5, book.Read(book.Lately(9)).Count);
        Assert.Equal(
            (disk.Deck.ProfileName, 1, 2, 2),
            book.ProfileLines().Select(p => (p.ProfileName, p.Decks, p.Jobs, p.OpenJobs)).Single()
        );
        Assert.Equal(2, Assert.Single(book.DeckLines(5, openFirst: true)).Jobs);
        Assert.Equal(disk.Deck.Id, book.LastDeck(disk.Deck.ProfileName)!.Id);
        Assert.Equal(2, book.OpenJobs().Count);
    }

    private static void Filled(BookOnDisk disk)
    {
        var book = disk.Book;
        var first = book.FileMeasurement(disk.Filing(BookOnDisk.Sound(1), [BookOnDisk.Speed(0.30), Line(3.1)]));
        book.FileMeasurement(
            disk.Filing(BookOnDisk.Sound(2), [BookOnDisk.Speed(0.34), Line(3.2)]) with
            {
                MeasuredAt = BookOnDisk.Day.AddHours(1),
            }
        );
        book.FileMeasurement(
            disk.Filing(BookOnDisk.Sound(1), [BookOnDisk.Speed(0.31)]) with
            {
                Supersedes = first.Id,
                MeasuredAt = BookOnDisk.Day.AddHours(5),
                Condition = new Condition(Direction.Forward, 9.525),
            }
        );
        book.FileMeasurement(
            disk.Filing(BookOnDisk.Sound(3), [BookOnDisk.Speed(0.05)]) with
            {
                Mark = Mark.AsLeft,
                MeasuredAt = BookOnDisk.Day.AddHours(2),
            }
        );
        var later = book.OpenJob(disk.Deck.Id, "Measured again", BookOnDisk.Day.AddHours(29));
        book.FileMeasurement(
            disk.Filing(BookOnDisk.Sound(4), [BookOnDisk.Speed(0.07)]) with
            {
                JobId = later.Id,
                Mark = Mark.AsLeft,
                MeasuredAt = BookOnDisk.Day.AddHours(30),
            }
        );
        book.Work(w =>
        {
            foreach (var (key, at) in new[] { ("strip", 0), ("clean", 1) })
                w.Add(
                    new JobTask
                    {
                        JobId = disk.Job.Id,
                        Stage = Stage.Strip,
                        Key = key,
                        Ordinal = at,
                        Title = key,
                        Why = "",
                        MinutesForeseen = 30,
                    }
                );
            return 0;
        });
        var sitting = book.Add(Sitting("strip", 60));
        book.Correct(sitting.Id, Sitting("strip", 50));
        book.Withdraw<ClockEntry>(book.Add(Sitting("clean", 30)).Id, "another deck");
        book.Add(Sitting("clean", 1) with { Ended = null });
        book.Add(new TaskMark { JobId = disk.Job.Id, TaskKey = "strip", State = TaskState.Done });
        book.Add(new TaskMark { JobId = disk.Job.Id, TaskKey = "clean", State = TaskState.Done });
        book.UndoEntry(book.Lately(1)[0]);

        ClockEntry Sitting(string task, int minutes) => new()
        {
            JobId = disk.Job.Id,
            TaskKey = task,
            Day = new DateOnly(2026, 3, 14),
            Started = BookOnDisk.Day,
            Ended = BookOnDisk.Day.AddMinutes(minutes),
        };

        static Reading Line(double hz) => new() { Quantity = "flutter-line", Value = 0.01, Unit = "%", FrequencyHz = hz, Method = "line" };
    }

    private static List<string> Rows(BookOnDisk disk)
    {
        using var raw = disk.Raw();
        return
        [
            .. raw.Query<string>(
                "SELECT kind || '|' || name || '|' || measured_at || '|' || measurement_id || '|' || deck_id || '|' || COALESCE(sha256, '-') FROM leaning ORDER BY 1"
            ),
            .. raw.Query<string>("SELECT job_id || tasks || readings || repeats FROM job_digest ORDER BY 1"),
        ];
    }
}

/// <summary>In a SQLite file.</summary>
public sealed class SqliteSummaryTests() : SummaryTests(BookKind.Sqlite);

/// <summary>In PostgreSQL.</summary>
public sealed class PostgresSummaryTests() : SummaryTests(BookKind.Postgres);
