namespace Spoolwright.Bench.Files;

/// <summary>
/// Reads the members of one JSON object by name and type, naming what is missing, of a wrong type, out of range or unknown.
/// A member that says null counts as absent.
/// </summary>
internal sealed class ObjectFields
{
    private readonly HashSet<string> known = new(StringComparer.Ordinal);

    private ObjectFields(JsonPart part, ProblemList problems)
    {
        Part = part;
        Problems = problems;
    }

    public JsonPart Part { get; }

    public ProblemList Problems { get; }

    /// <summary>The members of <paramref name="part"/>, or null with a problem when it is no object.</summary>
    public static ObjectFields? Of(JsonPart part, ProblemList problems, string expected)
    {
        if (part.Kind == JsonKind.Object)
            return new ObjectFields(part, problems);
        problems.Error(part, $"expected {expected}, found {part.Described}");
        return null;
    }

    /// <summary>The member of that name, whatever its type; null when absent.</summary>
    public JsonPart? Any(string name, bool required = false)
    {
        known.Add(name);
        if (Part.Members.TryGetValue(name, out var part) && part.Kind != JsonKind.Null)
            return part;
        if (required && (Part.Closed || !Problems.Unfinished))
            Problems.Error(Part, $"{Quoted.Text(name)} is missing");
        return null;
    }

    /// <summary>A text that is not blank.</summary>
    public string? Text(string name, bool required = false)
    {
        var part = Any(name, required);
        if (part is null)
            return null;
        if (part.Kind != JsonKind.Text)
            return Wrong<string>(part, "expected a text in double quotes");
        return string.IsNullOrWhiteSpace(part.Text) ? Wrong<string>(part, "expected a text that is not blank") : part.Text;
    }

    /// <summary>One of the words given.</summary>
    public string? Word(string name, IReadOnlyCollection<string> words, bool required = false)
    {
        var part = Any(name, required);
        return part is null ? null : WordOf(part, words, Problems);
    }

    /// <summary>A number within <paramref name="range"/>.</summary>
    public double? Number(string name, NumberRange range, bool required = false)
    {
        var part = Any(name, required);
        return part is null ? null : NumberOf(part, range, Problems);
    }

    /// <summary>True or false.</summary>
    public bool? Truth(string name)
    {
        var part = Any(name);
        if (part is null)
            return null;
        if (part.Kind == JsonKind.Truth)
            return part.Truth;
        Problems.Error(part, $"expected true or false, found {part.Described}");
        return null;
    }

    /// <summary>The items of a list; empty when absent.</summary>
    public IReadOnlyList<JsonPart> Items(string name, bool required = false)
    {
        var part = Any(name, required);
        if (part is null)
            return [];
        if (part.Kind == JsonKind.Array)
            return part.Items;
        Problems.Error(part, $"expected a list […], found {part.Described}");
        return [];
    }

    /// <summary>Names every member that nobody asked for.</summary>
    public void ReportUnknown(FileProblemSeverity severity = FileProblemSeverity.Error)
    {
        foreach (var (name, part) in Part.Members)
        {
            if (known.Contains(name))
                continue;
            if (Problems.Full)
                return;
            var near = NearestWord.Question(name, known);
            var listed = near.Length > 0 ? near : $"; known here: {string.Join(", ", known)}";
            Problems.Add(severity, part.Source, part.NameOffset, part.Path, $"unknown property {Quoted.Text(name)}{listed}");
        }
    }

    public static string? WordOf(JsonPart part, IReadOnlyCollection<string> words, ProblemList problems)
    {
        if (part.Kind == JsonKind.Text && words.Contains(part.Text, StringComparer.Ordinal))
            return part.Text;
        var near = part.Kind == JsonKind.Text ? NearestWord.Question(part.Text, words) : "";
        problems.Error(part, $"expected {string.Join(" or ", words.Select(Quoted.Text))}, found {part.Described}{near}");
        return null;
    }

    public static double? NumberOf(JsonPart part, NumberRange range, ProblemList problems)
    {
        if (part.Kind != JsonKind.Number)
        {
            problems.Error(part, $"expected a number {range.Described}, found {part.Described}");
            return null;
        }

        if (range.Holds(part.Number))
            return part.Number;
        if (double.IsNaN(part.Number))
            return null;
        problems.Error(part, $"expected a number {range.Described}, found {Quoted.Number(part.Number)}");
        return null;
    }

    private T? Wrong<T>(JsonPart part, string expected)
        where T : class
    {
        Problems.Error(part, $"{expected}, found {part.Described}");
        return null;
    }
}

/// <summary>The numbers that make sense in one place.</summary>
/// <param name="From">Lowest.</param>
/// <param name="To">Highest, included.</param>
/// <param name="Unit">Unit for the message, may be empty.</param>
/// <param name="FromIncluded">Whether <paramref name="From"/> itself is allowed.</param>
internal readonly record struct NumberRange(double From, double To, string Unit, bool FromIncluded = true)
{
    /// <summary>Above 0, up to <paramref name="to"/>.</summary>
    public static NumberRange Positive(double to, string unit) => new(0, to, unit, FromIncluded: false);

    public string Described
    {
        get
        {
            var unit = Unit.Length == 0 ? "" : " " + Unit;
            return FromIncluded
                ? $"from {Quoted.Number(From)} to {Quoted.Number(To)}{unit}"
                : $"above {Quoted.Number(From)} and at most {Quoted.Number(To)}{unit}";
        }
    }

    public bool Holds(double number) => number <= To && (FromIncluded ? number >= From : number > From);
}
