using System.Data.Common;
using Dapper;
using Spoolwright.Bench.Causes;

namespace Spoolwright.Storage;

/// <content>What finished jobs teach of causes: kept in the book, so that no bench weighs the same job twice.</content>
public sealed partial class ServiceBook
{
    /// <summary>What the finished jobs teach, as far as they were weighed.</summary>
    /// <param name="knowledge">By which causes and laws.</param>
    public CauseLessons CauseLessons(string knowledge) => With(c =>
    {
        using DbTransaction t = BeginReading(c);
        var lessons = CauseLessonRows.Read(c, t, knowledge);
        t.Commit();
        return lessons;
    });

    /// <summary>Finished jobs that were not weighed yet, the one closed last first.</summary>
    /// <param name="knowledge">By which causes and laws.</param>
    /// <param name="most">How many at most.</param>
    public IReadOnlyList<Guid> NotWeighed(string knowledge, int most) => With(c => c.Query<string>(
        """
        SELECT j.id FROM job j LEFT JOIN cause_lesson l ON l.job_id = j.id AND l.knowledge = @knowledge AND l.closed = j.closed
        WHERE j.closed IS NOT NULL AND l.job_id IS NULL ORDER BY j.closed DESC, j.id LIMIT @most
        """, new { knowledge, most }).Select(StoredText.Id).ToList());

    /// <summary>A job as it stands finished, to be asked before it is weighed; null: it is open.</summary>
    public FinishedJob? Finished(Guid job) => With(c => CauseLessonRows.Find(c, null, job));

    /// <summary>Keeps what a finished job teaches; false: it was added to or opened since it was read, or another bench was
    /// quicker.</summary>
    /// <param name="job">The job as it stood before it was read.</param>
    /// <param name="knowledge">By which causes and laws it was weighed.</param>
    /// <param name="counts">What it teaches; empty: nothing.</param>
    public bool KeepLesson(FinishedJob job, string knowledge, IReadOnlyList<CauseCount> counts)
    {
        ArgumentNullException.ThrowIfNull(job);
        var kept = false;
        Write((c, t) =>
        {
            kept = CauseLessonRows.Find(c, t, job.JobId) == job;
            if (kept)
                CauseLessonRows.Put(c, t, job, knowledge, counts, clock.GetUtcNow());
        });
        return kept;
    }
}
