namespace Spoolwright.Bench.Service;

/// <summary>One deck's stay on the bench.</summary>
/// <param name="Id">Its key in the service book.</param>
/// <param name="DeckId">The deck that stays.</param>
/// <param name="Opened">When it began, UTC.</param>
/// <param name="Closed">When it ended, UTC; null: still open.</param>
/// <param name="What">What is to be done or was done, in plain words; lines are kept.</param>
public sealed record Job(Guid Id, Guid DeckId, DateTimeOffset Opened, DateTimeOffset? Closed, string What);
