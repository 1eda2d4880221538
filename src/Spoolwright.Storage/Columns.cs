namespace Spoolwright.Storage;

/// <summary>
/// Columns by name with their values: <c>new Columns { ["description"] = text }</c>. Ids, times and flags are written as the book writes
/// them.
/// </summary>
internal sealed class Columns : Dictionary<string, object?>
{
    public Columns()
        : base(StringComparer.Ordinal)
    {
    }

    /// <summary>The key of a row that is known by its id alone.</summary>
    public static Columns Id(Guid id) => new() { ["id"] = id };

    /// <summary>A value as it is handed to the database.</summary>
    /// <exception cref="ArgumentException">A type that the book has no form for.</exception>
    public static object? Stored(string name, object? value) =>
        value switch
        {
            null or DBNull => null,
            string or long or byte[] => value,
            int i => (long)i,
            short s => (long)s,
            // One zero on every engine: SQLite has no other.
            double d => double.IsFinite(d) ? d + 0.0 : throw new ArgumentException($"the column {name} is not finite: {d}", nameof(value)),
            bool flag => flag ? 1L : 0L,
            Guid id => StoredText.Id(id),
            DateTimeOffset time => StoredText.Time(time),
            decimal money => money.ToString(System.Globalization.CultureInfo.InvariantCulture),
            _ => throw new ArgumentException(
                $"the column {name} holds a {value.GetType().Name}, which the book has no form for",
                nameof(value)
            ),
        };
}
