using System.Data.Common;
using Dapper;
using Spoolwright.Bench.Service.Field;

namespace Spoolwright.Storage;

/// <summary>A job's readings as they are laid side by side over decks.</summary>
internal static class FieldRows
{
    /// <summary>All readings of a job's deck, superseded ones among them, oldest first.</summary>
    public static IReadOnlyList<FieldReading> OfJob(DbConnection c, DbTransaction t, string jobId)
    {
        var instruments = c.Query<(string Id, string Name)>(
            """
            SELECT u.measurement_id, i.name FROM measurement m JOIN measurement_instrument u ON u.measurement_id = m.id JOIN instrument i ON i.id = u.instrument_id
            WHERE m.job_id = @jobId ORDER BY u.measurement_id, u.ordinal
            """, new { jobId }, t).ToLookup(r => r.Id, r => r.Name);
        return [.. c.Query<Row>(
            """
            SELECT d.id AS DeckId, d.serial_number AS SerialNumber, m.job_id AS JobId, m.id AS MeasurementId, m.measured_at AS MeasuredAt, m.mark AS Mark,
                m.direction AS Direction, m.speed_cm_per_s AS Speed, m.tape_setting AS TapeSetting, k.sample_rate_hz AS SampleRateHz,
                r.quantity AS Quantity, r.unit AS Unit, r.value AS Value, r.channel AS Channel, r.frequency_hz AS FrequencyHz, r.role AS Role, r.class AS Class,
                r.place AS Place, r.direction AS OwnDirection,
                CASE WHEN EXISTS (SELECT 1 FROM measurement s WHERE s.supersedes = m.id) THEN 1 ELSE 0 END AS Superseded
            FROM measurement m
            JOIN reading r ON r.measurement_id = m.id
            JOIN job j ON j.id = m.job_id
            JOIN deck d ON d.id = j.deck_id
            LEFT JOIN capture k ON k.sha256 = m.sha256
            WHERE m.job_id = @jobId AND m.kind <> 'loopback' -- figures of the interface, not of the deck
            ORDER BY m.measured_at, m.id, r.ordinal
            """, new { jobId }, t).Select(r => r.ToReading(string.Join(", ", instruments[r.MeasurementId])))];
    }

    private sealed class Row
    {
        public required string DeckId { get; init; }

        public required string SerialNumber { get; init; }

        public required string JobId { get; init; }

        public required string MeasurementId { get; init; }

        public required string MeasuredAt { get; init; }

        public required string Mark { get; init; }

        public required string Direction { get; init; }

        public double Speed { get; init; }

        public string? TapeSetting { get; init; }

        public int? SampleRateHz { get; init; }

        public required string Quantity { get; init; }

        public required string Unit { get; init; }

        public double Value { get; init; }

        public required string Channel { get; init; }

        public double? FrequencyHz { get; init; }

        public string? Role { get; init; }

        public string? Class { get; init; }

        public string? Place { get; init; }

        public string? OwnDirection { get; init; }

        public int Superseded { get; init; }

        public FieldReading ToReading(string instruments) =>
            new(StoredText.Id(DeckId), SerialNumber, StoredText.Id(JobId), StoredText.Id(MeasurementId),
            StoredText.Time(MeasuredAt), StoredText.ToMark(Mark),
            new FieldKey(Quantity, Unit, StoredText.ToDirection(OwnDirection ?? Direction), Speed, TapeSetting,
                StoredText.ToChannel(Channel), FrequencyHz, Role, Class, Place),
            Value, Superseded != 0, instruments, SampleRateHz is not null);
    }
}
