using System.Data.Common;
using System.Globalization;
using Dapper;
using Spoolwright.Bench.Causes;

namespace Spoolwright.Storage;

/// <summary>What the finished jobs of a book teach of how often causes are met, as far as they were weighed.</summary>
/// <param name="Finished">Jobs that are closed.</param>
/// <param name="Weighed">How many of them were weighed.</param>
/// <param name="Taught">How many of those taught something: they were measured as found and as left.</param>
/// <param name="Counts">The counts of all that were weighed.</param>
public sealed record CauseLessons(int Finished, int Weighed, int Taught, IReadOnlyList<CauseCount> Counts);

/// <summary>A finished job as it stood when it was read to be weighed. Rows are only ever added, so their numbers tell whether it is the
/// same.</summary>
/// <param name="JobId">The job.</param>
/// <param name="Closed">Its closing.</param>
/// <param name="Rows">How many measurements and entries of tasks it has.</param>
public sealed record FinishedJob(Guid JobId, string Closed, long Rows);

/// <summary>Keeps what finished jobs teach, in rows that can be made again.</summary>
internal static class CauseLessonRows
{
    // Two benches of different programs each keep their own; what no program has renewed for so long is of one that is gone.
    private static readonly TimeSpan Old = TimeSpan.FromDays(30);

    /// <summary>The job as it stands; null: it is not closed.</summary>
    public static FinishedJob? Find(DbConnection c, DbTransaction? t, Guid job)
    {
        var (closed, rows) = c.QuerySingleOrDefault<(string?, long)>(
            """
            SELECT j.closed, (SELECT COUNT(*) FROM measurement m WHERE m.job_id = j.id)
                + (SELECT COUNT(*) FROM job_task k WHERE k.job_id = j.id) + (SELECT COUNT(*) FROM task_mark k WHERE k.job_id = j.id) FROM job j WHERE j.id = @id
            """, new { id = StoredText.Id(job) }, t);
        return closed is null ? null : new FinishedJob(job, closed, rows);
    }

    public static void Put(
        DbConnection c,
        DbTransaction t,
        FinishedJob job,
        string knowledge,
        IReadOnlyList<CauseCount> counts,
        DateTimeOffset now
    )
    {
        c.Execute(
            "DELETE FROM cause_lesson WHERE job_id = @Id AND (knowledge = @knowledge OR weighed < @old)",
            new
            {
                Id = StoredText.Id(job.JobId),
                knowledge,
                old = StoredText.Time(now - Old),
            },
            t
        );
        c.Execute(
            "INSERT INTO cause_lesson (job_id, knowledge, closed, weighed, counts) VALUES (@Id, @knowledge, @Closed, @Weighed, @Counts)",
            new
            {
                Id = StoredText.Id(job.JobId),
                knowledge,
                job.Closed,
                Weighed = StoredText.Time(now),
                Counts = Write(counts),
            },
            t
        );
    }

    /// <summary>Takes out what a job taught: something was added to what it was weighed by.</summary>
    public static void Forget(DbConnection c, DbTransaction t, string jobId) =>
        c.Execute("DELETE FROM cause_lesson WHERE job_id = @jobId", new { jobId }, t);

    public static CauseLessons Read(DbConnection c, DbTransaction t, string knowledge)
    {
        var finished = c.ExecuteScalar<int>("SELECT COUNT(*) FROM job WHERE closed IS NOT NULL", transaction: t);
        // Many jobs teach the same: alike ones are read once.
        var alike = c.Query<(string Counts, int Jobs)>(
            """
            SELECT l.counts, CAST(COUNT(*) AS INTEGER) FROM cause_lesson l JOIN job j ON j.id = l.job_id AND j.closed = l.closed
            WHERE l.knowledge = @knowledge GROUP BY l.counts
            """, new { knowledge }, t).ToList();
        var sum = new SortedDictionary<string, (int Met, int Places)>(StringComparer.Ordinal);
        foreach (var (counts, jobs) in alike)
        {
            foreach (var count in Parse(counts))
            {
                var (met, places) = sum.GetValueOrDefault(count.CauseId);
                sum[count.CauseId] = (met + (jobs * count.Met), places + (jobs * count.Places));
            }
        }

        return new CauseLessons(
            finished,
            alike.Sum(a => a.Jobs),
            alike.Where(a => a.Counts.Length > 0).Sum(a => a.Jobs),
            [.. sum.Select(s => new CauseCount(s.Key, s.Value.Met, s.Value.Places))]
        );
    }

    private static string Write(IEnumerable<CauseCount> counts) => string.Join('\n', counts.OrderBy(k => k.CauseId, StringComparer.Ordinal)
        .Select(k => string.Create(CultureInfo.InvariantCulture, $"{k.CauseId} {k.Met}/{k.Places}")));

    private static IEnumerable<CauseCount> Parse(string text)
    {
        foreach (var line in text.Split('\n', StringSplitOptions.RemoveEmptyEntries))
        {
            var (space, slash) = (line.LastIndexOf(' '), line.LastIndexOf('/'));
            yield return new CauseCount(
                line[..space],
                int.Parse(line.AsSpan(space + 1, slash - space - 1), CultureInfo.InvariantCulture),
                int.Parse(line.AsSpan(slash + 1), CultureInfo.InvariantCulture)
            );
        }
    }
}
