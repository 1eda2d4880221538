using System.Reflection;
using Dapper;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Tests.Storage;

/// <summary>
/// Entries come back as they were written, are corrected and taken back without loss, and no kind of entry lacks its table.
/// </summary>
public abstract class EntryTests(BookKind kind)
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
        using var disk = new BookOnDisk(kind);
        var table = EntryTables.All.Single(t => t.Name == name);
        var columns = disk.Book.ReadTable(name).Columns;
        Assert.NotEmpty(columns);
        Assert.Equal(columns.Order(), table.Columns.Order());
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Entry_WithEveryPropertyFilled_ComesBackAlike_AndCannotBeChangedOrRemoved(string name)
    {
        using var disk = new BookOnDisk(kind);
        var table = EntryTables.All.Single(t => t.Name == name);
        var entry = Sample(table.Type);
        using (var raw = disk.Raw())
        {
            // What it refers to is made up, so the keys rest.
            raw.Execute(kind == BookKind.Sqlite ? "PRAGMA foreign_keys = OFF" : "SET session_replication_role = replica");
            raw.Execute(table.Insert, table.Parameters(entry));
            var back = table.Query(raw, table.All, null, null).Single();
            foreach (var property in table.Type.GetProperties().Where(p => p.SetMethod is not null))
                Assert.Equal(property.GetValue(entry), property.GetValue(back));
        }

        Assert.Contains("append-only", disk.RefusalOf($"UPDATE {name} SET entered = ''"), StringComparison.Ordinal);
        Assert.Contains("append-only", disk.RefusalOf($"DELETE FROM {name}"), StringComparison.Ordinal);
    }

    [Fact]
    public void Correction_KeepsTheOldEntryAndRefusesASecondSuccessor()
    {
        using var disk = new BookOnDisk(kind);
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
        using var disk = new BookOnDisk(kind);
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
        using var disk = new BookOnDisk(kind);
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
        using var disk = new BookOnDisk(kind);
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
    public void Undo_OfWhatWasDoneLast_TakesAnEntryBack_GivesACorrectionUp_AndRestores()
    {
        using var disk = new BookOnDisk(kind);
        string[] Names() => [.. disk.Book.Standing<Accessory>().Select(a => a.Name)];
        var entry = disk.Book.Add(Of(disk, "cover"));
        Assert.Equal(("accessory", entry.Id), (disk.Book.Lately(1)[0].Table, disk.Book.Lately(1)[0].Id));
        disk.Book.Correct(entry.Id, Of(disk, "dust cover"));
        disk.Book.UndoEntry(disk.Book.Lately(1)[0]);
        Assert.Equal(["cover"], Names());
        disk.Book.UndoEntry(disk.Book.Lately(1)[0]);
        Assert.Equal(["dust cover"], Names());
        var taken = disk.Book.Withdraw<Accessory>(disk.Book.Standing<Accessory>()[0].Id, "wrong deck");
        disk.Book.UndoEntry(disk.Book.Lately(1)[0]);
        Assert.Equal(["dust cover"], Names());
        Assert.Equal("refused", Assert.Throws<ServiceBookException>(() =>
            disk.Book.UndoEntry(new LateEntry("accessory", taken.Id, taken.Entered, null))).Code);
        disk.Book.Add(Of(disk, "reels"));
        disk.Book.UndoEntry(disk.Book.Lately(1)[0]);
        Assert.Equal(["dust cover"], Names());
        Assert.Equal(8, disk.Book.Everything<Accessory>().Count);
        Assert.Equal(8, disk.Book.Lately(50).Count);
    }

    [Fact]
    public void Search_FindsWhatStands_AndNotWhatWasCorrectedOrTakenBack()
    {
        using var disk = new BookOnDisk(kind);
        var entry = disk.Book.Add(Of(disk, "cracked cover"));
        var hit = Assert.Single(disk.Book.Search("crack cov"));
        Assert.Equal(("accessory", entry.Root, disk.Job.Id, disk.Deck.Id), (hit.Kind, hit.Id, hit.JobId!.Value, hit.DeckId!.Value));
        var second = disk.Book.Correct(entry.Id, Of(disk, "dust cover"));
        Assert.Empty(disk.Book.Search("cracked"));
        Assert.Equal(entry.Root, Assert.Single(disk.Book.Search("dust")).Id);
        disk.Book.Withdraw<Accessory>(second.Id, "wrong deck");
        Assert.Empty(disk.Book.Search("dust"));
        disk.Book.UndoEntry(disk.Book.Lately(1)[0]);
        Assert.Single(disk.Book.Search("dust"));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Search_OfEveryKind_ReadsItsTable(string name)
    {
        using var disk = new BookOnDisk(kind);
        if (!SearchIndex.HasKind(name))
            return;
        using var raw = disk.Raw();
        using var transaction = raw.BeginTransaction();
        SearchIndex.Put(raw, transaction, name, Guid.NewGuid());
        transaction.Rollback();
    }

    [Fact]
    public void Table_Asked_GivesItsColumnsAndRows()
    {
        using var disk = new BookOnDisk(kind);
        disk.Book.Add(Of(disk, "cover"));
        var table = disk.Book.ReadTable("accessory");
        Assert.Equal("cover", table.Rows[0][table.Columns.ToList().IndexOf("name")]);
        Assert.All(ServiceBook.TableNames, name => Assert.NotEmpty(disk.Book.ReadTable(name).Columns));
        Assert.Throws<ArgumentException>(() => disk.Book.ReadTable("accessory; DROP TABLE job"));
        // Steps, words to search by and summaries are the program's own, and captures are given as the files they are.
        using var raw = disk.Raw();
        Assert.Equal(
            raw.Query<string>(kind == BookKind.Sqlite ? "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite%'"
                : "SELECT table_name FROM information_schema.tables WHERE table_schema = current_schema()")
                .Except(BookTable.Apart).Order(StringComparer.Ordinal),
            ServiceBook.TableNames);
    }

    private static Accessory Of(BookOnDisk disk, string name) => new() { JobId = disk.Job.Id, Name = name };

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

/// <summary>The same in a SQLite file.</summary>
public sealed class SqliteEntryTests() : EntryTests(BookKind.Sqlite);

/// <summary>The same in PostgreSQL.</summary>
public sealed class PostgresEntryTests() : EntryTests(BookKind.Postgres);
