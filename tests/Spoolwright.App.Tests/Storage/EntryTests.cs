using System.Data.Common;
using System.Reflection;
using Dapper;
using Microsoft.Data.Sqlite;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>Entries come back as they were written, are corrected and taken back without loss, and no kind of entry lacks its table.</summary>
public sealed class EntryTests
{
    public static TheoryData<string> Kinds => [.. EntryTables.All.Select(t => t.Name)];

    [Fact]
    public void Entry_EveryKind_HasATable() => Assert.Equal(
        typeof(BookEntry).Assembly.GetTypes().Where(t => t.IsSubclassOf(typeof(BookEntry))).Select(t => t.Name).Order(),
        EntryTables.All.Select(t => t.Type.Name).Order());

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Table_OfAnEntry_HasExactlyItsPropertiesAsColumns(string name)
    {
        using var disk = new BookOnDisk();
        using var raw = Raw(disk);
        var table = EntryTables.All.Single(t => t.Name == name);
        var columns = raw.Query<string>($"SELECT name FROM pragma_table_info('{name}')").ToList();
        Assert.NotEmpty(columns);
        Assert.Equal(columns.Order(), table.Columns.Order());
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Entry_WithEveryPropertyFilled_ComesBackAlike(string name)
    {
        var table = EntryTables.All.Single(t => t.Name == name);
        var entry = Sample(table.Type);
        using var memory = new SqliteConnection("Data Source=:memory:");
        memory.Open();
        foreach (var step in SchemaSteps.For("sqlite"))
            memory.Execute(step.Sql);
        memory.Execute("PRAGMA foreign_keys = OFF");
        memory.Execute(table.Insert, table.Parameters(entry));
        var row = (IDictionary<string, object?>)memory.QuerySingle(table.All);
        var back = table.FromRow(row);
        foreach (var property in table.Type.GetProperties().Where(p => p.SetMethod is not null))
            Assert.Equal(property.GetValue(entry), property.GetValue(back));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Rows_OfAnEntry_CannotBeChangedOrRemoved(string name)
    {
        var table = EntryTables.All.Single(t => t.Name == name);
        using var disk = new BookOnDisk();
        using var raw = Raw(disk);
        raw.Execute("PRAGMA foreign_keys = OFF");
        raw.Execute(table.Insert, table.Parameters(Sample(table.Type)));
        Assert.Contains("append-only", Assert.Throws<SqliteException>(() => raw.Execute($"UPDATE {name} SET entered = ''")).Message, StringComparison.Ordinal);
        Assert.Contains("append-only", Assert.Throws<SqliteException>(() => raw.Execute($"DELETE FROM {name}")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Correction_KeepsTheOldEntryAndRefusesASecondSuccessor()
    {
        using var disk = new BookOnDisk();
        var first = disk.Book.Add(Of(disk, "1"));
        var second = disk.Book.Correct(first.Id, Of(disk, "2"));
        Assert.Equal(["2"], disk.Book.Standing<Accessory>(disk.Job.Id).Select(a => a.Name));
        Assert.Equal(["1", "2"], disk.Book.Everything<Accessory>(disk.Job.Id).Select(a => a.Name));
        Assert.Equal(first.Id, second.Supersedes);
        Assert.Equal((first.Id, first.Id), (first.Root, second.Root));
        Assert.Equal("2", disk.Book.Look(w => w.Current<Accessory>(first.Id)).Name);
        var refused = Assert.Throws<ServiceBookException>(() => disk.Book.Correct(first.Id, Of(disk, "3")));
        Assert.Equal("refused", refused.Code);
        Assert.Equal(2, disk.Book.Everything<Accessory>().Count);
    }

    [Fact]
    public void Entry_TakenBack_IsGoneFromWhatStandsAndCanBeRestored()
    {
        using var disk = new BookOnDisk();
        var entry = disk.Book.Add(Of(disk, "reel adapters"));
        var taken = disk.Book.Withdraw<Accessory>(entry.Id, "belongs to another deck");
        Assert.Empty(disk.Book.Standing<Accessory>(disk.Job.Id));
        Assert.Throws<EntryException>(() => disk.Book.Withdraw<Accessory>(taken.Id, "again"));
        disk.Book.Work(w => w.Restore<Accessory>(taken.Id));
        Assert.Equal("reel adapters", Assert.Single(disk.Book.Standing<Accessory>(disk.Job.Id)).Name);
        Assert.Equal(3, disk.Book.Everything<Accessory>().Count);
    }

    [Fact]
    public void Work_ThatFailsHalfWay_LeavesNothing()
    {
        using var disk = new BookOnDisk();
        Assert.Throws<EntryException>(() => disk.Book.Work(w =>
        {
            w.Add(Of(disk, "cover"));
            return w.Add(Of(disk, " "));
        }));
        Assert.Empty(disk.Book.Everything<Accessory>());
    }

    [Fact]
    public void Correction_ByTwoThreadsAtOnce_SucceedsOnce()
    {
        using var disk = new BookOnDisk();
        var entry = disk.Book.Add(Of(disk, "start"));
        var results = Enumerable.Range(0, 8).AsParallel().WithDegreeOfParallelism(8).Select(i =>
        {
            try
            {
                disk.Book.Correct(entry.Id, Of(disk, $"bench {i}"));
                return 1;
            }
            catch (ServiceBookException e) when (e.Code == "refused")
            {
                return 0;
            }
        }).ToArray();
        Assert.Equal(1, results.Sum());
        Assert.Single(disk.Book.Standing<Accessory>());
    }

    [Fact]
    public void Table_Asked_GivesItsColumnsAndRows()
    {
        using var disk = new BookOnDisk();
        disk.Book.Add(Of(disk, "cover"));
        var table = disk.Book.ReadTable("accessory");
        Assert.Equal("cover", table.Rows[0][table.Columns.ToList().IndexOf("name")]);
        Assert.All(ServiceBook.TableNames, name => Assert.NotEmpty(disk.Book.ReadTable(name).Columns));
        Assert.Throws<ArgumentException>(() => disk.Book.ReadTable("accessory; DROP TABLE job"));
        using var raw = Raw(disk);
        Assert.Equal(raw.Query<string>("SELECT name FROM sqlite_master WHERE type = 'table' AND name <> 'schema_step' AND name NOT LIKE 'sqlite%' ORDER BY name"),
            ServiceBook.TableNames);
    }

    private static Accessory Of(BookOnDisk disk, string name) => new() { JobId = disk.Job.Id, Name = name };

    private static SqliteConnection Raw(BookOnDisk disk)
    {
        var raw = new SqliteConnection($"Data Source={disk.Path};Pooling=False");
        raw.Open();
        return raw;
    }

    // Every property another value than its default, so that one that is not kept shows.
    private static BookEntry Sample(Type type)
    {
        var entry = (BookEntry)System.Runtime.CompilerServices.RuntimeHelpers.GetUninitializedObject(type);
        int n = 0;
        foreach (PropertyInfo property in type.GetProperties().Where(p => p.SetMethod is not null))
            property.SetValue(entry, Value(Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType, ++n));
        return entry;
    }

    private static object Value(Type type, int n) => type == typeof(string) ? $"text µ {n}"
        : type == typeof(Guid) ? Guid.CreateVersion7()
        : type == typeof(DateTimeOffset) ? new DateTimeOffset(2026, 3, 29, 1, 30, n, TimeSpan.Zero).AddTicks(1234567)
        : type == typeof(DateOnly) ? new DateOnly(2026, 2, n)
        : type == typeof(decimal) ? 1234.5678m + n
        : type == typeof(Money) ? new Money(99.95m + n, "EUR")
        : type == typeof(bool) ? true
        : type == typeof(int) ? 40 + n
        : type == typeof(double) ? 0.1 + n
        : type == typeof(IReadOnlyList<string>) ? new[] { "a", $"b{n}" }
        : type.IsEnum ? Enum.GetValues(type).GetValue(1)!
        : throw new InvalidOperationException(type.Name);
}
