using System.Globalization;

namespace Spoolwright.Storage;

/// <summary>What a column holds, the same word on every engine.</summary>
internal enum ColumnKind
{
    /// <summary>Text, times and ids among it.</summary>
    Text,

    /// <summary>A whole number, flags among it.</summary>
    Whole,

    /// <summary>A binary64 figure.</summary>
    Real,

    /// <summary>Bytes.</summary>
    Bytes,
}

/// <summary>A column with its kind.</summary>
internal sealed record BookColumn(string Name, ColumnKind Kind)
{
    /// <summary>A value as the database gave it, in the one form of its kind.</summary>
    public object? Plain(object value) => value is DBNull ? null : Kind switch
    {
        ColumnKind.Whole => Convert.ToInt64(value, CultureInfo.InvariantCulture),
        ColumnKind.Real => Convert.ToDouble(value, CultureInfo.InvariantCulture),
        ColumnKind.Bytes => (byte[])value,
        _ => (string)value,
    };
}

/// <summary>A table of the book.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Columns">Its columns, in their order.</param>
/// <param name="Key">Names of its primary key's columns: the order in which its rows are told.</param>
internal sealed record BookTable(string Name, IReadOnlyList<BookColumn> Columns, IReadOnlyList<string> Key)
{
    /// <summary>
    /// Tables that are no part of what people entered: which schema steps there were stands elsewhere in a copy, captures go as files,
    /// the words to search by and the summaries are made again, and tickets are between a bench and its server.
    /// </summary>
    public static readonly IReadOnlySet<string> Apart = new HashSet<string>(StringComparer.Ordinal)
    {
        "schema_step", "capture_part", "search_entry", "search_word", "leaning", "job_digest", "cause_lesson", "write_ticket",
    };

    public string Select => $"SELECT {string.Join(", ", Columns.Select(c => c.Name))} FROM {Name} ORDER BY {string.Join(", ", Key)}";
}

/// <summary>A table on its way into a book, its rows in the order of the columns named.</summary>
internal sealed record TableRows(string Name, IReadOnlyList<BookColumn> Columns, IEnumerable<object?[]> Rows);
