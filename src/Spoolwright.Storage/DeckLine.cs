namespace Spoolwright.Storage;

/// <summary>A profile with how often it stands in the book.</summary>
/// <param name="ProfileName">Its name.</param>
/// <param name="Decks">Its decks.</param>
/// <param name="Jobs">Their jobs.</param>
/// <param name="OpenJobs">How many of those are open.</param>
public sealed record ProfileLine(string ProfileName, int Decks, int Jobs, int OpenJobs);

/// <summary>A deck as a list shows it, without its profile's text.</summary>
/// <param name="Id">The deck.</param>
/// <param name="ProfileName">Its profile's name.</param>
/// <param name="SerialNumber">As stamped on it.</param>
/// <param name="Description">In a line.</param>
/// <param name="Jobs">How many jobs it has had.</param>
/// <param name="OpenJobs">How many of them are open.</param>
/// <param name="LastOpened">When its last job was opened, UTC; null: it has had none.</param>
public sealed record DeckLine(
    Guid Id,
    string ProfileName,
    string SerialNumber,
    string Description,
    int Jobs,
    int OpenJobs,
    DateTimeOffset? LastOpened
);

/// <summary>What a deck is called, without its profile, which is thousands of bytes.</summary>
/// <param name="Id">Its key.</param>
/// <param name="ProfileName">Its kind.</param>
/// <param name="SerialNumber">Its serial number.</param>
public sealed record DeckName(Guid Id, string ProfileName, string SerialNumber);
