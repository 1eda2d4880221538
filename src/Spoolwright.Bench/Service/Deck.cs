namespace Spoolwright.Bench.Service;

/// <summary>One machine, known by its serial number.</summary>
/// <param name="Id">Its key in the service book; the same on every bench.</param>
/// <param name="ProfileName">Name of the deck profile it belongs to.</param>
/// <param name="ProfileJson">The profile's text as it was when the deck was taken in, kept so that a record never hangs on a file that has
/// changed since.</param>
/// <param name="SerialNumber">As stamped on the deck.</param>
/// <param name="Description">What a person would say it is, in a line.</param>
public sealed record Deck(Guid Id, string ProfileName, string ProfileJson, string SerialNumber, string Description);
