using Dapper;

namespace Spoolwright.Storage;

/// <content>Lists that stay quick in a book of thousands of jobs.</content>
public sealed partial class ServiceBook
{
    /// <summary>Every deck as a list shows it, the one last worked on first.</summary>
    public IReadOnlyList<DeckLine> DeckLines() => With(c => c.Query<DeckLineRow>(
        """
        SELECT d.id AS Id, d.profile_name AS ProfileName, d.serial_number AS SerialNumber, d.description AS Description, COALESCE(j.jobs, 0) AS Jobs,
            COALESCE(j.open_jobs, 0) AS OpenJobs, j.last_opened AS LastOpened
        FROM deck d LEFT JOIN (
            SELECT deck_id, COUNT(*) AS jobs, COUNT(*) - COUNT(closed) AS open_jobs, MAX(opened) AS last_opened FROM job GROUP BY deck_id
        ) j ON j.deck_id = d.id
        ORDER BY j.last_opened DESC NULLS LAST, d.profile_name, d.serial_number
        """).Select(r => r.ToLine()).ToList());

    private sealed class DeckLineRow
    {
        public required string Id { get; init; }

        public required string ProfileName { get; init; }

        public required string SerialNumber { get; init; }

        public required string Description { get; init; }

        public long Jobs { get; init; }

        public long OpenJobs { get; init; }

        public string? LastOpened { get; init; }

        public DeckLine ToLine() => new(StoredText.Id(Id), ProfileName, SerialNumber, Description, (int)Jobs, (int)OpenJobs,
            LastOpened is null ? null : StoredText.Time(LastOpened));
    }
}
