using Dapper;
using Spoolwright.Bench.Service.Register;

namespace Spoolwright.Storage;

/// <content>Which measurements leaned on which instrument.</content>
public sealed partial class ServiceBook
{
    /// <summary>Every measurement that leaned on an instrument, oldest first; of one name, or of all.</summary>
    public IReadOnlyList<Leaning> Leanings(string? name = null) => With(c => c.Query<LeaningRow>(
        """
        SELECT m.id AS MeasurementId, m.job_id AS JobId, d.id AS DeckId, d.profile_name AS ProfileName, d.serial_number AS SerialNumber, m.kind AS Measurement,
            m.measured_at AS MeasuredAt, m.sha256 AS Sha256, i.kind AS Kind, i.name AS Name
        FROM measurement_instrument u
        JOIN instrument i ON i.id = u.instrument_id
        JOIN measurement m ON m.id = u.measurement_id
        JOIN job j ON j.id = m.job_id
        JOIN deck d ON d.id = j.deck_id
        WHERE @name IS NULL OR i.name = @name
        ORDER BY m.measured_at, m.id
        """, new { name }).Select(r => r.ToLeaning()).ToList());

    private sealed class LeaningRow
    {
        public required string MeasurementId { get; init; }

        public required string JobId { get; init; }

        public required string DeckId { get; init; }

        public required string ProfileName { get; init; }

        public required string SerialNumber { get; init; }

        public required string Measurement { get; init; }

        public required string MeasuredAt { get; init; }

        public string? Sha256 { get; init; }

        public required string Kind { get; init; }

        public required string Name { get; init; }

        public Leaning ToLeaning() => new(StoredText.Id(MeasurementId), StoredText.Id(JobId), StoredText.Id(DeckId),
            $"{ProfileName} {SerialNumber}", Measurement,
            StoredText.Time(MeasuredAt), Sha256 ?? "", Kind, Name);
    }
}
