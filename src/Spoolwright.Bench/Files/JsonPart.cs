using System.Globalization;

namespace Spoolwright.Bench.Files;

/// <summary>What kind of JSON value a part is.</summary>
internal enum JsonKind
{
    Object,
    Array,
    Text,
    Number,
    Truth,
    Null,
}

/// <summary>One value of a JSON text that knows where it stands.</summary>
internal sealed class JsonPart(JsonText source, int offset, JsonKind kind, JsonPart? parent, string? name, int index)
{
    public JsonText Source { get; } = source;

    /// <summary>Where it starts, bytes.</summary>
    public int Offset { get; } = offset;

    public JsonKind Kind { get; } = kind;

    public string? Name { get; } = name;

    /// <summary>For a member of an object: where its name starts.</summary>
    public int NameOffset { get; init; } = offset;

    public string Text { get; init; } = "";

    public double Number { get; init; }

    public bool Truth { get; init; }

    /// <summary>Members of an object, each name once.</summary>
    public Dictionary<string, JsonPart> Members { get; } = new(kind == JsonKind.Object ? 8 : 0, StringComparer.Ordinal);

    /// <summary>Items of an array.</summary>
    public List<JsonPart> Items { get; } = [];

    /// <summary>False for an object or array in which the text could not be read on.</summary>
    public bool Closed { get; set; }

    /// <summary>The place by name, such as <c>limits[3].quantity</c>.</summary>
    public string Path => parent is null
        ? ""
        : Name is null ? $"{parent.Path}[{index.ToString(CultureInfo.InvariantCulture)}]"
        : parent.Path.Length == 0 ? Quoted.Bare(Name) : $"{parent.Path}.{Quoted.Bare(Name)}";

    /// <summary>What it is, said to a person.</summary>
    public string Described => Kind switch
    {
        JsonKind.Object => "an object {…}",
        JsonKind.Array => "a list […]",
        JsonKind.Text => $"the text {Quoted.Text(Text)}",
        JsonKind.Number when double.IsNaN(Number) => "a number too large to be held",
        JsonKind.Number => $"the number {Quoted.Number(Number)}",
        JsonKind.Truth => Truth ? "true" : "false",
        _ => "null",
    };
}
