using System.Data.Common;
using Dapper;
using Spoolwright.Bench.Service.Field;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Register;

namespace Spoolwright.Storage;

/// <summary>
/// What pages of a large book would otherwise add up anew each time: which measurements leaned on which instrument, and each job's part
/// in the figures of its kind. Kept in the transaction that files the rows; made anew where a book's version is another.
/// </summary>
internal static class Summaries
{
    /// <summary>Raised when what is kept changes: the summaries of an older book are made anew at its next opening.</summary>
    public const string Version = "2";

    public const string VersionSetting = "summaries";

    private static readonly EntryTable[] OfTasks = [EntryTables.Of<JobTask>(), EntryTables.Of<TaskMark>(), EntryTables.Of<ClockEntry>()];

    /// <summary>Whether entries of that table are summed up by job.</summary>
    public static bool CountsTasks(EntryTable table) => OfTasks.Contains(table);

    /// <summary>Sums a job's readings up anew, and what the measurement leaned on.</summary>
    public static void PutMeasurement(DbConnection c, DbTransaction t, string jobId, string measurementId)
    {
        PutLeanings(c, t, "m.id = @measurementId", new { measurementId });
        PutReadings(c, t, jobId);
        CauseLessonRows.Forget(c, t, jobId);
    }

    /// <summary>Sums a job's tasks up anew.</summary>
    public static void PutTasks(DbConnection c, DbTransaction t, string jobId, BookWork work)
    {
        var id = StoredText.Id(jobId);
        var tasks = DigestJson.Write(TaskTime.Of(work.Standing<JobTask>(id), work.Standing<TaskMark>(id), work.Standing<ClockEntry>(id)));
        c.Execute(
            """
            INSERT INTO job_digest (job_id, tasks, readings, repeats) VALUES (@jobId, @tasks, '[]', '[]')
            ON CONFLICT (job_id) DO UPDATE SET tasks = excluded.tasks
            """,
            new { jobId, tasks }, t);
        CauseLessonRows.Forget(c, t, jobId);
    }

    /// <summary>Makes all of them anew.</summary>
    public static void Rebuild(DbConnection c, DbTransaction t, BookWork work)
    {
        c.Execute("DELETE FROM leaning; DELETE FROM job_digest", transaction: t);
        PutLeanings(c, t, "1 = 1", null);
        foreach (string job in c.Query<string>("SELECT id FROM job", transaction: t).ToList())
        {
            PutTasks(c, t, job, work);
            PutReadings(c, t, job);
        }

        c.Execute("DELETE FROM setting WHERE name = @VersionSetting", new { VersionSetting }, t);
        c.Execute("INSERT INTO setting (name, value) VALUES (@VersionSetting, @Version)", new { VersionSetting, Version }, t);
    }

    private static void PutReadings(DbConnection c, DbTransaction t, string jobId)
    {
        var readings = FieldRows.OfJob(c, t, jobId);
        var figures = readings.Count == 0 ? null : JobFigures.Of(readings);
        c.Execute(
            """
            INSERT INTO job_digest (job_id, tasks, readings, repeats) VALUES (@jobId, '[]', @readings, @repeats)
            ON CONFLICT (job_id) DO UPDATE SET readings = excluded.readings, repeats = excluded.repeats
            """,
            new { jobId, readings = DigestJson.Write(figures?.Last ?? []), repeats = DigestJson.Write(figures?.Repeats ?? []) }, t);
    }

    // Kinds are compared by a rule of the program's, so they are spelled here and not by the engine.
    private static void PutLeanings(DbConnection c, DbTransaction t, string where, object? values)
    {
        var rows = c.Query<Row>(
            $"""
            SELECT i.kind AS Kind, i.name AS Name, m.measured_at AS MeasuredAt, m.id AS MeasurementId, j.deck_id AS DeckId, m.sha256 AS Sha256
            FROM measurement m JOIN measurement_instrument u ON u.measurement_id = m.id JOIN instrument i ON i.id = u.instrument_id JOIN job j ON j.id = m.job_id
            WHERE {where}
            """, values, t).ToList();
        c.Execute(
            """
            INSERT INTO leaning (kind, name, measured_at, measurement_id, deck_id, sha256)
            VALUES (@Kind, @Name, @MeasuredAt, @MeasurementId, @DeckId, @Sha256) ON CONFLICT DO NOTHING
            """,
            rows.Select(r => new { Kind = KeptInstrument.KindWord(r.Kind), r.Name, r.MeasuredAt, r.MeasurementId, r.DeckId, r.Sha256 }), t);
    }

    private sealed class Row
    {
        public required string Kind { get; init; }

        public required string Name { get; init; }

        public required string MeasuredAt { get; init; }

        public required string MeasurementId { get; init; }

        public required string DeckId { get; init; }

        public string? Sha256 { get; init; }
    }
}
