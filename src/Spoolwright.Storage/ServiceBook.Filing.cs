using System.Data.Common;
using Dapper;
using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;
using Spoolwright.Signal;

namespace Spoolwright.Storage;

/// <content>Filing a measurement: the sound first, then every row of it in one transaction.</content>
public sealed partial class ServiceBook
{
    /// <summary>
    /// Files a measurement whole: capture, readings, notes, curves, instruments, limits. When it returns, all of it is on the disk; when it
    /// throws,
    /// none of it is in the book (a capture that was copied in by then lies there unused, under its hash).
    /// </summary>
    /// <exception cref="ServiceBookException">Said in one line; nothing was written.</exception>
    /// <exception cref="ArgumentException">A value is not finite, or a list does not fit.</exception>
    public CaptureEntry FileMeasurement(Filing filing)
    {
        filing.Validate(nameof(filing));
        var entry = new CaptureEntry
        {
            Id = RowId.New(),
            JobId = filing.JobId,
            Capture = filing.Capture,
            Condition = filing.Condition,
            Mark = filing.Mark,
            Measurement = filing.Result.Measurement,
            Instruments = filing.Instruments,
            MeasuredAt = filing.MeasuredAt.ToUniversalTime(),
            ProgramVersion = filing.ProgramVersion,
            Supersedes = filing.Supersedes,
        };
        // Again only where the captures were moved elsewhere while this one arrived.
        while (!TryFile(filing, entry))
        {
        }

        return entry;
    }

    private bool TryFile(Filing filing, CaptureEntry entry)
    {
        string? place = With(c => Setting(c, null, CapturesSetting));
        var taken = filing.OpenCapture is { } open ? TakeCapture(filing.Capture, open) : ((string StoredAs, long Bytes)?)null;
        bool stayed = true;
        Write((c, t) =>
        {
            stayed = taken is null || Setting(c, t, CapturesSetting) == place;
            if (!stayed)
                return;
            CheckSuperseded(c, t, filing);
            if (taken is { } file)
                InsertCapture(c, t, filing.Capture, file.StoredAs, file.Bytes);
            InsertMeasurement(c, t, entry, StoredText.Of(filing.Limits));
            InsertInstruments(c, t, entry);
            InsertReadings(c, t, filing, StoredText.Id(entry.Id));
            InsertNotesAndTraces(c, t, filing, StoredText.Id(entry.Id));
            Summaries.PutMeasurement(c, t, StoredText.Id(entry.JobId), StoredText.Id(entry.Id));
            if (filing.Result.Notes.Count > 0)
                SearchIndex.Put(c, t, "measurement", entry.Id);
        });
        return stayed;
    }

    private (string StoredAs, long Bytes) TakeCapture(Capture capture, Func<Stream> open)
    {
        string known =
            With(c => c.QuerySingleOrDefault<string>("SELECT stored_as FROM capture WHERE sha256 = @Sha256", new { capture.Sha256 }))
            ?? CaptureFolder.NameFor(capture.Sha256, capture.File);
        return (known, CapturesIn().Take(open, capture.Sha256, known, capture.File));
    }

    private static void InsertCapture(DbConnection c, DbTransaction t, Capture capture, string storedAs, long bytes) => c.Execute(
        """
        INSERT INTO capture (sha256, stored_as, bytes, sample_rate_hz, channels, seconds)
        VALUES (@Sha256, @storedAs, @bytes, @SampleRateHz, @Channels, @Seconds) ON CONFLICT DO NOTHING
        """,
        new { capture.Sha256, storedAs, bytes, capture.SampleRateHz, capture.Channels, capture.Seconds }, t);

    private void CheckSuperseded(DbConnection c, DbTransaction t, Filing filing)
    {
        if (filing.Supersedes is not { } old)
            return;
        string id = StoredText.Id(old);
        string job = c.QuerySingleOrDefault<string>("SELECT job_id FROM measurement WHERE id = @id", new { id }, t)
            ?? throw new ServiceBookException("refused", $"There is no measurement {id} to supersede in {Name}; nothing was written.");
        if (job != StoredText.Id(filing.JobId))
            throw new ServiceBookException(
                "refused",
                $"The measurement {id} belongs to another job and cannot be superseded from this one; nothing was written."
            );
        if (c.ExecuteScalar<long>("SELECT COUNT(*) FROM measurement WHERE supersedes = @id", new { id }, t) > 0)
            throw new ServiceBookException(
                "refused",
                $"The measurement {id} has been superseded already; look at its successor first. Nothing was written."
            );
    }

    private static void InsertMeasurement(DbConnection c, DbTransaction t, CaptureEntry entry, string limits) => c.Execute(
        """
        INSERT INTO measurement (id, job_id, sha256, file_name, kind, direction, speed_cm_per_s, tape_setting, mark, measured_at, program_version, limits_json, supersedes)
        VALUES (@Id, @JobId, @Sha256, @FileName, @Kind, @Direction, @Speed, @TapeSetting, @Mark, @MeasuredAt, @ProgramVersion, @limits, @Supersedes)
        """,
        new
        {
            Id = StoredText.Id(entry.Id),
            JobId = StoredText.Id(entry.JobId),
            Sha256 = entry.Capture.Sha256.Length == 0 ? null : entry.Capture.Sha256,
            FileName = entry.Capture.File,
            Kind = entry.Measurement,
            Direction = StoredText.Of(entry.Condition.Direction),
            Speed = entry.Condition.SpeedCmPerS,
            entry.Condition.TapeSetting,
            Mark = StoredText.Of(entry.Mark),
            MeasuredAt = StoredText.Time(entry.MeasuredAt),
            entry.ProgramVersion,
            limits,
            Supersedes = StoredText.Id(entry.Supersedes),
        }, t);

    private static void InsertInstruments(DbConnection c, DbTransaction t, CaptureEntry entry)
    {
        for (int i = 0; i < entry.Instruments.Count; i++)
        {
            Instrument instrument = entry.Instruments[i];
            var key = new
            {
                Id = StoredText.Id(RowId.New()),
                instrument.Kind,
                instrument.Name,
                Remark = instrument.Remark
                ?? string.Empty
            };
            c.Execute("INSERT INTO instrument (id, kind, name, remark) VALUES (@Id, @Kind, @Name, @Remark) ON CONFLICT DO NOTHING", key, t);
            c.Execute(
                """
                INSERT INTO measurement_instrument (measurement_id, ordinal, instrument_id)
                SELECT @measurement, @ordinal, id FROM instrument WHERE kind = @Kind AND name = @Name AND remark = @Remark
                """,
                new { measurement = StoredText.Id(entry.Id), ordinal = i, key.Kind, key.Name, key.Remark }, t);
        }
    }

    private static void InsertReadings(DbConnection c, DbTransaction t, Filing filing, string measurement)
    {
        var old = filing.Supersedes is { } id
            ? c.Query<ReadingRow>(ReadingRow.Select + " WHERE r.measurement_id = @id ORDER BY r.ordinal", new { id = StoredText.Id(id) }, t)
                .ToList()
            : [];
        for (int i = 0; i < filing.Result.Readings.Count; i++)
        {
            Reading reading = filing.Result.Readings[i];
            string channel = StoredText.Of(reading.Channel);
            string? direction = reading.Direction is { } way ? StoredText.Of(way) : null;
            // The same figure told in another unit, taken at another place or of another class is another reading.
            ReadingRow? before = old.Find(o => (o.Quantity, o.Unit, o.Channel, o.FrequencyHz, o.Role, o.Class, o.Place, o.Direction)
                == (reading.Quantity, reading.Unit, channel, reading.FrequencyHz, reading.Role, reading.Class, reading.Place, direction));
            c.Execute(
                """
                INSERT INTO reading (measurement_id, ordinal, quantity, value, unit, uncertainty, parts_json, channel, frequency_hz, method, part, confidence,
                    role, class, place, direction, judgeable, supersedes_measurement, supersedes_ordinal)
                VALUES (@measurement, @ordinal, @Quantity, @Value, @Unit, @Uncertainty, @parts, @channel, @FrequencyHz, @Method, @Part, @Confidence,
                    @Role, @Class, @Place, @direction, @judgeable, @beforeId, @beforeOrdinal)
                """,
                new
                {
                    measurement,
                    ordinal = i,
                    reading.Quantity,
                    Value = reading.Value + 0.0, // SQLite has one zero, so the book has
                    reading.Unit,
                    reading.Uncertainty,
                    parts = StoredText.Of(reading.Parts),
                    channel,
                    reading.FrequencyHz,
                    reading.Method,
                    reading.Part,
                    reading.Confidence,
                    reading.Role,
                    reading.Class,
                    reading.Place,
                    direction,
                    judgeable = reading.Judgeable ? 1 : 0,
                    beforeId = before?.MeasurementId,
                    beforeOrdinal = before?.Ordinal,
                }, t);
        }
    }

    private static void InsertNotesAndTraces(DbConnection c, DbTransaction t, Filing filing, string measurement)
    {
        for (int i = 0; i < filing.Result.Notes.Count; i++)
        {
            Note note = filing.Result.Notes[i];
            c.Execute(
                "INSERT INTO note (measurement_id, ordinal, severity, code, text) VALUES (@measurement, @ordinal, @severity, @Code, @Text)",
                new
                {
                    measurement,
                    ordinal = i,
                    severity = StoredText.Of(note.Severity),
                    note.Code,
                    note.Text,
                },
                t
            );
        }

        for (int i = 0; i < filing.Result.Traces.Count; i++)
        {
            var trace = filing.Result.Traces[i];
            c.Execute(
                """
                INSERT INTO trace (measurement_id, ordinal, id, channel, x_unit, y_unit, points, data)
                VALUES (@measurement, @ordinal, @Id, @channel, @XUnit, @YUnit, @points, @data)
                """,
                new
                {
                    measurement,
                    ordinal = i,
                    trace.Id,
                    channel = StoredText.Of(trace.Channel),
                    trace.XUnit,
                    trace.YUnit,
                    points =
                    trace.X.Count,
                    data = TraceBlob.Pack(trace.X, trace.Y)
                }, t);
        }
    }
}
