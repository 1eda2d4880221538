using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;

namespace Spoolwright.Bench.Files;

/// <summary>Writes files as a person would: indented, absent things left out.</summary>
internal static class JsonFields
{
    private static readonly JsonWriterOptions Options = new()
    {
        Indented = true,
        NewLine = "\n",
        // The text goes to a file of its own, never into a page: µ and ° may stand as they are.
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>One object with the members that <paramref name="members"/> writes.</summary>
    public static string Write(Action<Utf8JsonWriter> members)
    {
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream, Options))
        {
            json.WriteStartObject();
            members(json);
            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(stream.ToArray()) + "\n";
    }

    public static void WriteOptional(this Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number)
            json.WriteNumber(name, number);
    }

    public static void WriteOptional(this Utf8JsonWriter json, string name, string? value)
    {
        if (value is not null)
            json.WriteString(name, value);
    }

    /// <summary>A list, left out when empty.</summary>
    public static void WriteList<T>(this Utf8JsonWriter json, string name, IReadOnlyList<T> items, Action<Utf8JsonWriter, T> item)
    {
        if (items.Count == 0)
            return;
        json.WriteStartArray(name);
        foreach (var one in items)
            item(json, one);
        json.WriteEndArray();
    }
}
