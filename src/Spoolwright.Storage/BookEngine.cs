using System.Data.Common;
using System.Diagnostics;

namespace Spoolwright.Storage;

/// <summary>
/// The database that a book lies in: how it is reached, made, written to without losing anything, and what its complaints mean.
/// </summary>
internal abstract class BookEngine : IDisposable
{
    private static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(1);

    private volatile bool reached;

    protected BookEngine(TimeSpan patience) => Patience = patience;

    /// <summary>How its own schema steps are named: <c>sqlite</c> or <c>postgres</c>.</summary>
    public abstract string Dialect { get; }

    /// <summary>The book as messages call it; never with a password.</summary>
    public abstract string Book { get; }

    /// <summary>Where captures lie when the book does not say otherwise: a folder, or null for the database itself.</summary>
    public abstract string? OwnCapturesFolder { get; }

    /// <summary>How long to wait for others, or for a server that comes back.</summary>
    public TimeSpan Patience { get; }

    /// <summary>Makes the book where there is none, and brings its schema up to date.</summary>
    /// <param name="mayMake">False: say so where there is no book yet.</param>
    /// <param name="now">When it is done.</param>
    /// <exception cref="ServiceBookException">It cannot be opened, or is no book, or a newer one.</exception>
    public abstract void Prepare(bool mayMake, DateTimeOffset now);

    /// <summary>Begins to read one moment of the book, without keeping others from writing.</summary>
    public abstract DbTransaction BeginReading(DbConnection connection);

    /// <summary>Runs work that only reads; it runs again where the server was lost.</summary>
    /// <exception cref="ServiceBookException">Said in one line.</exception>
    public T Read<T>(Func<DbConnection, T> work) => Patiently(work);

    /// <summary>
    /// Runs one transaction that sees what all others have written, and holds off other writers until it is done. It has reached the
    /// disk when this returns.
    /// Where the server was lost before the commit the work runs again from its beginning; where it was lost during the commit the
    /// server is asked what became of it.
    /// </summary>
    /// <exception cref="ServiceBookException">Said in one line.</exception>
    public void Write(Action<DbConnection, DbTransaction> work) => Patiently(connection =>
    {
        using DbTransaction transaction = BeginWriting(connection, out WriteTicket? ticket);
        work(connection, transaction);
        Commit(transaction, ticket);
        return 0;
    });

    /// <summary>The book's tables with their columns, those that are no part of the copy among them.</summary>
    public abstract IReadOnlyList<BookTable> Tables(DbConnection connection, DbTransaction? transaction);

    /// <summary>Makes a book of rows: all of them in one transaction, then the schema steps that they have not had.</summary>
    /// <param name="had">Schema steps that the rows have had.</param>
    /// <param name="tables">The rows, in any order; each table is read once, before the next.</param>
    /// <param name="now">When it is done.</param>
    /// <exception cref="ServiceBookException">There is a book already, or the rows name others that are not among them.</exception>
    public abstract void Fill(IReadOnlySet<int> had, IEnumerable<TableRows> tables, DateTimeOffset now);

    /// <summary>
    /// What is wrong with the tables, in plain sentences: rows that name what is not there, damage, a schema that is not the program's.
    /// </summary>
    public abstract IReadOnlyList<string> Faults();

    public abstract void Dispose();

    /// <summary>The steps that rows have had, as this program knows them.</summary>
    protected IReadOnlyList<SchemaStep> Steps(IReadOnlySet<int> had)
    {
        IReadOnlyList<SchemaStep> all = SchemaSteps.For(Dialect);
        return had.Except(all.Select(s => s.Number)).Order().FirstOrDefault() is > 0 and var unknown
            ? throw new ServiceBookException(
                "newer-book",
                $"The copy was written by a newer program (this one does not know schema step {unknown}); use that program."
            )
            : [.. all.Where(s => had.Contains(s.Number))];
    }

    protected BookTable Known(IReadOnlyList<BookTable> tables, TableRows rows)
    {
        BookTable? table = tables.FirstOrDefault(t => t.Name == rows.Name);
        return table is not null && rows.Columns.All(c => table.Columns.Contains(c))
            ? table
            : throw new ServiceBookException(
                "damaged",
                $"The copy has a table {rows.Name} that its schema does not know so; take another copy."
            );
    }

    /// <summary>A connection that is open and set up.</summary>
    protected abstract DbConnection Connect();

    /// <summary>Begins a transaction that holds the write lock from its first moment.</summary>
    /// <param name="connection">Open.</param>
    /// <param name="ticket">What the engine needs to ask later whether it was committed; null: it never needs to.</param>
    protected abstract DbTransaction BeginWriting(DbConnection connection, out WriteTicket? ticket);

    protected virtual void Commit(DbTransaction transaction, WriteTicket? ticket) => transaction.Commit();

    /// <summary>The engine's complaint in words a restorer can act on.</summary>
    protected abstract ServiceBookException Said(DbException e);

    /// <summary>Whether the complaint is that the server was lost, with nothing written.</summary>
    protected virtual bool IsLoss(DbException e) => false;

    private T Patiently<T>(Func<DbConnection, T> work)
    {
        var waited = Stopwatch.StartNew();
        for (TimeSpan pause = TimeSpan.FromMilliseconds(50); ; pause = pause < LongestPause ? pause * 2 : LongestPause)
        {
            try
            {
                using DbConnection connection = Connect();
                reached = true;
                return work(connection);
            }
            // A server that never answered is more likely misspelt than away: that is said at once.
            catch (DbException e) when (reached && IsLoss(e) && waited.Elapsed + pause < Patience)
            {
                Thread.Sleep(pause);
            }
            catch (DbException e)
            {
                throw Said(e);
            }
        }
    }
}
