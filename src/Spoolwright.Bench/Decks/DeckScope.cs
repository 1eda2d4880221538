using Spoolwright.Bench.Files;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Decks;

/// <summary>What the rest of a profile may speak of: the deck's directions, speeds and tape settings.</summary>
internal sealed record DeckScope(
    IReadOnlyList<Direction> Directions,
    IReadOnlyList<double> SpeedsCmPerS,
    IReadOnlyList<string> TapeSettings
)
{
    public static readonly NumberRange SpeedRange = NumberRange.Positive(200, "cm/s");

    /// <summary>A speed of the deck, as the deck's own list writes it; null when absent or wrong.</summary>
    public double? Speed(ObjectFields fields, string name, bool required = false)
    {
        var part = fields.Any(name, required);
        return part is null ? null : SpeedOf(part, fields.Problems);
    }

    public double? SpeedOf(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.NumberOf(part, SpeedRange, problems) is not { } speed)
            return null;
        if (TapeSpeed.Find(SpeedsCmPerS, speed) is { } known)
            return known;
        if (SpeedsCmPerS.Count > 0)
            problems.Error(part,
                $"the deck has no speed of {Quoted.Number(speed)} cm/s; its speeds are "
                    + $"{string.Join(", ", SpeedsCmPerS.Select(Quoted.Number))}");
        return null;
    }

    /// <summary>A direction of the deck; null when absent or wrong.</summary>
    public Direction? DirectionWord(ObjectFields fields, string name, bool required = false)
    {
        var part = fields.Any(name, required);
        return part is null ? null : DirectionOf(part, fields.Problems);
    }

    public Direction? DirectionOf(JsonPart part, ProblemList problems)
    {
        if (DeckWords.FindDirection(ObjectFields.WordOf(part, DeckWords.Directions, problems)) is not { } direction)
            return null;
        if (Directions.Contains(direction))
            return direction;
        if (Directions.Count > 0)
            problems.Error(part, $"the deck does not run in {DeckWords.Word(direction)}: \"directions\" does not list it");
        return null;
    }

    public string? TapeSetting(ObjectFields fields)
    {
        if (fields.Text("tapeSetting") is not { } setting)
            return null;
        if (TapeSettings.Contains(setting, StringComparer.Ordinal))
            return setting;
        var near = NearestWord.Question(setting, TapeSettings);
        fields.Problems.Error(fields.Any("tapeSetting")!, $"\"tapeSettings\" does not list {Quoted.Text(setting)}{near}");
        return null;
    }

    /// <summary>A list without repeats, each item read by <paramref name="read"/>.</summary>
    public static List<T> Each<T>(IReadOnlyList<JsonPart> items, ProblemList problems, Func<JsonPart, T?> read, Func<T, T, bool> same)
        where T : struct
    {
        var found = new List<T>();
        foreach (var item in items)
        {
            if (read(item) is not { } value)
                continue;
            if (found.Exists(f => same(f, value)))
                problems.Error(item, $"{item.Described} stands twice in this list");
            else
                found.Add(value);
        }

        return found;
    }
}
