using Spoolwright.Bench.Decks;

namespace Spoolwright.Bench.Service;

/// <summary>What a task or check is only there for: a deck without it leaves it out.</summary>
public static class DeckFeature
{
    /// <summary><c>reverse</c>, <c>several-speeds</c>, <c>tape-settings</c>, <c>one-direction</c>.</summary>
    public static IReadOnlyList<string> Words { get; } = ["reverse", "several-speeds", "tape-settings", "one-direction"];

    /// <summary>Whether decks of the profile have it.</summary>
    public static bool Has(DeckProfile profile, string word)
    {
        ArgumentNullException.ThrowIfNull(profile);
        return word switch
        {
            "reverse" => profile.Directions.Contains(Direction.Reverse),
            "one-direction" => profile.Directions.Count == 1,
            "several-speeds" => profile.SpeedsCmPerS.Count > 1,
            "tape-settings" => profile.TapeSettings.Count > 1,
            _ => throw new ArgumentException($"no feature of a deck is called {word}", nameof(word)),
        };
    }
}
