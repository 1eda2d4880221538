namespace Spoolwright.Storage;

/// <summary>By what a bench that lost its server in the commit asks what became of its transaction.</summary>
/// <param name="Number">The transaction's number; null: it left a row of its own.</param>
/// <param name="Row">The key of that row; null: it left none.</param>
/// <param name="TakenOut">Rows of earlier transactions that it takes out.</param>
internal sealed record WriteTicket(string? Number, string? Row, IReadOnlyList<string> TakenOut);
