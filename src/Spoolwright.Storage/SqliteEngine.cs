using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;

namespace Spoolwright.Storage;

/// <summary>One SQLite file: write-ahead log, foreign keys on, every commit on the disk before it is acknowledged.</summary>
internal sealed partial class SqliteEngine : BookEngine
{
    private const string PassingEnd = ".new";

    private string settings;

    public SqliteEngine(string path, TimeSpan patience)
        : base(patience)
    {
        Book = Path.GetFullPath(path);
        settings = new SqliteConnectionStringBuilder
        {
            DataSource = Book,
            ForeignKeys = true,
            DefaultTimeout = (int)Math.Ceiling(patience.TotalSeconds),
        }.ConnectionString;
    }

    public override string Dialect => "sqlite";

    public override string Book { get; }

    public override string OwnCapturesFolder => Path.Combine(Path.GetDirectoryName(Book)!, "captures");

    public override void Prepare(bool mayMake, DateTimeOffset now)
    {
        if (!mayMake && !File.Exists(Book))
        {
            throw new ServiceBookException("not-found",
                $"There is no service book {Book}; check the name, or make one by filing a measurement.");
        }

        string folder = Path.GetDirectoryName(Book)!;
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw ServiceBookException.From(e, $"the folder {folder}");
        }

        if (!File.Exists(Book))
            Make(folder, now);
        // SQLite takes an empty file for an empty database. Here a book bears its name only once it is whole, so a file of 0 bytes is none,
        // or one that was lost.
        if (new FileInfo(Book).Length == 0)
        {
            throw new ServiceBookException(
                "not-a-book",
                $"{Book} is empty (0 bytes) and no service book; check the name, bring the book back from a backup, or delete the file to begin a new book there."
            );
        }

        try
        {
            Check(now);
        }
        catch (ServiceBookException e) when (e.Code is "read-only" or "cannot-open")
        {
            ReadAlone();
            Check(now);
        }
    }

    private void Check(DateTimeOffset now) =>
        Read(connection =>
        {
            long tables = connection.ExecuteScalar<long>("SELECT COUNT(*) FROM sqlite_master");
            if (tables > 0 && connection.ExecuteScalar<long>("SELECT COUNT(*) FROM sqlite_master WHERE name = 'schema_step'") == 0)
                throw new ServiceBookException("not-a-book", $"{Book} is a database, but not a service book; name another file.");
            IReadOnlyList<SchemaStep> steps = SchemaSteps.For(Dialect);
            if (tables > 0 && SchemaSteps.Had(connection, null).SetEquals(steps.Select(s => s.Number)))
                return 0; // nothing to write, so no need to wait for another bench that is writing
            try
            {
                if (connection.ExecuteScalar<string>("PRAGMA journal_mode") != "wal")
                    connection.Execute("PRAGMA journal_mode = WAL");
                BringUp(connection, steps, now);
            }
            catch (SqliteException e) when (e.SqliteErrorCode == 8)
            {
                throw ServiceBookException.Older(Book, e);
            }

            return 0;
        });

    // A book in write-ahead mode wants its side files made even to be read. Where that is not allowed it is read as a file that nobody
    // writes, which is true as long as no log lies beside it: then all that was written is in it.
    private void ReadAlone()
    {
        if (new FileInfo(Book + "-wal") is { Exists: true, Length: > 0 })
        {
            throw new ServiceBookException(
                "read-only",
                $"The service book {Book} cannot be read without writing beside it: {Path.GetFileName(Book)}-wal holds what is not yet in it. "
                    + "Copy both files to a folder of your own and read it there, or give yourself the right to write."
            );
        }

        Dispose();
        settings = new SqliteConnectionStringBuilder
        {
            DataSource = new Uri(Book).AbsoluteUri + "?immutable=1",
            Mode = SqliteOpenMode.ReadOnly,
            ForeignKeys = true,
        }.ConnectionString;
    }

    // Under a passing name first: a kill in between leaves no file that is taken for a book, and another bench is not written over.
    private void Make(string folder, DateTimeOffset now)
    {
        string passing = $"{Book}.{Guid.NewGuid():N}{PassingEnd}";
        try
        {
            using (
                var connection = new SqliteConnection(
                    new SqliteConnectionStringBuilder
                    {
                        DataSource = passing,
                        Pooling = false,
                        ForeignKeys = true,
                    }.ConnectionString
                )
            )
            {
                connection.Open();
                connection.Execute("PRAGMA synchronous = FULL");
                BringUp(connection, SchemaSteps.For(Dialect), now);
                connection.Execute("PRAGMA journal_mode = WAL");
            }

            File.Move(passing, Book, overwrite: false);
            DirectorySync.Flush(folder);
        }
        catch (DbException e)
        {
            throw Said(e);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            if (!File.Exists(Book)) // another bench was quicker: then it is that one's
                throw ServiceBookException.From(e, Book);
        }
        finally
        {
            Sweep(folder, passing, now);
        }
    }

    // What is left of this making, and of one that was killed a day ago or earlier.
    private void Sweep(string folder, string passing, DateTimeOffset now)
    {
        try
        {
            foreach (string left in Directory.EnumerateFiles(folder, $"{Path.GetFileName(Book)}.*{PassingEnd}*"))
            {
                if (left.StartsWith(passing, StringComparison.Ordinal) || File.GetLastWriteTimeUtc(left) < now.UtcDateTime.AddDays(-1))
                    File.Delete(left);
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // It is in nobody's way.
        }
    }

    /// <summary>
    /// Applies schema steps with foreign keys at rest, for steps may rebuild tables; the keys are checked before the commit.
    /// </summary>
    public void BringUp(DbConnection connection, IReadOnlyList<SchemaStep> steps, DateTimeOffset now)
    {
        connection.Execute("PRAGMA foreign_keys = OFF");
        using (DbTransaction transaction = connection.BeginTransaction())
        {
            SchemaSteps.Apply(connection, transaction, steps, Book, now);
            if (connection.Query("PRAGMA foreign_key_check", transaction: transaction).Any())
            {
                throw new ServiceBookException(
                    "damaged",
                    $"The service book {Book} names rows that it does not hold, so its schema was left as it was. "
                        + "Restore the last backup beside it and compare."
                );
            }

            transaction.Commit();
        }

        connection.Execute("PRAGMA foreign_keys = ON");
    }

    public override DbTransaction BeginReading(DbConnection connection) => ((SqliteConnection)connection).BeginTransaction(deferred: true);

    public override void Dispose()
    {
        using var connection = new SqliteConnection(settings);
        SqliteConnection.ClearPool(connection);
    }

    protected override DbConnection Connect()
    {
        var connection = new SqliteConnection(settings);
        connection.Open();
        // FULL: a commit has reached the disk before it is acknowledged, under WAL too. 32 MB of pages are kept: a page of a large book
        // asks for rows from all over it.
        connection.Execute("PRAGMA synchronous = FULL; PRAGMA cache_size = -32768");
        return connection;
    }

    // Takes the write lock at once, so that what is read inside cannot have changed when it is written.
    protected override DbTransaction BeginWriting(DbConnection connection, out WriteTicket? ticket)
    {
        ticket = null;
        return connection.BeginTransaction();
    }

    protected override ServiceBookException Said(DbException e) => Said((SqliteException)e, Book);

    // Primary result codes as SQLite publishes them.
    private static ServiceBookException Said(SqliteException e, string book) =>
        e.SqliteErrorCode switch
        {
            5 or 6 => new(
                "locked",
                $"The service book {book} is held by another program; nothing was written. Let the other finish, or close it, and try again.",
                e
            ),
            8 => new(
                "read-only",
                $"The service book {book} cannot be written; nothing was changed. Give yourself the right to write the file and its folder.",
                e
            ),
            13 => new("disk-full", $"No room is left for the service book {book}; nothing was written. Free some space and try again.", e),
            // A disk without room for the book's side files answers as one that fails.
            10 when Room.None(book) => new(
                "disk-full",
                $"No room is left for the service book {book}; nothing was written. Free some space and try again.",
                e
            ),
            14 => new(
                "cannot-open",
                $"The service book {book} cannot be opened; check that the folder exists and that you may read and write in it.",
                e
            ),
            11 => new(
                "damaged",
                $"The service book {book} is damaged; nothing was written. Restore the last backup beside it and compare.",
                e
            ),
            26 => new("not-a-book", $"{book} is not a service book; name another file.", e),
            19 => new("refused", $"The service book {book} refused the entry, and nothing was written: {Detail(e)}.", e),
            _ => new("io", $"The service book {book} cannot be read or written; nothing was changed: {Detail(e)}.", e),
        };

    private static string Detail(SqliteException e)
    {
        // "SQLite Error 19: 'UNIQUE constraint failed: …'." → the inner words.
        int from = e.Message.IndexOf('\'', StringComparison.Ordinal), to = e.Message.LastIndexOf('\'');
        return (from >= 0 && to > from ? e.Message[(from + 1)..to] : e.Message).ReplaceLineEndings(" ");
    }
}
