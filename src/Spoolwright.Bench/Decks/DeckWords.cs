namespace Spoolwright.Bench.Decks;

/// <summary>The words of a deck profile for directions and kinds of part.</summary>
public static class DeckWords
{
    private static readonly Dictionary<string, Direction> DirectionsByWord = new(StringComparer.Ordinal)
    {
        ["forward"] = Direction.Forward,
        ["reverse"] = Direction.Reverse,
    };

    private static readonly Dictionary<string, RotatingPartKind> KindsByWord = new(StringComparer.Ordinal)
    {
        ["capstan"] = RotatingPartKind.Capstan,
        ["pinch-roller"] = RotatingPartKind.PinchRoller,
        ["supply-reel"] = RotatingPartKind.SupplyReel,
        ["take-up-reel"] = RotatingPartKind.TakeUpReel,
        ["motor"] = RotatingPartKind.Motor,
        ["belt"] = RotatingPartKind.Belt,
        ["idler"] = RotatingPartKind.Idler,
    };

    /// <summary><c>forward</c> and <c>reverse</c>.</summary>
    public static IReadOnlyCollection<string> Directions => DirectionsByWord.Keys;

    /// <summary><c>capstan</c>, <c>pinch-roller</c> and so on.</summary>
    public static IReadOnlyCollection<string> Kinds => KindsByWord.Keys;

    /// <summary>The file's word for a direction.</summary>
    public static string Word(Direction direction) => DirectionsByWord.First(d => d.Value == direction).Key;

    /// <summary>The file's word for a kind of part.</summary>
    public static string Word(RotatingPartKind kind) => KindsByWord.First(k => k.Value == kind).Key;

    /// <summary>The direction of a word, or null.</summary>
    public static Direction? FindDirection(string? word) =>
        word is not null && DirectionsByWord.TryGetValue(word, out var found) ? found : null;

    /// <summary>The kind of part of a word, or null.</summary>
    public static RotatingPartKind? FindKind(string? word) =>
        word is not null && KindsByWord.TryGetValue(word, out var found) ? found : null;
}
