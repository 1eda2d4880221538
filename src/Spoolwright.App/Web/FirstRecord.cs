using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Web;

/// <summary>
/// Makes the record of the job on the bench once in the background, as soon as the server runs: what ails its deck is then weighed before
/// anybody asks, and the code that every record needs is compiled. A first record took 0.8 s of processor time, nine tenths of it for that.
/// </summary>
internal static class FirstRecord
{
    /// <summary>Begins; a book without a job needs nothing.</summary>
    // Not on a quiet thread: whoever asks for the same record waits for it.
    public static void Begin(BookShelf shelf) => _ = Task.Run(() =>
    {
        try
        {
            if ((shelf.Book.OpenJobs() is [.., var open] ? open : shelf.Book.Jobs() is [.., var last] ? last : null) is { } job)
                HtmlRecord.Write(new SignOffDesk(shelf.Book).RecordNow(job.Id));
        }
        catch (Exception e) when (e is ServiceBookException or EntryException or ObjectDisposedException or ArgumentException or InvalidOperationException)
        {
            // Whoever asks for that record is told.
        }
    });
}
