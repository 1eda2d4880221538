using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.Reports;

/// <summary>Holds readings against limits: the signature of the judge in <c>Bench/Limits</c>, so that a record judges by the same hand as
/// everything else.</summary>
public delegate IReadOnlyList<Judgement> JudgeReadings(IReadOnlyList<Reading> readings, IReadOnlyList<Limit> limits, Condition? condition);

/// <summary>A measurement that stands in the record: its provenance and all that it found.</summary>
public sealed record PassMeasurement(CaptureEntry Entry, MeasurementResult Result);

/// <summary>One condition at one point of the job.</summary>
/// <param name="Mark">As found, first run, or as left.</param>
/// <param name="Measurements">What was measured; empty where the deck could not run.</param>
/// <param name="Judgements">The readings against their limits, absent readings among them.</param>
/// <param name="Missing">Why something has no figures.</param>
public sealed record RecordedPass(Mark Mark, IReadOnlyList<PassMeasurement> Measurements, IReadOnlyList<Judgement> Judgements,
    IReadOnlyList<Unmeasured> Missing)
{
    /// <summary>Every reading of the pass, in the order of its measurements.</summary>
    public IEnumerable<Reading> Readings => Measurements.SelectMany(m => m.Result.Readings);

    /// <summary>Every curve of the pass.</summary>
    public IEnumerable<Trace> Traces => Measurements.SelectMany(m => m.Result.Traces);
}

/// <summary>One condition with what was found and what was left.</summary>
/// <param name="Condition">Direction, speed, tape setting.</param>
/// <param name="Passes">In the order as found, first run, as left; only those of which something is known.</param>
public sealed record RecordedCondition(Condition Condition, IReadOnlyList<RecordedPass> Passes)
{
    /// <summary>The pass of that mark, or null.</summary>
    public RecordedPass? Pass(Mark mark) => Passes.FirstOrDefault(p => p.Mark == mark);
}

/// <summary>A fault that is left.</summary>
/// <param name="Of">What it is of.</param>
/// <param name="Words">The words it is accepted in.</param>
public sealed record AcceptedFault(string Of, string Words);

/// <summary>By whose key a record is signed.</summary>
/// <param name="SignedAt">When.</param>
/// <param name="Fingerprint">The key's.</param>
/// <param name="DataSha256">Hash of the record's data as JSON, which is what was signed.</param>
public sealed record SealNote(DateTimeOffset SignedAt, string Fingerprint, string DataSha256);

/// <summary>
/// What the buyer gets, as data: everything that any format of the record shows, and nothing that is not in the service book.
/// </summary>
public sealed record RecordData
{
    public required Deck Deck { get; init; }

    public required Job Job { get; init; }

    /// <summary>Who vouches for it, as they wish to be named; null: not said.</summary>
    public string? Workshop { get; init; }

    /// <summary>When the record was written.</summary>
    public required DateTimeOffset Written { get; init; }

    /// <summary>Version of the program that wrote it; each measurement names the one that read its figures.</summary>
    public required string ProgramVersion { get; init; }

    /// <summary>Forward before reverse, slow before fast.</summary>
    public required IReadOnlyList<RecordedCondition> Conditions { get; init; }

    /// <summary>Measurements that a later one took the place of: kept in the book, left out of the figures, counted here.</summary>
    public int SupersededMeasurements { get; init; }

    /// <summary>Loopbacks of the audio interface, in the order they were made: figures of the bench, not of the deck.</summary>
    public IReadOnlyList<PassMeasurement> Calibrations { get; init; } = [];

    /// <summary>Faults that are left, in the words they are accepted in, each with what it is of.</summary>
    public IReadOnlyList<AcceptedFault> AcceptedFaults { get; init; } = [];

    /// <summary>What ailed the deck as it came and what became of it; null: there was nothing to weigh.</summary>
    public Ailments? Ailments { get; init; }

    /// <summary>By whose key the record is signed; null: it is not.</summary>
    public SealNote? Seal { get; init; }

    /// <summary>What a reader might take from the record and must not.</summary>
    public IReadOnlyList<string> DoesNotProve { get; init; } = [];

    /// <summary>Every instrument that some figure leans on, once each, in the order of first use.</summary>
    public IReadOnlyList<Instrument> Instruments =>
        [
            .. Calibrations
                .Concat(Conditions.SelectMany(c => c.Passes).SelectMany(p => p.Measurements))
                .SelectMany(m => m.Entry.Instruments)
                .Distinct(),
        ];

    /// <summary>Every pass with its condition, in the record's order.</summary>
    public IEnumerable<(Condition Condition, RecordedPass Pass)> Passes => Conditions
        .SelectMany(c => c.Passes.Select(p => (c.Condition, p)));
}
