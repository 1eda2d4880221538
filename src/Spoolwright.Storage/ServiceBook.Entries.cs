using System.Data.Common;
using Spoolwright.Bench.Service;

namespace Spoolwright.Storage;

/// <content>Entries that people write: added, corrected, taken back, never changed.</content>
public sealed partial class ServiceBook
{
    private readonly Lock stamping = new();
    private DateTimeOffset lastRead, lastStamp;

    // One time for all that is written together, and another for what is written next, though the clock had not moved.
    private DateTimeOffset Stamp()
    {
        lock (stamping)
        {
            DateTimeOffset now = clock.GetUtcNow();
            lastStamp = now == lastRead ? lastStamp.AddTicks(1) : now;
            lastRead = now;
            return lastStamp;
        }
    }

    /// <summary>The time by the book's clock.</summary>
    public DateTimeOffset Now => clock.GetUtcNow();

    /// <summary>Reads and writes entries in one transaction that holds the write lock.</summary>
    /// <exception cref="ServiceBookException">Said in one line; nothing was written.</exception>
    /// <exception cref="EntryException">An entry makes no sense, or a rule forbids it; nothing was written.</exception>
    public T Work<T>(Func<BookWork, T> work)
    {
        ArgumentNullException.ThrowIfNull(work);
        T? result = default;
        Write((c, t) =>
        {
            var book = new BookWork(c, t, clock, Name, Stamp());
            result = work(book);
            book.Finish();
        });
        return result!;
    }

    /// <summary>Reads entries of one moment of the book.</summary>
    public T Look<T>(Func<BookWork, T> look)
    {
        ArgumentNullException.ThrowIfNull(look);
        return With(c =>
        {
            using DbTransaction t = BeginReading(c);
            T result = look(new BookWork(c, t, clock, Name, clock.GetUtcNow()));
            t.Commit();
            return result;
        });
    }

    /// <summary>Writes one entry down.</summary>
    public T Add<T>(T entry)
        where T : BookEntry => Work(w => w.Add(entry));

    /// <summary>Puts an entry in the place of an earlier one.</summary>
    public T Correct<T>(Guid old, T entry)
        where T : BookEntry => Work(w => w.Correct(old, entry));

    /// <summary>Takes an entry back, with the reason.</summary>
    public T Withdraw<T>(Guid id, string why)
        where T : BookEntry => Work(w => w.Withdraw<T>(id, why));

    /// <summary>Entries that stand, oldest first.</summary>
    public IReadOnlyList<T> Standing<T>(Guid? of = null)
        where T : BookEntry => Look(w => w.Standing<T>(of));

    /// <summary>Every entry ever made, oldest first.</summary>
    public IReadOnlyList<T> Everything<T>(Guid? of = null)
        where T : BookEntry => Look(w => w.Everything<T>(of));
}
