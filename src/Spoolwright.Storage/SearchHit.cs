namespace Spoolwright.Storage;

/// <summary>Something that was found.</summary>
/// <param name="Kind">
/// <c>deck</c>, <c>job</c>, <c>measurement</c>, <c>unmeasured</c> (then the id is the job's), or an entry's kind.
/// </param>
/// <param name="Id">The row's id.</param>
/// <param name="DeckId">The deck it belongs to; null: none.</param>
/// <param name="JobId">The job it belongs to; null: none.</param>
/// <param name="Title">A line that names it.</param>
/// <param name="Body">Its text.</param>
/// <param name="At">When it was, UTC; null: it has no time.</param>
public sealed record SearchHit(string Kind, Guid Id, Guid? DeckId, Guid? JobId, string Title, string Body, DateTimeOffset? At);
