using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

// Dapper fills these by name.
#pragma warning disable CA1812 // never instantiated in code

namespace Spoolwright.Storage;

/// <summary>A row of <c>deck</c>.</summary>
internal sealed class DeckRow
{
    public const string Select =
        "SELECT id AS Id, profile_name AS ProfileName, profile_json AS ProfileJson, serial_number AS SerialNumber, description AS Description FROM deck";

    public required string Id { get; init; }

    public required string ProfileName { get; init; }

    public required string ProfileJson { get; init; }

    public required string SerialNumber { get; init; }

    public required string Description { get; init; }

    public Deck ToDeck() => new(StoredText.Id(Id), ProfileName, ProfileJson, SerialNumber, Description);
}

/// <summary>A row of <c>job</c>.</summary>
internal sealed class JobRow
{
    public const string Select = "SELECT id AS Id, deck_id AS DeckId, opened AS Opened, closed AS Closed, what AS What FROM job";

    public required string Id { get; init; }

    public required string DeckId { get; init; }

    public required string Opened { get; init; }

    public string? Closed { get; init; }

    public required string What { get; init; }

    public Job ToJob() => new(StoredText.Id(Id), StoredText.Id(DeckId), StoredText.Time(Opened), Closed is null ? null
        : StoredText.Time(Closed), What);
}

/// <summary>A row of <c>measurement</c> with its <c>capture</c>.</summary>
internal sealed class MeasurementRow
{
    public const string Select =
        """
        SELECT m.id AS Id, m.job_id AS JobId, m.sha256 AS Sha256, m.file_name AS FileName, m.kind AS Kind, m.direction AS Direction, m.speed_cm_per_s AS Speed,
            m.tape_setting AS TapeSetting, m.mark AS Mark, m.measured_at AS MeasuredAt, m.program_version AS ProgramVersion, m.limits_json AS LimitsJson,
            m.supersedes AS Supersedes, c.sample_rate_hz AS SampleRateHz, c.channels AS Channels, c.seconds AS Seconds
        FROM measurement m LEFT JOIN capture c ON c.sha256 = m.sha256
        """;

    public required string Id { get; init; }

    public required string JobId { get; init; }

    public string? Sha256 { get; init; }

    public required string FileName { get; init; }

    public required string Kind { get; init; }

    public required string Direction { get; init; }

    public double Speed { get; init; }

    public string? TapeSetting { get; init; }

    public required string Mark { get; init; }

    public required string MeasuredAt { get; init; }

    public required string ProgramVersion { get; init; }

    public required string LimitsJson { get; init; }

    public string? Supersedes { get; init; }

    public int? SampleRateHz { get; init; }

    public int? Channels { get; init; }

    public double? Seconds { get; init; }

    public CaptureEntry ToEntry(IReadOnlyList<Instrument> instruments) => new()
    {
        Id = StoredText.Id(Id),
        JobId = StoredText.Id(JobId),
        Capture = new Capture(FileName, Sha256 ?? string.Empty, SampleRateHz, Channels, Seconds),
        Condition = new Condition(StoredText.ToDirection(Direction), Speed, TapeSetting),
        Mark = StoredText.ToMark(Mark),
        Measurement = Kind,
        Instruments = instruments,
        MeasuredAt = StoredText.Time(MeasuredAt),
        ProgramVersion = ProgramVersion,
        Supersedes = StoredText.MaybeId(Supersedes),
    };
}

/// <summary>A row of <c>reading</c>.</summary>
internal sealed class ReadingRow
{
    public const string Select =
        """
        SELECT r.measurement_id AS MeasurementId, r.ordinal AS Ordinal, r.quantity AS Quantity, r.value AS Value, r.unit AS Unit, r.uncertainty AS Uncertainty,
            r.parts_json AS PartsJson, r.channel AS Channel, r.frequency_hz AS FrequencyHz, r.method AS Method, r.part AS Part, r.confidence AS Confidence,
            r.role AS Role, r.class AS Class, r.place AS Place, r.direction AS Direction, r.judgeable AS Judgeable,
            r.supersedes_measurement AS SupersedesMeasurement, r.supersedes_ordinal AS SupersedesOrdinal
        FROM reading r
        """;

    public required string MeasurementId { get; init; }

    public int Ordinal { get; init; }

    public required string Quantity { get; init; }

    public double Value { get; init; }

    public required string Unit { get; init; }

    public double? Uncertainty { get; init; }

    public string? PartsJson { get; init; }

    public required string Channel { get; init; }

    public double? FrequencyHz { get; init; }

    public required string Method { get; init; }

    public string? Part { get; init; }

    public double? Confidence { get; init; }

    public string? Role { get; init; }

    public string? Class { get; init; }

    public string? Place { get; init; }

    public string? Direction { get; init; }

    public int Judgeable { get; init; }

    public string? SupersedesMeasurement { get; init; }

    public int? SupersedesOrdinal { get; init; }

    public StoredReading ToStored(CaptureEntry entry) => new(
        new ReadingKey(entry.Id, Ordinal),
        new Reading
        {
            Quantity = Quantity,
            Value = Value,
            Unit = Unit,
            Uncertainty = Uncertainty,
            Parts = StoredText.ToParts(PartsJson),
            Channel = StoredText.ToChannel(Channel),
            FrequencyHz = FrequencyHz,
            Method = Method,
            Part = Part,
            Confidence = Confidence,
            Role = Role,
            Class = Class,
            Place = Place,
            Direction = Direction is null ? null : StoredText.ToDirection(Direction),
            Judgeable = Judgeable != 0,
        },
        entry.Condition,
        entry.Mark,
        entry.Capture.Sha256,
        SupersedesMeasurement is null ? null : new ReadingKey(StoredText.Id(SupersedesMeasurement), SupersedesOrdinal ?? 0));
}

/// <summary>A row of <c>note</c>.</summary>
internal sealed class NoteRow
{
    public const string Select =
        """
        SELECT n.measurement_id AS MeasurementId, n.severity AS Severity, n.code AS Code, n.text AS Text
        FROM note n JOIN measurement m ON m.id = n.measurement_id WHERE m.job_id = @id ORDER BY n.measurement_id, n.ordinal
        """;

    public required string MeasurementId { get; init; }

    public required string Severity { get; init; }

    public required string Code { get; init; }

    public required string Text { get; init; }
}

/// <summary>A row of <c>trace</c>.</summary>
internal sealed class TraceRow
{
    public const string Select =
        """
        SELECT x.measurement_id AS MeasurementId, x.id AS Id, x.channel AS Channel, x.x_unit AS XUnit, x.y_unit AS YUnit, x.points AS Points, x.data AS Data
        FROM trace x JOIN measurement m ON m.id = x.measurement_id WHERE m.job_id = @id ORDER BY x.measurement_id, x.ordinal
        """;

    public required string MeasurementId { get; init; }

    public required string Id { get; init; }

    public required string Channel { get; init; }

    public required string XUnit { get; init; }

    public required string YUnit { get; init; }

    public int Points { get; init; }

    public required byte[] Data { get; init; }

    public Trace ToTrace()
    {
        (double[] x, double[] y) = TraceBlob.Unpack(Data, Points);
        return new Trace(Id, StoredText.ToChannel(Channel), XUnit, YUnit, x, y);
    }
}

/// <summary>A row of <c>instrument</c> as one measurement used it.</summary>
internal sealed class InstrumentRow
{
    public const string Select =
        """
        SELECT u.measurement_id AS MeasurementId, i.kind AS Kind, i.name AS Name, i.remark AS Remark
        FROM measurement_instrument u JOIN instrument i ON i.id = u.instrument_id JOIN measurement m ON m.id = u.measurement_id
        WHERE m.job_id = @id ORDER BY u.measurement_id, u.ordinal
        """;

    public required string MeasurementId { get; init; }

    public required string Kind { get; init; }

    public required string Name { get; init; }

    public required string Remark { get; init; }

    public Instrument ToInstrument() => new(Kind, Name, Remark.Length == 0 ? null : Remark);
}

/// <summary>A row of <c>unmeasured</c>.</summary>
internal sealed class UnmeasuredRow
{
    public const string Select =
        """
        SELECT direction AS Direction, speed_cm_per_s AS Speed, tape_setting AS TapeSetting, mark AS Mark, kind AS Kind, reason AS Reason
        FROM unmeasured WHERE job_id = @id ORDER BY ordinal
        """;

    public required string Direction { get; init; }

    public double Speed { get; init; }

    public string? TapeSetting { get; init; }

    public required string Mark { get; init; }

    public string? Kind { get; init; }

    public required string Reason { get; init; }

    public Unmeasured ToUnmeasured(Guid jobId) =>
        new(jobId, new Condition(StoredText.ToDirection(Direction), Speed, TapeSetting), StoredText.ToMark(Mark), Reason, Kind);
}
