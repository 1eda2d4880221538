using Dapper;
using Spoolwright.Bench.Service.Field;

namespace Spoolwright.Storage;

/// <content>Readings of every deck of a kind.</content>
public sealed partial class ServiceBook
{
    /// <summary>Readings of all decks of a profile, superseded ones among them, oldest first.</summary>
    /// <param name="profileName">The profile.</param>
    /// <param name="quantity">One quantity alone; null: every one.</param>
    public IReadOnlyList<FieldReading> FieldReadings(string profileName, string? quantity = null) => With(c =>
    {
        using var t = BeginReading(c);
        var instruments = c.Query<(string Id, string Name)>(
            """
            SELECT u.measurement_id, i.name FROM measurement_instrument u JOIN instrument i ON i.id = u.instrument_id
            JOIN measurement m ON m.id = u.measurement_id JOIN job j ON j.id = m.job_id JOIN deck d ON d.id = j.deck_id
            WHERE d.profile_name = @profileName ORDER BY u.measurement_id, u.ordinal
            """, new { profileName }, t).ToLookup(r => r.Id, r => r.Name);
        var readings = c.Query<FieldRow>(
            """
            SELECT d.id AS DeckId, d.serial_number AS SerialNumber, m.job_id AS JobId, m.id AS MeasurementId, m.measured_at AS MeasuredAt, m.mark AS Mark,
                m.direction AS Direction, m.speed_cm_per_s AS Speed, m.tape_setting AS TapeSetting, m.sha256 AS Sha256, k.sample_rate_hz AS SampleRateHz,
                r.quantity AS Quantity, r.unit AS Unit, r.value AS Value, r.channel AS Channel, r.frequency_hz AS FrequencyHz, r.role AS Role, r.class AS Class,
                r.place AS Place, r.direction AS OwnDirection,
                CASE WHEN EXISTS (SELECT 1 FROM measurement s WHERE s.supersedes = m.id) THEN 1 ELSE 0 END AS Superseded
            FROM reading r
            JOIN measurement m ON m.id = r.measurement_id
            JOIN job j ON j.id = m.job_id
            JOIN deck d ON d.id = j.deck_id
            LEFT JOIN capture k ON k.sha256 = m.sha256
            WHERE d.profile_name = @profileName AND (@quantity IS NULL OR r.quantity = @quantity)
            ORDER BY m.measured_at, m.id, r.ordinal
            """, new { profileName, quantity }, t).Select(r => r.ToReading(string.Join(", ", instruments[r.MeasurementId]))).ToList();
        t.Commit();
        return readings;
    });

    private sealed class FieldRow
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

        public string? Sha256 { get; init; }

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
