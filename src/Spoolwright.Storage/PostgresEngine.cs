using System.Data;
using System.Data.Common;
using System.Globalization;
using Dapper;
using Npgsql;

namespace Spoolwright.Storage;

/// <summary>
/// A PostgreSQL database, for a shop with several benches: one book in a schema of its own. Writers take turns, as they do in a SQLite
/// file, so that
/// nothing that the program knows of one engine is untrue of the other.
/// </summary>
internal sealed partial class PostgresEngine : BookEngine
{
    private const int OldestVersion = 13; // the first that tells by pg_xact_status what became of a transaction by its 64-bit number

    // Seconds. A large book's keys are checked in one call when it is restored; the driver's own half minute cut that off.
    private const int DriversTimeout = 30, LongestCall = 600;

    private readonly NpgsqlDataSource source;

    public PostgresEngine(string where, TimeSpan patience)
        : base(patience)
    {
        NpgsqlConnectionStringBuilder settings = PostgresAddress.Parse(where);
        Book = PostgresAddress.Shown(settings);
        settings.ApplicationName ??= "spoolwright";
        settings.TcpKeepAlive = true;
        if (settings.CommandTimeout == DriversTimeout)
            settings.CommandTimeout = LongestCall;
        settings.IncludeErrorDetail = false;
        settings.PersistSecurityInfo = false;
        source = NpgsqlDataSource.Create(settings);
    }

    public override string Dialect => "postgres";

    public override string Book { get; }

    public override string? OwnCapturesFolder => null;

    public override void Prepare(bool mayMake, DateTimeOffset now)
    {
        IReadOnlyList<SchemaStep> steps = SchemaSteps.For(Dialect);
        bool upToDate = Read(connection =>
        {
            if (((NpgsqlConnection)connection).PostgreSqlVersion.Major < OldestVersion)
                throw new ServiceBookException("cannot-open", $"{Book} runs on a PostgreSQL older than {OldestVersion}; use a newer one.");
            string encoding = connection.ExecuteScalar<string>("SHOW server_encoding")!;
            if (encoding is not ("UTF8" or "SQL_ASCII"))
            {
                throw new ServiceBookException("cannot-open",
                    $"The database {Book} keeps its text as {encoding} and cannot hold every letter; make it with UTF8.");
            }

            if (connection.ExecuteScalar<string>("SELECT current_schema()") is null)
                throw new ServiceBookException(
                    "not-found",
                    $"The schema that {Book} names is not there; make it, or leave search_path out."
                );
            if (!HasBook(connection, null))
            {
                if (!mayMake)
                    throw new ServiceBookException(
                        "not-found",
                        $"There is no service book in {Book}; check the name, or make one by filing a measurement."
                    );
                return false;
            }

            return SchemaSteps.Had(connection, null).SetEquals(steps.Select(s => s.Number));
        });
        if (!upToDate)
        {
            Write((connection, transaction) =>
            {
                HasBook(connection, transaction);
                SchemaSteps.Apply(connection, transaction, steps, Book, now);
            });
        }

        hasTickets = true;
    }

    public override DbTransaction BeginReading(DbConnection connection) => connection.BeginTransaction(IsolationLevel.RepeatableRead);

    public override void Dispose() => source.Dispose();

    protected override DbConnection Connect() => source.OpenConnection();

    /// <summary>
    /// Read committed, with the lock taken first: what is read after it is what the last writer left, and stays so until the commit.
    /// The commit waits for the disk, whatever the server's setting.
    /// </summary>
    protected override DbTransaction BeginWriting(DbConnection connection, out WriteTicket? ticket)
    {
        DbTransaction transaction = connection.BeginTransaction(IsolationLevel.ReadCommitted);
        long patience = Math.Max(1, (long)Patience.TotalMilliseconds);
        connection.Execute(
            string.Create(CultureInfo.InvariantCulture, $"SET LOCAL synchronous_commit = on; SET LOCAL lock_timeout = {patience}"),
            transaction: transaction
        );
        string number = connection.QuerySingle<string>($"SELECT pg_current_xact_id()::text, {WriteLock}::text", transaction: transaction);
        ticket = hasTickets ? PutTicket(connection, transaction) : new WriteTicket(number, null, []);
        return transaction;
    }

    protected override void Commit(DbTransaction transaction, WriteTicket? ticket)
    {
        try
        {
            transaction.Commit();
        }
        catch (NpgsqlException e) when (IsLoss(e))
        {
            // Lost between asking and hearing: only the server knows.
            if (!WasCommitted(ticket!, e))
                throw;
        }

        Heard(ticket!);
    }

    protected override ServiceBookException Said(DbException e) => PostgresComplaint.Said((NpgsqlException)e, Book);

    protected override bool IsLoss(DbException e) => PostgresComplaint.IsLoss((NpgsqlException)e);

    private bool HasBook(DbConnection connection, DbTransaction? transaction)
    {
        var tables = connection.Query<string>(
            """
            SELECT c.relname FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
            WHERE n.nspname = current_schema() AND c.relkind IN ('r', 'p', 'v', 'm', 'f')
            """,
            transaction: transaction).ToList();
        if (tables.Contains("schema_step"))
            return true;
        return tables.Count == 0
            ? false
            : throw new ServiceBookException(
                "not-a-book",
                $"{Book} holds tables, but no service book; name an empty database, or a schema by search_path."
            );
    }
}
