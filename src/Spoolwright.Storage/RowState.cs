using System.Data.Common;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.RegularExpressions;

namespace Spoolwright.Storage;

/// <summary>
/// A row as one JSON object, every column by its name. Bytes are base64 in an object of their own, so that they are told from text.
/// </summary>
internal static partial class RowState
{
    private const string Bytes = "base64";

    // Readable: letters of every language stand as they are, and nothing of it goes into a page.
    private static readonly JsonWriterOptions Readable = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>The row of that key as it is now; null: there is none.</summary>
    public static string? Read(DbConnection connection, DbTransaction transaction, string table, Columns key)
    {
        using DbCommand command = connection.CreateCommand();
        command.Transaction = transaction;
        command.CommandText = $"SELECT * FROM {Name(table)} WHERE {Where(command, key)}";
        using DbDataReader row = command.ExecuteReader();
        if (!row.Read())
            return null;
        string state = Json(Enumerable.Range(0, row.FieldCount).Select(i => (row.GetName(i), row.IsDBNull(i) ? null : row.GetValue(i))));
        return row.Read() ? throw new ArgumentException($"the key {Key(key)} names more than one row of {table}", nameof(key)) : state;
    }

    /// <summary>A key as the journal keeps it: by name, always in the same order.</summary>
    public static string Key(Columns key) =>
        Json(key.OrderBy(k => k.Key, StringComparer.Ordinal).Select(k => (k.Key, Columns.Stored(k.Key, k.Value))));

    /// <summary>The columns that such a JSON object names.</summary>
    public static Columns Parse(string state)
    {
        using var document = JsonDocument.Parse(state);
        var columns = new Columns();
        foreach (JsonProperty p in document.RootElement.EnumerateObject())
        {
            columns[p.Name] = p.Value.ValueKind switch
            {
                JsonValueKind.Null => null,
                JsonValueKind.String => p.Value.GetString(),
                JsonValueKind.Number => p.Value.TryGetInt64(out long whole) ? whole : p.Value.GetDouble(),
                JsonValueKind.Object => p.Value.GetProperty(Bytes).GetBytesFromBase64(),
                _ => throw new ServiceBookException(
                    "damaged",
                    $"The journal holds a {p.Value.ValueKind} where a value of the column {p.Name} should stand."
                ),
            };
        }

        return columns;
    }

    /// <summary>Whether the row is as the columns say; columns that they do not name may hold anything.</summary>
    public static bool Agrees(string row, Columns columns)
    {
        Columns now = Parse(row);
        return columns.All(c => now.TryGetValue(c.Key, out object? value) && Same(value, Columns.Stored(c.Key, c.Value)));
    }

    /// <summary>Conditions for a key, its values bound to the command.</summary>
    public static string Where(DbCommand command, Columns key) =>
        key.Count == 0 ? throw new ArgumentException("a row needs a key", nameof(key))
            : string.Join(" AND ", key.Select(k => $"{Name(k.Key)} = {Bind(command, k.Key, k.Value)}"));

    /// <summary>Binds a value and gives the name it stands under.</summary>
    public static string Bind(DbCommand command, string column, object? value)
    {
        DbParameter parameter = command.CreateParameter();
        parameter.ParameterName = $"@p{command.Parameters.Count}";
        parameter.Value = Columns.Stored(column, value) ?? DBNull.Value;
        command.Parameters.Add(parameter);
        return parameter.ParameterName;
    }

    /// <summary>A table's or column's name, which comes from code and never from people.</summary>
    public static string Name(string name) =>
        PlainName().IsMatch(name) ? name : throw new ArgumentException($"not the name of a table or column: {name}", nameof(name));

    private static string Json(IEnumerable<(string Name, object? Value)> columns)
    {
        using var bytes = new MemoryStream();
        using (var json = new Utf8JsonWriter(bytes, Readable))
        {
            json.WriteStartObject();
            foreach ((string name, object? value) in columns)
            {
                json.WritePropertyName(name);
                switch (Columns.Stored(name, value))
                {
                    case null: json.WriteNullValue(); break;
                    case string text: json.WriteStringValue(text); break;
                    case long whole: json.WriteNumberValue(whole); break;
                    case double real: json.WriteNumberValue(real); break;
                    case byte[] blob:
                        json.WriteStartObject();
                        json.WriteBase64String(Bytes, blob);
                        json.WriteEndObject();
                        break;
                }
            }

            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(bytes.ToArray());
    }

    private static bool Same(object? a, object? b) => (a, b) switch
    {
        (null, null) => true,
        (byte[] x, byte[] y) => x.AsSpan().SequenceEqual(y),
        (long x, double y) => x == y,
        (double x, long y) => x == y,
        _ => Equals(a, b),
    };

    [GeneratedRegex("^[a-z][a-z0-9_]*$", RegexOptions.CultureInvariant)]
    private static partial Regex PlainName();
}
