namespace Spoolwright.Bench.Service;

/// <summary>Where a reading stands in the book: its measurement, and its place in that measurement's list (from 0).</summary>
public readonly record struct ReadingKey(Guid MeasurementId, int Ordinal);

/// <summary>A reading with everything it needs to be understood years later.</summary>
/// <param name="Key">Where it stands in the book.</param>
/// <param name="Reading">The figure itself, to the last bit as it was measured.</param>
/// <param name="Condition">Under what it was taken.</param>
/// <param name="Mark">At which point of the job.</param>
/// <param name="CaptureSha256">The sound it was read from.</param>
/// <param name="Supersedes">The earlier reading of the same quantity, channel and tone that it takes the place of; null: none.</param>
public sealed record StoredReading(ReadingKey Key, Reading Reading, Condition Condition, Mark Mark, string CaptureSha256,
    ReadingKey? Supersedes = null);
