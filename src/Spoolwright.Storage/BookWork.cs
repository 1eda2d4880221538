using System.Data.Common;
using System.Globalization;
using Dapper;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.Storage;

/// <summary>
/// Entries of the book within one transaction: what a rule looks at is what it decides on, and all that is written stands or falls
/// together.
/// </summary>
public sealed class BookWork
{
    private readonly DbConnection connection;
    private readonly DbTransaction transaction;
    private readonly TimeProvider clock;
    private readonly string book;
    private readonly DateTimeOffset entered;
    private readonly HashSet<Guid> timed = []; // jobs whose tasks are summed up anew before the commit

    /// <param name="connection">Open.</param>
    /// <param name="transaction">The one transaction.</param>
    /// <param name="clock">Gives the time.</param>
    /// <param name="book">The book, as messages call it.</param>
    /// <param name="entered">When all of it is written down: what has one time was written as one, and is undone as one.</param>
    internal BookWork(DbConnection connection, DbTransaction transaction, TimeProvider clock, string book, DateTimeOffset entered) =>
        (this.connection, this.transaction, this.clock, this.book, this.entered) = (connection, transaction, clock, book, entered);

    /// <summary>The time by the book's clock.</summary>
    public DateTimeOffset Now => clock.GetUtcNow();

    /// <summary>Writes an entry down.</summary>
    /// <exception cref="EntryException">It makes no sense.</exception>
    public T Add<T>(T entry)
        where T : BookEntry => Insert(entry with { Supersedes = null, Withdrawn = null }, null);

    private T Insert<T>(T entry, Guid? root)
        where T : BookEntry => Insert(EntryTables.Of<T>(), entry, root);

    private T Insert<T>(EntryTable table, T entry, Guid? root)
        where T : BookEntry
    {
        ArgumentNullException.ThrowIfNull(entry);
        var id = RowId.New();
        var whole = entry with { Id = id, Root = root ?? id, Entered = entered };
        whole.Check();
        connection.Execute(table.Insert, table.Parameters(whole), transaction);
        if (SearchIndex.HasKind(table.Name))
            SearchIndex.Put(connection, transaction, table.Name, whole.Root);
        if (Summaries.CountsTasks(table))
            timed.Add(JobOf(whole));
        return whole;
    }

    /// <summary>Sums up what was written, before the commit.</summary>
    internal void Finish()
    {
        foreach (Guid job in timed)
            Summaries.PutTasks(connection, transaction, StoredText.Id(job), this);
        timed.Clear();
    }

    /// <summary>Puts an entry in the place of an earlier one, which stays in the book.</summary>
    /// <exception cref="ServiceBookException"><c>refused</c>: another has taken its place already, or there is none.</exception>
    public T Correct<T>(Guid old, T entry)
        where T : BookEntry
    {
        var before = Latest<T>(old);
        return Insert(entry with { Supersedes = old, Withdrawn = null }, before.Root);
    }

    /// <summary>Takes an entry back, with the reason; it stays in the book.</summary>
    public T Withdraw<T>(Guid id, string why)
        where T : BookEntry
    {
        if (string.IsNullOrWhiteSpace(why))
            throw new EntryException("say why it is taken back");
        var old = Latest<T>(id);
        return old.Withdrawn is null ? Insert(old with { Supersedes = id, Withdrawn = why }, old.Root)
            : throw new EntryException("it was taken back already");
    }

    /// <summary>Lets an entry stand again that was taken back; the key is that of the entry that took it back.</summary>
    public T Restore<T>(Guid id)
        where T : BookEntry
    {
        var old = Latest<T>(id);
        return old.Withdrawn is not null ? Insert(old with { Supersedes = id, Withdrawn = null }, old.Root)
            : throw new EntryException("it stands; there is nothing to restore");
    }

    /// <summary>Undoes an entry by a new one that stands as things stood before it.</summary>
    internal BookEntry Undo(EntryTable table, Guid id)
    {
        var entry = Latest(table, id);
        var before = entry.Supersedes is { } old ? Get(table, old) : null;
        return Insert(table, (before ?? entry) with { Supersedes = id, Withdrawn = before is null ? "undone" : before.Withdrawn },
            entry.Root);
    }

    /// <summary>Entries that stand, oldest first.</summary>
    /// <param name="of">The job, deck, lot or instrument they belong to; null: all.</param>
    public IReadOnlyList<T> Standing<T>(Guid? of = null)
        where T : BookEntry => Read<T>(EntryTables.Of<T>().Standing, of);

    /// <summary>Entries that stand and say one of these of a property, oldest first.</summary>
    /// <param name="property">The property's name, such as <c>nameof(SupplyUse.JobId)</c>.</param>
    /// <param name="values">Ids or texts.</param>
    public IReadOnlyList<T> Standing<T>(string property, params IEnumerable<object> values)
        where T : BookEntry
    {
        var table = EntryTables.Of<T>();
        var found = new List<T>();
        foreach (var (some, said) in SqlList.Of(values.Select(EntryTable.Said)))
            found.AddRange(Read<T>($"{table.Standing} AND e.{table.ColumnOf(property)} IN {some}", said));

        return found;
    }

    /// <summary>The entries that stand, by a property from its greatest: no more than are wanted.</summary>
    public IReadOnlyList<T> Newest<T>(string property, int most)
        where T : BookEntry
    {
        var table = EntryTables.Of<T>();
        return
        [
            .. table
                .Query(
                    connection,
                    $"{table.Standing} ORDER BY e.{table.ColumnOf(property)} DESC, e.entered DESC, e.id DESC LIMIT @most",
                    new { most },
                    transaction
                )
                .Cast<T>(),
        ];
    }

    /// <summary>How many entries stand.</summary>
    public int Count<T>()
        where T : BookEntry => connection.ExecuteScalar<int>(EntryTables.Of<T>().StandingCount, transaction: transaction);

    /// <summary>How much of each lot was used, by its root. Quantities are text in the book, so alike ones are counted and not added by the
    /// engine.</summary>
    public IReadOnlyDictionary<Guid, decimal> LotsUsed() =>
        connection
            .Query<(string Lot, string Quantity, long Times)>(
                """
                SELECT e.lot_id, e.quantity, COUNT(*) FROM supply_use e
                WHERE NOT EXISTS (SELECT 1 FROM supply_use s WHERE s.supersedes = e.id) AND e.withdrawn IS NULL GROUP BY e.lot_id, e.quantity
                """,
                transaction: transaction
            )
            .GroupBy(r => r.Lot, StringComparer.Ordinal)
            .ToDictionary(
                g => StoredText.Id(g.Key),
                g => g.Sum(r => decimal.Parse(r.Quantity, NumberStyles.Float, CultureInfo.InvariantCulture) * r.Times)
            );

    /// <summary>Every entry, those that were corrected or taken back among them, oldest first.</summary>
    public IReadOnlyList<T> Everything<T>(Guid? of = null)
        where T : BookEntry => Read<T>(EntryTables.Of<T>().All, of);

    /// <summary>The entry that stands in the line that began with that one.</summary>
    /// <exception cref="ServiceBookException"><c>not-found</c>: none stands.</exception>
    public T Current<T>(Guid root)
        where T : BookEntry
    {
        var table = EntryTables.Of<T>();
        return
            table.Query(connection, table.Standing + " AND e.root = @root", new { root = StoredText.Id(root) }, transaction)
                is [var row, ..]
            ? (T)row
            : throw new ServiceBookException("not-found", $"There is no {Plain(table)} {root} that stands in {book}.");
    }

    /// <summary>The entry of that key, whether it stands or not.</summary>
    /// <exception cref="ServiceBookException"><c>not-found</c>.</exception>
    public T Get<T>(Guid id)
        where T : BookEntry => (T)Get(EntryTables.Of<T>(), id);

    private BookEntry Get(EntryTable table, Guid id)
    {
        return table.Query(connection, table.All + " AND e.id = @id", new { id = StoredText.Id(id) }, transaction) is [var row, ..] ? row
            : throw new ServiceBookException("not-found", $"There is no {Plain(table)} {id} in {book}.");
    }

    private T Latest<T>(Guid id)
        where T : BookEntry => (T)Latest(EntryTables.Of<T>(), id);

    private BookEntry Latest(EntryTable table, Guid id)
    {
        var entry = Get(table, id);
        if (connection.ExecuteScalar<long>($"SELECT COUNT(*) FROM {table.Name} WHERE supersedes = @id", new { id = StoredText.Id(id) },
            transaction) > 0)
            throw new ServiceBookException("refused",
                $"The {Plain(table)} was corrected or taken back already; look at the book again. Nothing was written.");
        return entry;
    }

    private IReadOnlyList<T> Read<T>(string sql, Guid? of)
        where T : BookEntry
    {
        var table = EntryTables.Of<T>();
        if (of is not null)
            sql += $" AND e.{table.Owner ?? throw new InvalidOperationException($"{table.Name} belongs to nothing")} = @of";
        return Read<T>(sql, new { of = StoredText.Id(of) });
    }

    private IReadOnlyList<T> Read<T>(string sql, object values)
        where T : BookEntry
    {
        var table = EntryTables.Of<T>();
        return [.. table.Query(connection, sql + EntryTable.Order, values, transaction).Cast<T>()];
    }

    private static Guid JobOf(BookEntry entry) => entry switch
    {
        JobTask task => task.JobId,
        TaskMark mark => mark.JobId,
        ClockEntry sitting => sitting.JobId,
        _ => throw new InvalidOperationException($"{entry.GetType().Name} is no entry of a job's tasks"),
    };

    private static string Plain(EntryTable table) => TableWords.Of(table.Name);
}
