using System.Data.Common;
using System.Runtime.CompilerServices;
using Dapper;
using Spoolwright.Bench.Service;

namespace Spoolwright.Storage;

/// <summary>
/// The store of decks, jobs and everything measured on them: one SQLite file with captures by their hash in a folder beside it, or a
/// PostgreSQL database.
/// What was measured is only ever added to. Every call is one transaction on a connection of its own, so a book may be used from several
/// threads and several programs at once; what a call has returned from is on the disk.
/// </summary>
public sealed partial class ServiceBook : IDisposable
{
    private readonly BookEngine engine;
    private readonly TimeProvider clock;

    private ServiceBook(BookEngine engine, TimeProvider clock) => (this.engine, this.clock) = (engine, clock);

    /// <summary>The book's file or database, as messages call it; never with a password.</summary>
    public string Name => engine.Book;

    /// <summary>
    /// Opens a book, making it where it is not there yet (a file with its folder; tables in a database that is there), and brings its
    /// schema up to date.
    /// </summary>
    /// <param name="where">
    /// The book's file, such as <c>shop/service.book</c>, captures in <c>shop/captures</c>; or a PostgreSQL database, as <see
    /// cref="BookAddress.IsDatabase"/> tells; or the folder of a file, as <see cref="BookAddress.FileOf"/> tells.
    /// </param>
    /// <param name="patience">How long to wait for another program that holds the book, or for a server that was lost; null: 10 s.</param>
    /// <param name="clock">Gives the time at which the schema was brought up to date; null: the system's.</param>
    /// <exception cref="ServiceBookException">It cannot be opened, or is no book, or a newer one.</exception>
    public static ServiceBook Open(string where, TimeSpan? patience = null, TimeProvider? clock = null) =>
        Open(where, mayMake: true, patience, clock);

    /// <summary>As <see cref="Open(string, TimeSpan?, TimeProvider?)"/>, but says so where there is no book yet.</summary>
    public static ServiceBook OpenExisting(string where, TimeSpan? patience = null, TimeProvider? clock = null) =>
        Open(where, mayMake: false, patience, clock);

    /// <summary>Adds a deck; a serial number stands once in a profile.</summary>
    public Deck AddDeck(string profileName, string profileJson, string serialNumber, string description)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(profileName);
        ArgumentException.ThrowIfNullOrWhiteSpace(serialNumber);
        var deck = new Deck(RowId.New(), profileName, profileJson, serialNumber, description);
        Write((c, t) =>
        {
            c.Execute(
                """
                INSERT INTO deck (id, profile_name, profile_json, serial_number, description)
                VALUES (@Id, @ProfileName, @ProfileJson, @SerialNumber, @Description)
                """,
                new { Id = StoredText.Id(deck.Id), deck.ProfileName, deck.ProfileJson, deck.SerialNumber, deck.Description }, t);
            SearchIndex.Put(c, t, "deck", deck.Id);
        });
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
        var job = new Job(RowId.New(), deckId, opened.ToUniversalTime(), null, what);
        Write((c, t) =>
        {
            c.Execute("INSERT INTO job (id, deck_id, opened, closed, what) VALUES (@Id, @DeckId, @Opened, NULL, @What)",
                new { Id = StoredText.Id(job.Id), DeckId = StoredText.Id(deckId), Opened = StoredText.Time(opened), What = what }, t);
            SearchIndex.Put(c, t, "job", job.Id);
        });
        return job;
    }

    /// <summary>Closes a job that is open.</summary>
    public void CloseJob(Guid jobId, DateTimeOffset closed) =>
        Change(
            $"Closed the job of {JobHeads([jobId]).GetValueOrDefault(jobId).Deck?.SerialNumber ?? "no deck"}",
            journal =>
            {
                if (
                    journal.Connection.ExecuteScalar<long>(
                        "SELECT COUNT(*) FROM job WHERE id = @id AND closed IS NULL",
                        new { id = StoredText.Id(jobId) },
                        journal.Transaction
                    ) == 0
                )
                    throw new ServiceBookException("refused", $"There is no open job {jobId} in {Name}; nothing was written.");
                journal.Update("job", Columns.Id(jobId), new Columns { ["closed"] = closed });
            }
        );

    /// <summary>The jobs of a deck, oldest first; all jobs where no deck is named.</summary>
    public IReadOnlyList<Job> Jobs(Guid? deckId = null) =>
        With(c =>
            c.Query<JobRow>(JobRow.Select + " WHERE @id IS NULL OR deck_id = @id ORDER BY opened, id", new { id = StoredText.Id(deckId) })
                .Select(r => r.ToJob())
                .ToList()
        );

    /// <summary>Writes down why a cell of the matrix has no figures.</summary>
    public void FileUnmeasured(Unmeasured cell)
    {
        if (string.IsNullOrWhiteSpace(cell.Reason))
            throw new ArgumentException("a cell without figures needs a reason", nameof(cell));
        Write((c, t) =>
        {
            c.Execute(
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
            }, t);
            SearchIndex.Put(c, t, "unmeasured", cell.JobId);
        });
    }

    /// <summary>Lets go of the file or of the server.</summary>
    public void Dispose() => engine.Dispose();

    private static ServiceBook Open(string where, bool mayMake, TimeSpan? patience, TimeProvider? clock)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(where);
        BookEngine reached = Engine(where, patience ?? TimeSpan.FromSeconds(10));
        clock ??= TimeProvider.System;
        try
        {
            reached.Prepare(mayMake, clock.GetUtcNow());
            var book = new ServiceBook(reached, clock);
            book.MakeAgain();
            if (book.CapturesIn() is CaptureFolder folder)
                folder.Sweep(clock.GetUtcNow());
            return book;
        }
        catch
        {
            reached.Dispose();
            throw;
        }
    }

    // In methods of their own, so that the driver of the one is never loaded for the other.
    private static BookEngine Engine(string where, TimeSpan patience) =>
        BookAddress.IsDatabase(where) ? Postgres(where, patience) : Sqlite(BookAddress.FileOf(where), patience);

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static BookEngine Postgres(string where, TimeSpan patience) => new PostgresEngine(where, patience);

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static BookEngine Sqlite(string where, TimeSpan patience) => new SqliteEngine(where, patience);

    private T With<T>(Func<DbConnection, T> work) => engine.Read(work);

    private void Write(Action<DbConnection, DbTransaction> work) => engine.Write(work);

    private DbTransaction BeginReading(DbConnection connection) => engine.BeginReading(connection);
}
