using Dapper;
using Spoolwright.Bench.Service.Field;

namespace Spoolwright.Storage;

/// <summary>A job's tasks with the time they took.</summary>
/// <param name="JobId">The job.</param>
/// <param name="Tasks">Its tasks in the plan's order.</param>
public sealed record JobTimes(Guid JobId, IReadOnlyList<TaskTime> Tasks);

/// <content>Every deck of a kind, from what was summed up of each job.</content>
public sealed partial class ServiceBook
{
    /// <summary>Figures of every job with readings on decks of a profile, oldest job first.</summary>
    public IReadOnlyList<JobFigures> JobFigures(string profileName) =>
        With(c =>
            c.Query<(string DeckId, string SerialNumber, string Readings, string Repeats)>(
                    """
                    SELECT d.id, d.serial_number, g.readings, g.repeats FROM deck d JOIN job j ON j.deck_id = d.id JOIN job_digest g ON g.job_id = j.id
                    WHERE d.profile_name = @profileName AND g.readings <> '[]' ORDER BY j.opened, j.id
                    """,
                    new { profileName },
                    buffered: false
                )
                .Select(r => new JobFigures(
                    StoredText.Id(r.DeckId),
                    r.SerialNumber,
                    DigestJson.ReadReadings(r.Readings),
                    DigestJson.ReadRepeats(r.Repeats)
                ))
                .ToList()
        );

    /// <summary>How well measuring repeats on decks of a profile.</summary>
    public IReadOnlyList<Repeatability> Repeats(string profileName) => With(c => DeckField.Repeats(c.Query<string>(
        """
        SELECT g.repeats FROM deck d JOIN job j ON j.deck_id = d.id JOIN job_digest g ON g.job_id = j.id
        WHERE d.profile_name = @profileName AND g.repeats <> '[]' ORDER BY j.opened, j.id
        """, new { profileName }).Select(r => new JobFigures(default, "", [], DigestJson.ReadRepeats(r)))));

    /// <summary>Tasks of every job on decks of a profile, oldest job first; sittings that run still are left out.</summary>
    public IReadOnlyList<JobTimes> TaskTimes(string profileName) =>
        With(c =>
            c.Query<(string JobId, string Tasks)>(
                    """
                    SELECT j.id, g.tasks FROM deck d JOIN job j ON j.deck_id = d.id JOIN job_digest g ON g.job_id = j.id
                    WHERE d.profile_name = @profileName ORDER BY j.opened, j.id
                    """,
                    new { profileName },
                    buffered: false
                )
                .Select(r => new JobTimes(StoredText.Id(r.JobId), DigestJson.ReadTasks(r.Tasks)))
                .ToList()
        );

    /// <summary>Time taken in every closed job on decks of a profile, oldest job first.</summary>
    public IReadOnlyList<(Guid JobId, TimeSpan Spent)> SpentTimes(string profileName) => With(c => c.Query<(string JobId, string Tasks)>(
        """
        SELECT j.id, g.tasks FROM deck d JOIN job j ON j.deck_id = d.id JOIN job_digest g ON g.job_id = j.id
        WHERE d.profile_name = @profileName AND j.closed IS NOT NULL ORDER BY j.opened, j.id
        """, new { profileName }, buffered: false).Select(r => (StoredText.Id(r.JobId), DigestJson.ReadSpent(r.Tasks))).ToList());
}
