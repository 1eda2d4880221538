namespace Spoolwright.Bench.Service.Register;

/// <summary>That a measurement leaned on an instrument.</summary>
/// <param name="MeasurementId">The measurement.</param>
/// <param name="JobId">Its job.</param>
/// <param name="DeckId">Its deck.</param>
/// <param name="Deck">Profile and serial number, to read.</param>
/// <param name="Measurement">Catalogue id.</param>
/// <param name="MeasuredAt">When.</param>
/// <param name="Sha256">The capture; empty: none.</param>
/// <param name="Kind">The instrument's kind as filed.</param>
/// <param name="Name">The instrument's name as filed.</param>
public sealed record Leaning(Guid MeasurementId, Guid JobId, Guid DeckId, string Deck, string Measurement, DateTimeOffset MeasuredAt,
    string Sha256, string Kind, string Name);

/// <summary>What is wrong with leaning on an instrument at a time.</summary>
/// <param name="Code"><c>instrument-overdue</c>, <c>instrument-doubtful</c>, <c>instrument-exposed</c>, <c>instrument-worn</c>,
/// <c>instrument-retired</c>.</param>
/// <param name="Text">One sentence.</param>
public sealed record InstrumentDoubt(string Code, string Text);

/// <summary>A stretch of time in which something speaks against an instrument.</summary>
/// <param name="From">Its first moment.</param>
/// <param name="Until">The first moment after it; null: it lasts.</param>
public sealed record DoubtedSpan(DateTimeOffset From, DateTimeOffset? Until);
