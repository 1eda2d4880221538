using System.Collections.Concurrent;
using System.Data.Common;
using System.Diagnostics;
using System.Globalization;
using Dapper;
using Npgsql;

namespace Spoolwright.Storage;

/// <content>
/// Whether a transaction was committed whose server was lost in the commit. Its number would not do: after a crash the server may have
/// forgotten it, and given it to another bench's transaction before it is asked. So each transaction leaves a row of its own.
/// </content>
internal sealed partial class PostgresEngine
{
    private const string WriteLock = "pg_advisory_xact_lock(hashtextextended('spoolwright ' || current_schema(), 0))";

    // No bench waits as long as a day for its server; what one that died left behind goes after that.
    private const string Now = "to_char(now() AT TIME ZONE 'UTC', 'YYYY-MM-DD HH24:MI:SS')",
        DayAgo = "to_char((now() - INTERVAL '1 day') AT TIME ZONE 'UTC', 'YYYY-MM-DD HH24:MI:SS')";

    private readonly ConcurrentDictionary<string, bool> heard = new();

    // False until the schema is up to date: a step, and a restored book, are told by their number.
    private volatile bool hasTickets;

    /// <summary>Whether the transaction of a ticket was committed. Waits until it has ended, and for a server that comes back.</summary>
    /// <exception cref="ServiceBookException"><c>unknown</c>: the server stays away.</exception>
    internal bool WasCommitted(WriteTicket ticket, NpgsqlException? loss)
    {
        var waited = Stopwatch.StartNew();
        do
        {
            try
            {
                using NpgsqlConnection connection = source.OpenConnection();
                if ((ticket.Row is { } row ? HasRow(connection, row) : StatusOf(connection, ticket.Number!)) is { } committed)
                    return committed;
            }
            catch (NpgsqlException e) when (IsLoss(e) || e.SqlState == PostgresErrorCodes.LockNotAvailable)
            {
                // Not back yet, or the transaction has not ended yet.
            }

            Thread.Sleep(100);
        } while (waited.Elapsed < Patience);
        throw new ServiceBookException(
            "unknown",
            $"The server of {Book} was lost at the moment of writing, so the entry may or may not be in the book. Look for it before you enter it again.",
            loss
        );
    }

    /// <summary>Leaves the transaction's own row, and takes out those that were heard of.</summary>
    internal WriteTicket PutTicket(DbConnection connection, DbTransaction transaction)
    {
        string row = RowId.New().ToString("N");
        string[] done = [.. heard.Keys];
        connection.Execute(
            $"DELETE FROM write_ticket WHERE id = ANY(@done) OR at < {DayAgo}; INSERT INTO write_ticket (id, at) VALUES (@row, {Now})",
            new { done, row },
            transaction
        );
        return new WriteTicket(null, row, done);
    }

    private void Heard(WriteTicket ticket)
    {
        foreach (string gone in ticket.TakenOut)
            heard.TryRemove(gone, out _);
        if (ticket.Row is { } row)
            heard[row] = true;
    }

    // The lost transaction held the write lock: whoever gets it knows that it has ended.
    private bool? HasRow(NpgsqlConnection connection, string row)
    {
        using NpgsqlTransaction transaction = connection.BeginTransaction();
        long patience = Math.Max(1, (long)Patience.TotalMilliseconds);
        connection.Execute(
            string.Create(CultureInfo.InvariantCulture, $"SET LOCAL lock_timeout = {patience}; SELECT {WriteLock}"),
            transaction: transaction
        );
        return connection.ExecuteScalar<long>("SELECT COUNT(*) FROM write_ticket WHERE id = @row", new { row }, transaction) == 1;
    }

    private static bool? StatusOf(NpgsqlConnection connection, string number)
    {
        try
        {
            return connection.ExecuteScalar<string>("SELECT pg_xact_status(CAST(@number AS xid8))", new { number }) switch
            {
                "committed" => true,
                "aborted" => false,
                _ => null,
            };
        }
        catch (PostgresException e) when (e.SqlState == PostgresErrorCodes.InvalidParameterValue)
        {
            // "In the future": the crash forgot the number, as it can only where nothing of that transaction, its commit least of all,
            // reached the disk.
            return false;
        }
    }
}
