using Dapper;
using Spoolwright.Bench.Service;

namespace Spoolwright.Storage;

/// <content>Lists that stay quick in a book of thousands of jobs.</content>
public sealed partial class ServiceBook
{
    /// <summary>Decks as a list shows them, the one last worked on first, at the end those without a job.</summary>
    /// <param name="most">How many at most.</param>
    /// <param name="openFirst">Whether decks with an open job come before all others.</param>
    // Decks are chosen by their ids first: each row carries its whole profile, which is read of those alone that are shown.
    public IReadOnlyList<DeckLine> DeckLines(int most = int.MaxValue, bool openFirst = false) => With(c => c.Query<DeckLineRow>(
        $"""
        SELECT d.id AS Id, d.profile_name AS ProfileName, d.serial_number AS SerialNumber, d.description AS Description, t.jobs AS Jobs,
            t.open_jobs AS OpenJobs, t.last_opened AS LastOpened
        FROM (
            SELECT k.id, COALESCE(j.jobs, 0) AS jobs, COALESCE(j.open_jobs, 0) AS open_jobs, j.last_opened FROM deck k LEFT JOIN (
                SELECT deck_id, COUNT(*) AS jobs, COUNT(*) - COUNT(closed) AS open_jobs, MAX(opened) AS last_opened FROM job GROUP BY deck_id
            ) j ON j.deck_id = k.id
            ORDER BY {(openFirst ? "CASE WHEN j.open_jobs > 0 THEN 0 ELSE 1 END, " : "")}j.last_opened DESC NULLS LAST, k.id DESC LIMIT @most
        ) t JOIN deck d ON d.id = t.id
        ORDER BY {(openFirst ? "CASE WHEN t.open_jobs > 0 THEN 0 ELSE 1 END, " : "")}t.last_opened DESC NULLS LAST, t.id DESC
        """, new { most }).Select(r => r.ToLine()).ToList());

    /// <summary>Jobs that are open, oldest first.</summary>
    public IReadOnlyList<Job> OpenJobs() =>
        With(c => c.Query<JobRow>(JobRow.Select + " WHERE closed IS NULL ORDER BY opened, id").Select(r => r.ToJob()).ToList());

    /// <summary>What every deck is called, by profile and serial number.</summary>
    public IReadOnlyList<DeckName> DeckNames() =>
        With(c =>
            c.Query<(string Id, string ProfileName, string SerialNumber)>(
                    "SELECT id, profile_name, serial_number FROM deck ORDER BY profile_name, serial_number"
                )
                .Select(r => new DeckName(StoredText.Id(r.Id), r.ProfileName, r.SerialNumber))
                .ToList()
        );

    /// <summary>How many decks there are.</summary>
    public int DeckCount() => With(c => c.ExecuteScalar<int>("SELECT COUNT(*) FROM deck"));

    /// <summary>Profiles of the book's decks by name, with how many decks and jobs they have.</summary>
    public IReadOnlyList<ProfileLine> ProfileLines() => With(c => c.Query<(string Name, long Decks, long Jobs, long Open)>(
        """
        SELECT d.profile_name, COUNT(DISTINCT d.id), COUNT(j.id), COUNT(j.id) - COUNT(j.closed) FROM deck d LEFT JOIN job j ON j.deck_id = d.id
        GROUP BY d.profile_name ORDER BY d.profile_name
        """).Select(r => new ProfileLine(r.Name, (int)r.Decks, (int)r.Jobs, (int)r.Open)).ToList());

    /// <summary>The deck of a profile that was taken in last; null: there is none.</summary>
    public Deck? LastDeck(string profileName) => With(c => c.QueryFirstOrDefault<DeckRow>(
        DeckRow.Select + " WHERE profile_name = @profileName ORDER BY id DESC LIMIT 1", new { profileName })?.ToDeck());

    /// <summary>Decks of a serial number, whatever its capitals; or, where asked for, those that have it as a part of theirs.</summary>
    public IReadOnlyList<Deck> DecksOfSerial(string serial, bool partly = false)
    {
        ArgumentNullException.ThrowIfNull(serial);
        // Capitals are compared here: neither engine folds every letter as the other does.
        string[] ids = With(c =>
            c.Query<(string Id, string Serial)>("SELECT id, serial_number FROM deck")
                .Where(d =>
                    partly
                        ? d.Serial.Contains(serial, StringComparison.OrdinalIgnoreCase)
                        : string.Equals(d.Serial, serial, StringComparison.OrdinalIgnoreCase)
                )
                .Select(d => d.Id)
                .ToArray()
        );
        return With(c =>
            SqlList
                .Of(ids)
                .SelectMany(some => c.Query<DeckRow>(DeckRow.Select + " WHERE id IN " + some.In, some.Values))
                .Select(r => r.ToDeck())
                .OrderBy(d => d.ProfileName, StringComparer.Ordinal)
                .ThenBy(d => d.SerialNumber, StringComparer.Ordinal)
                .ToList()
        );
    }

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
