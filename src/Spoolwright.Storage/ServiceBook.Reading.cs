using Dapper;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;

namespace Spoolwright.Storage;

/// <content>Reading a job back, whole.</content>
public sealed partial class ServiceBook
{
    /// <summary>
    /// All that the book holds of a job, superseded measurements among it (they say by which), in the order they were measured.
    /// Read in one transaction, so that it is of one moment though other benches write.
    /// </summary>
    /// <exception cref="ServiceBookException">There is no such job.</exception>
    public JobFile ReadJob(Guid jobId) => With(c =>
    {
        using var t = BeginReading(c);
        string id = StoredText.Id(jobId);
        Job job = c.QuerySingleOrDefault<JobRow>(JobRow.Select + " WHERE id = @id", new { id }, t)?.ToJob()
            ?? throw new ServiceBookException("not-found", $"There is no job {id} in {Name}.");
        Deck deck = c.QuerySingle<DeckRow>(DeckRow.Select + " WHERE id = @deck", new { deck = StoredText.Id(job.DeckId) }, t).ToDeck();
        var measurements = c.Query<MeasurementRow>(MeasurementRow.Select + " WHERE m.job_id = @id ORDER BY m.measured_at, m.id", new { id },
            t).ToList();
        var readings = c.Query<ReadingRow>(ReadingRow.Select
            + " JOIN measurement m ON m.id = r.measurement_id WHERE m.job_id = @id ORDER BY r.measurement_id, r.ordinal",
            new { id }, t).ToLookup(r => r.MeasurementId);
        var notes = c.Query<NoteRow>(NoteRow.Select, new { id }, t).ToLookup(r => r.MeasurementId);
        var traces = c.Query<TraceRow>(TraceRow.Select, new { id }, t).ToLookup(r => r.MeasurementId);
        var instruments = c.Query<InstrumentRow>(InstrumentRow.Select, new { id }, t).ToLookup(r => r.MeasurementId);
        var successors = measurements.Where(m => m.Supersedes is not null).ToDictionary(m => m.Supersedes!, m => StoredText.Id(m.Id));

        var filed = new List<FiledMeasurement>();
        foreach (MeasurementRow m in measurements)
        {
            CaptureEntry entry = m.ToEntry(instruments[m.Id].Select(i => i.ToInstrument()).ToList());
            var stored = readings[m.Id].Select(r => r.ToStored(entry)).ToList();
            var result = new MeasurementResult(entry.Measurement, stored.Select(s => s.Reading).ToList(),
                notes[m.Id].Select(n => new Note(StoredText.ToSeverity(n.Severity), n.Code, n.Text)).ToList(), traces[m.Id]
                    .Select(r => r.ToTrace()).ToList());
            filed.Add(new FiledMeasurement(entry, result, stored, StoredText.ToLimits(m.LimitsJson),
                successors.TryGetValue(m.Id, out Guid by) ? by : null));
        }

        var unmeasured = c.Query<UnmeasuredRow>(UnmeasuredRow.Select, new { id }, t).Select(r => r.ToUnmeasured(jobId)).ToList();
        t.Commit();
        return new JobFile(deck, job, filed, unmeasured);
    });
}
