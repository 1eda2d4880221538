using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.Bench.Service;

/// <summary>A measurement out of the book, whole: provenance, readings, notes, curves, and the limits it was held to when it was
/// filed.</summary>
/// <param name="Entry">Provenance.</param>
/// <param name="Result">Readings, notes and curves as they were measured.</param>
/// <param name="Readings">The same readings with their keys and what they supersede, in the same order.</param>
/// <param name="Limits">The limits in force when it was filed.</param>
/// <param name="SupersededBy">The later measurement that took its place; null: it stands.</param>
public sealed record FiledMeasurement(
    CaptureEntry Entry,
    MeasurementResult Result,
    IReadOnlyList<StoredReading> Readings,
    IReadOnlyList<Limit> Limits,
    Guid? SupersededBy = null);

/// <summary>A cell of the matrix of conditions that could not be had, and why, such as "belt turned to tar; transport did not
/// move".</summary>
/// <param name="JobId">The job.</param>
/// <param name="Condition">The condition that could not be measured.</param>
/// <param name="Mark">At which point of the job.</param>
/// <param name="Reason">Why, in plain words.</param>
/// <param name="Measurement">The catalogue id it holds for; null: every measurement of that cell.</param>
public sealed record Unmeasured(Guid JobId, Condition Condition, Mark Mark, string Reason, string? Measurement = null);

/// <summary>All that the book holds of one job: enough to write its record without any other file.</summary>
public sealed record JobFile(Deck Deck, Job Job, IReadOnlyList<FiledMeasurement> Measurements, IReadOnlyList<Unmeasured> Unmeasured);
