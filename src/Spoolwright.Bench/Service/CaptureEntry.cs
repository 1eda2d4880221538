using Spoolwright.Bench.Measurements;

namespace Spoolwright.Bench.Service;

/// <summary>One measurement of one capture as the service book holds it: what was heard, under which condition, by which instruments, when,
/// and read by which program.</summary>
public sealed record CaptureEntry
{
    /// <summary>Key of this measurement in the service book.</summary>
    public required Guid Id { get; init; }

    public required Guid JobId { get; init; }

    /// <summary>The sound, known by its hash; two measurements may share one capture.</summary>
    public required Capture Capture { get; init; }

    public required Condition Condition { get; init; }

    public required Mark Mark { get; init; }

    /// <summary>The catalogue entry's id: <c>speed</c>, <c>playback</c>, <c>azimuth</c>.</summary>
    public required string Measurement { get; init; }

    public IReadOnlyList<Instrument> Instruments { get; init; } = [];

    /// <summary>When the sound was taken (or measured, where that is all that is known), UTC.</summary>
    public required DateTimeOffset MeasuredAt { get; init; }

    /// <summary>Version of the program that read the figures from the sound.</summary>
    public required string ProgramVersion { get; init; }

    /// <summary>The earlier measurement that this one takes the place of; null: none.</summary>
    public Guid? Supersedes { get; init; }
}
