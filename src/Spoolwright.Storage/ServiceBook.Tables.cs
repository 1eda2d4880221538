using Dapper;

namespace Spoolwright.Storage;

/// <summary>A table out of the book as it stands there: column names, and rows of text, numbers or nothing.</summary>
public sealed record PlainTable(string Name, IReadOnlyList<string> Columns, IReadOnlyList<IReadOnlyList<object?>> Rows);

/// <content>Every table as rows, for CSV and JSON.</content>
public sealed partial class ServiceBook
{
    private static readonly string[] MeasuredTables =
        ["deck", "job", "instrument", "capture", "measurement", "measurement_instrument", "reading", "note", "trace", "unmeasured", "act",
        "act_change", "setting"];

    /// <summary>Names of the tables that can be read whole.</summary>
    public static IReadOnlyList<string> TableNames { get; } =
        [.. MeasuredTables.Concat(EntryTables.All.Select(t => t.Name)).Append("photo_image").Order(StringComparer.Ordinal)];

    /// <summary>A table whole, pictures and curves as their length in bytes.</summary>
    /// <exception cref="ArgumentException">No such table.</exception>
    public PlainTable ReadTable(string name)
    {
        if (!TableNames.Contains(name, StringComparer.Ordinal))
            throw new ArgumentException($"the book has no table {name}; it has {string.Join(", ", TableNames)}", nameof(name));
        return With(c =>
        {
            // The name is one of the list above, so it may stand in the text.
            using var reader = c.ExecuteReader($"SELECT * FROM {name} ORDER BY 1, 2");
            string[] columns = [.. Enumerable.Range(0, reader.FieldCount).Select(reader.GetName)];
            var rows = new List<IReadOnlyList<object?>>();
            while (reader.Read())
                rows.Add([.. Enumerable.Range(0, columns.Length)
                    .Select(i => reader.IsDBNull(i) ? null : reader.GetValue(i) is byte[] b ? (object)b.LongLength : reader.GetValue(i))]);
            return new PlainTable(name, columns, rows);
        });
    }
}
