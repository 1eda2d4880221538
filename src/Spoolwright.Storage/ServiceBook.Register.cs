using Dapper;
using Spoolwright.Bench.Service.Register;

namespace Spoolwright.Storage;

/// <content>Which measurements leaned on which instrument.</content>
public sealed partial class ServiceBook
{
    /// <summary>How many measurements leaned on each instrument, by kind as it is compared and name.</summary>
    public IReadOnlyDictionary<(string Kind, string Name), int> LeaningCounts() =>
        With(c =>
            c.Query<(string Kind, string Name, long Count)>("SELECT kind, name, COUNT(*) FROM leaning GROUP BY kind, name")
                .ToDictionary(r => (r.Kind, r.Name), r => (int)r.Count)
        );

    /// <summary>When each capture was first leaned on an instrument for, in order: the plays of a test tape.</summary>
    /// <param name="kind">Its kind as it is compared.</param>
    /// <param name="name">Its name.</param>
    public IReadOnlyList<DateTimeOffset> Plays(string kind, string name) =>
        With(c =>
            c.Query<string>(
                    "SELECT MIN(measured_at) FROM leaning WHERE kind = @kind AND name = @name AND sha256 IS NOT NULL GROUP BY sha256",
                    new { kind, name }
                )
                .Order(StringComparer.Ordinal)
                .Select(StoredText.Time)
                .ToList()
        );

    /// <summary>Measurements that leaned on an instrument, newest first.</summary>
    /// <param name="kind">Its kind as it is compared.</param>
    /// <param name="name">Its name.</param>
    /// <param name="most">How many at most.</param>
    /// <param name="within">Those of these stretches of time alone; null: all.</param>
    public IReadOnlyList<Leaning> Leanings(string kind, string name, int most, IReadOnlyList<DoubtedSpan>? within = null) => With(c =>
    {
        var values = Named(kind, name, within, out string spans);
        values.Add("most", most);
        return c.Query<LeaningRow>(
            $"""
            SELECT m.id AS MeasurementId, m.job_id AS JobId, d.id AS DeckId, d.profile_name AS ProfileName, d.serial_number AS SerialNumber, m.kind AS Measurement,
                l.measured_at AS MeasuredAt, l.sha256 AS Sha256, l.kind AS Kind, l.name AS Name
            FROM (SELECT * FROM leaning WHERE kind = @kind AND name = @name AND {spans} ORDER BY measured_at DESC, measurement_id DESC LIMIT @most) l
            JOIN measurement m ON m.id = l.measurement_id
            JOIN deck d ON d.id = l.deck_id
            ORDER BY l.measured_at DESC, l.measurement_id DESC
            """, values).Select(r => r.ToLeaning()).ToList();
    });

    /// <summary>How many measurements leaned on an instrument in these stretches of time, and on how many decks.</summary>
    public (int Measurements, int Decks) Leaned(string kind, string name, IReadOnlyList<DoubtedSpan> within) =>
        With(c =>
        {
            var values = Named(kind, name, within, out string spans);
            var (measurements, decks) = c.QuerySingle<(long, long)>(
                $"SELECT COUNT(*), COUNT(DISTINCT deck_id) FROM leaning WHERE kind = @kind AND name = @name AND {spans}",
                values
            );
            return ((int)measurements, (int)decks);
        });

    private static DynamicParameters Named(string kind, string name, IReadOnlyList<DoubtedSpan>? within, out string spans)
    {
        var values = new DynamicParameters(new { kind, name });
        var parts = new List<string>();
        foreach (var span in within ?? [])
        {
            values.Add($"from{parts.Count}", StoredText.Time(span.From));
            values.Add($"until{parts.Count}", span.Until is { } until ? StoredText.Time(until) : "9"); // after every year of four figures
            parts.Add($"measured_at >= @from{parts.Count} AND measured_at < @until{parts.Count}");
        }

        spans = within is null ? "1 = 1" : parts.Count == 0 ? "1 = 0" : $"({string.Join(" OR ", parts)})";
        return values;
    }

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
