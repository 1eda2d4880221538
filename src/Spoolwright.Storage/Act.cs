namespace Spoolwright.Storage;

/// <summary>What one click or one call changed, undone as one.</summary>
/// <param name="Id">Its key.</param>
/// <param name="At">When, UTC.</param>
/// <param name="Who">The person or bench.</param>
/// <param name="What">In words, such as <c>Closed the job of 740 1183</c>.</param>
/// <param name="Undoes">The act that it takes back; null: none.</param>
/// <param name="UndoneBy">The act that took it back; null: it stands.</param>
public sealed record Act(Guid Id, DateTimeOffset At, string Who, string What, Guid? Undoes = null, Guid? UndoneBy = null);

/// <summary>One row that an act changed.</summary>
/// <param name="Table">The table.</param>
/// <param name="Key">JSON object of the key's columns.</param>
/// <param name="Before">JSON object of the row's columns before; null: it was added.</param>
/// <param name="After">The same after; null: it was removed.</param>
public sealed record RowChange(string Table, string Key, string? Before, string? After);
