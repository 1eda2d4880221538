using System.Collections.Concurrent;
using System.Data.Common;
using System.Globalization;
using System.Reflection;
using System.Text.Json;
using Dapper;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.Storage;

/// <summary>
/// The table of one kind of entry: its columns are the type's properties in snake case, so that type and table cannot drift apart unseen.
/// </summary>
internal sealed class EntryTable
{
    private static readonly ConcurrentDictionary<Type, Dictionary<string, object>> Words = new();

    private readonly PropertyInfo[] properties;
    private readonly string select;

    /// <param name="type">The entry's type.</param>
    /// <param name="name">The table.</param>
    /// <param name="owner">The column that entries are mostly asked by; null: none.</param>
    public EntryTable(Type type, string name, string? owner)
    {
        (Type, Name, Owner) = (type, name, owner);
        properties = [.. type.GetProperties().Where(p => p.SetMethod is not null).OrderBy(p => p.DeclaringType == type)
            .ThenBy(p => p.MetadataToken)];
        Columns = [.. properties.Select(p => Snake(p.Name))];
        select = $"SELECT {string.Join(", ", Columns.Select(c => "e." + c))} FROM {name} e";
        Insert = $"INSERT INTO {name} ({string.Join(", ", Columns)}) VALUES ({string.Join(", ", Columns.Select(c => "@" + c))})";
    }

    public Type Type { get; }

    public string Name { get; }

    public string? Owner { get; }

    public IReadOnlyList<string> Columns { get; }

    public string Insert { get; }

    /// <summary>Entries that stand: no later one names them, and they were not taken back.</summary>
    public string Standing => select + $" WHERE NOT EXISTS (SELECT 1 FROM {Name} s WHERE s.supersedes = e.id) AND e.withdrawn IS NULL";

    public string StandingCount =>
        $"SELECT COUNT(*) FROM {Name} e WHERE NOT EXISTS (SELECT 1 FROM {Name} s WHERE s.supersedes = e.id) AND e.withdrawn IS NULL";

    public string All => select + " WHERE 1 = 1";

    public static string Order => " ORDER BY e.entered, e.id";

    /// <summary>The column of a property.</summary>
    public string ColumnOf(string property) => Array.FindIndex(properties, p => p.Name == property) is >= 0 and var at ? Columns[at]
        : throw new ArgumentException($"{Type.Name} has no {property}", nameof(property));

    /// <summary>A value as the book keeps it.</summary>
    public static object? Said(object value) => Stored(value);

    /// <summary>The entry as parameters of <see cref="Insert"/>.</summary>
    public DynamicParameters Parameters(BookEntry entry)
    {
        var values = new DynamicParameters();
        for (int i = 0; i < properties.Length; i++)
            values.Add(Columns[i], Stored(properties[i].GetValue(entry)));
        return values;
    }

    /// <summary>The entries of a query that begins as <see cref="All"/> does: its columns stand in the order of the properties.</summary>
    public IReadOnlyList<BookEntry> Query(DbConnection connection, string sql, object? values, DbTransaction? transaction)
    {
        using DbDataReader row = (DbDataReader)connection.ExecuteReader(sql, values, transaction);
        var found = new List<BookEntry>();
        while (row.Read())
            found.Add(FromRow(row));
        return found;
    }

    private BookEntry FromRow(DbDataReader row)
    {
        var entry = (BookEntry)System.Runtime.CompilerServices.RuntimeHelpers.GetUninitializedObject(Type);
        for (int i = 0; i < properties.Length; i++)
        {
            try
            {
                if (!row.IsDBNull(i))
                    properties[i].SetValue(entry, Read(row.GetValue(i), properties[i].PropertyType));
            }
            catch (Exception e) when (e is FormatException or EntryException or JsonException or InvalidCastException or OverflowException)
            {
                throw new ServiceBookException("damaged",
                    $"The service book holds something in {Name}.{Columns[i]} that this program does not know: {row.GetValue(i)}.", e);
            }
        }

        return entry;
    }

    /// <summary>Such as <c>minutes_foreseen</c> of <c>MinutesForeseen</c>.</summary>
    public static string Snake(string name) => KebabWord.Of(name).Replace('-', '_');

    private static object? Stored(object? value) => value switch
    {
        null => null,
        Guid id => StoredText.Id(id),
        DateTimeOffset time => StoredText.Time(time),
        DateOnly day => day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
        decimal number => number.ToString(CultureInfo.InvariantCulture),
        Money money => money.ToString(),
        bool truth => truth ? 1 : 0,
        Enum word => KebabWord.Of(word.ToString()),
        IReadOnlyList<string> list => JsonSerializer.Serialize(list),
        double number when !double.IsFinite(number) =>
            throw new ArgumentException($"{number} is not finite; the book holds no such number", nameof(value)),
        string or int or long or double => value,
        _ => throw new InvalidOperationException($"the book has no form for {value.GetType().Name}"),
    };

    private static object? Read(object value, Type type)
    {
        type = Nullable.GetUnderlyingType(type) ?? type;
        if (type == typeof(string))
            return (string)value;
        if (type == typeof(Guid))
            return StoredText.Id((string)value);
        if (type == typeof(DateTimeOffset))
            return StoredText.Time((string)value);
        if (type == typeof(DateOnly))
            return DateOnly.ParseExact((string)value, "yyyy-MM-dd", CultureInfo.InvariantCulture);
        if (type == typeof(decimal))
            return decimal.Parse((string)value, NumberStyles.Float, CultureInfo.InvariantCulture);
        if (type == typeof(Money))
            return Money.Read((string)value);
        if (type == typeof(bool))
            return Convert.ToInt64(value, CultureInfo.InvariantCulture) != 0;
        if (type == typeof(int))
            return Convert.ToInt32(value, CultureInfo.InvariantCulture);
        if (type == typeof(double))
            return Convert.ToDouble(value, CultureInfo.InvariantCulture);
        if (type == typeof(IReadOnlyList<string>))
            return (string)value == "[]" ? Array.Empty<string>() : JsonSerializer.Deserialize<string[]>((string)value);
        if (type.IsEnum)
            return WordsOf(type).TryGetValue((string)value, out object? word) ? word : throw new FormatException("no such word");
        throw new InvalidOperationException($"the book has no form for {type.Name}");
    }

    // A board is read at every stroke of the clock, so the words are looked up and not spelled out each time.
    private static Dictionary<string, object> WordsOf(Type type) => Words.GetOrAdd(type,
        static t => Enum.GetValues(t).Cast<object>().ToDictionary(v => KebabWord.Of(v.ToString()!), StringComparer.Ordinal));
}
