using System.Data.Common;
using Dapper;
using Microsoft.Data.Sqlite;
using Spoolwright.Bench.Service;

namespace Spoolwright.Storage;

/// <summary>
/// The store of decks, jobs and everything measured on them: one SQLite file, captures by their hash in a folder beside it.
/// What was measured is only ever added to. Every call is one transaction on a connection of its own, so a book may be used from several
/// threads and several programs at once; what a call has returned from is on the disk.
/// </summary>
public sealed partial class ServiceBook : IDisposable
{
    private const string Engine = "sqlite";

    private readonly Func<DbConnection> connect;
    private readonly CaptureFolder captures;
    private readonly TimeProvider clock;

    private ServiceBook(string name, Func<DbConnection> connect, CaptureFolder captures, TimeProvider clock)
    {
        Name = name;
        this.connect = connect;
        this.captures = captures;
        this.clock = clock;
    }

    /// <summary>The book's file, as messages call it.</summary>
    public string Name { get; }

    /// <summary>The folder that holds the captures.</summary>
    public string CapturesFolder => captures.Root;

    /// <summary>
    /// Opens a book, making the file and its folder where they are not there yet, and brings its schema up to date.
    /// </summary>
    /// <param name="path">The book's file, such as <c>shop/service.book</c>; captures lie in <c>shop/captures</c>.</param>
    /// <param name="patience">How long to wait for another program that holds the book, whole seconds; null: 10 s.</param>
    /// <param name="clock">Gives the time at which the schema was brought up to date; null: the system's.</param>
    /// <exception cref="ServiceBookException">It cannot be opened, or is no book, or a newer one.</exception>
    public static ServiceBook Open(string path, TimeSpan? patience = null, TimeProvider? clock = null)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(path);
        string file = Path.GetFullPath(path);
        string folder = Path.GetDirectoryName(file)!;
        clock ??= TimeProvider.System;
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw ServiceBookException.From(e, $"the folder {folder}");
        }

        string settings = new SqliteConnectionStringBuilder
        {
            DataSource = file,
            ForeignKeys = true,
            DefaultTimeout = (int)Math.Ceiling((patience ?? TimeSpan.FromSeconds(10)).TotalSeconds),
        }.ConnectionString;
        var book = new ServiceBook(file, () => new SqliteConnection(settings), new CaptureFolder(Path.Combine(folder, "captures")), clock);
        book.With(connection =>
        {
            long tables = connection.ExecuteScalar<long>("SELECT COUNT(*) FROM sqlite_master");
            if (tables > 0 && connection.ExecuteScalar<long>("SELECT COUNT(*) FROM sqlite_master WHERE name = 'schema_step'") == 0)
                throw new ServiceBookException("not-a-book", $"{file} is a database, but not a service book; name another file.");
            IReadOnlyList<SchemaStep> steps = SchemaSteps.For(Engine);
            if (tables > 0 && SchemaSteps.Had(connection, null).SetEquals(steps.Select(s => s.Number)))
                return 0; // nothing to write, so no need to wait for another bench that is writing
            if (connection.ExecuteScalar<string>("PRAGMA journal_mode") != "wal")
                connection.Execute("PRAGMA journal_mode = WAL");
            connection.Execute("PRAGMA foreign_keys = OFF"); // steps may rebuild tables; Apply checks the keys before it commits
            using (DbTransaction transaction = connection.BeginTransaction())
            {
                SchemaSteps.Apply(connection, transaction, steps, file, clock.GetUtcNow());
                if (connection.Query("PRAGMA foreign_key_check", transaction: transaction).Any())
                {
                    throw new ServiceBookException("damaged",
                        $"The service book {file} names rows that it does not hold, so its schema was left as it was. Restore the last backup beside it and compare.");
                }

                transaction.Commit();
            }

            connection.Execute("PRAGMA foreign_keys = ON");
            return 0;
        });
        book.captures.Sweep(clock.GetUtcNow());
        return book;
    }

    /// <summary>As <see cref="Open"/>, but says so where there is no book yet.</summary>
    public static ServiceBook OpenExisting(string path, TimeSpan? patience = null, TimeProvider? clock = null)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(path);
        return File.Exists(path)
            ? Open(path, patience, clock)
            : throw new ServiceBookException("not-found",
                $"There is no service book {Path.GetFullPath(path)}; check the name, or make one by filing a measurement.");
    }

    /// <summary>Adds a deck; a serial number stands once in a profile.</summary>
    public Deck AddDeck(string profileName, string profileJson, string serialNumber, string description)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(profileName);
        ArgumentException.ThrowIfNullOrWhiteSpace(serialNumber);
        var deck = new Deck(Guid.CreateVersion7(), profileName, profileJson, serialNumber, description);
        Write((c, t) => c.Execute(
            "INSERT INTO deck (id, profile_name, profile_json, serial_number, description) VALUES (@Id, @ProfileName, @ProfileJson, @SerialNumber, @Description)",
            new { Id = StoredText.Id(deck.Id), deck.ProfileName, deck.ProfileJson, deck.SerialNumber, deck.Description }, t));
        return deck;
    }

    /// <summary>The deck of that profile and serial number, or null.</summary>
    public Deck? FindDeck(string profileName, string serialNumber) => With(c => c.QuerySingleOrDefault<DeckRow>(
        DeckRow.Select + " WHERE profile_name = @profileName AND serial_number = @serialNumber",
            new { profileName, serialNumber })?.ToDeck());

    /// <summary>Every deck, by profile and serial number.</summary>
    public IReadOnlyList<Deck> Decks() => With(c => c.Query<DeckRow>(DeckRow.Select + " ORDER BY profile_name, serial_number")
        .Select(r => r.ToDeck()).ToList());

    /// <summary>Opens a job on a deck.</summary>
    public Job OpenJob(Guid deckId, string what, DateTimeOffset opened)
    {
        var job = new Job(Guid.CreateVersion7(), deckId, opened.ToUniversalTime(), null, what);
        Write((c, t) => c.Execute("INSERT INTO job (id, deck_id, opened, closed, what) VALUES (@Id, @DeckId, @Opened, NULL, @What)",
            new { Id = StoredText.Id(job.Id), DeckId = StoredText.Id(deckId), Opened = StoredText.Time(opened), What = what }, t));
        return job;
    }

    /// <summary>Closes a job that is open.</summary>
    public void CloseJob(Guid jobId, DateTimeOffset closed) => Change("Closed the job", journal =>
    {
        if (journal.Connection.ExecuteScalar<long>("SELECT COUNT(*) FROM job WHERE id = @id AND closed IS NULL", new { id = StoredText.Id(jobId) }, journal.Transaction) == 0)
            throw new ServiceBookException("refused", $"There is no open job {jobId} in {Name}; nothing was written.");
        journal.Update("job", Columns.Id(jobId), new Columns { ["closed"] = closed });
    });

    /// <summary>The jobs of a deck, oldest first; all jobs where no deck is named.</summary>
    public IReadOnlyList<Job> Jobs(Guid? deckId = null) => With(c => c.Query<JobRow>(
        JobRow.Select + " WHERE @id IS NULL OR deck_id = @id ORDER BY opened, id", new { id = StoredText.Id(deckId) }).Select(r => r.ToJob())
            .ToList());

    /// <summary>Writes down why a cell of the matrix has no figures.</summary>
    public void FileUnmeasured(Unmeasured cell)
    {
        if (string.IsNullOrWhiteSpace(cell.Reason))
            throw new ArgumentException("a cell without figures needs a reason", nameof(cell));
        Write((c, t) => c.Execute(
            """
            INSERT INTO unmeasured (job_id, ordinal, direction, speed_cm_per_s, tape_setting, mark, kind, reason)
            SELECT @Job, COALESCE(MAX(ordinal) + 1, 0), @Direction, @Speed, @TapeSetting, @Mark, @Kind, @Reason FROM unmeasured WHERE job_id = @Job
            """,
            new
            {
                Job = StoredText.Id(cell.JobId),
                Direction = StoredText.Of(cell.Condition.Direction),
                Speed = cell.Condition.SpeedCmPerS,
                cell.Condition.TapeSetting,
                Mark = StoredText.Of(cell.Mark),
                Kind = cell.Measurement,
                cell.Reason,
            }, t));
    }

    /// <summary>Opens a capture's bytes after checking them against its hash.</summary>
    /// <exception cref="ServiceBookException">Not known, missing (<c>capture-missing</c>) or damaged (<c>capture-damaged</c>).</exception>
    public Stream OpenCapture(string sha256)
    {
        string stored = With(c => c.QuerySingleOrDefault<string>("SELECT stored_as FROM capture WHERE sha256 = @sha256", new { sha256 }))
            ?? throw new ServiceBookException("not-found", $"The service book {Name} holds no capture with the hash {sha256}.");
        return captures.Open(sha256, stored);
    }

    /// <summary>Reads every stored capture against its hash; says which are missing or damaged.</summary>
    public IReadOnlyList<CaptureFault> CheckCaptures() =>
        With(c => c.Query<(string Sha256, string StoredAs)>("SELECT sha256, stored_as FROM capture ORDER BY sha256").ToList())
            .Select(row => captures.Fault(row.Sha256, row.StoredAs)).OfType<CaptureFault>().ToList();

    /// <summary>Lets go of the file.</summary>
    public void Dispose()
    {
        using DbConnection connection = connect();
        if (connection is SqliteConnection sqlite)
            SqliteConnection.ClearPool(sqlite);
    }

    private T With<T>(Func<DbConnection, T> work)
    {
        try
        {
            using DbConnection connection = connect();
            connection.Open();
            if (connection is SqliteConnection)
            {
                // FULL: a commit has reached the disk before it is acknowledged, under WAL too.
                connection.Execute("PRAGMA synchronous = FULL");
            }

            return work(connection);
        }
        catch (SqliteException e)
        {
            throw ServiceBookException.From(e, Name);
        }
    }

    /// <summary>Begins to read one moment of the book without taking the write lock.</summary>
    private static DbTransaction BeginReading(DbConnection connection) =>
        connection is SqliteConnection sqlite ? sqlite.BeginTransaction(deferred: true)
            : connection.BeginTransaction(System.Data.IsolationLevel.RepeatableRead);

    private void Write(Action<DbConnection, DbTransaction> work) => With(connection =>
    {
        // Takes the write lock at once, so that what is read inside cannot have changed when it is written.
        using DbTransaction transaction = connection.BeginTransaction();
        work(connection, transaction);
        transaction.Commit();
        return 0;
    });
}
