using System.Collections.Concurrent;
using System.Globalization;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Service;
using Spoolwright.Reports;

namespace Spoolwright.App.Desk;

/// <summary>
/// What ailed a deck, weighed once for the same state of a job: it costs a tenth of a second, and a record is looked at more often than a
/// measurement is filed. It hangs on the measurements, which are only ever added, so their ids tell whether it is the same; on the deck's
/// profile, which may be put in order; and on the chances.
/// </summary>
internal static class KnownAilments
{
    // The jobs on a bench, and those looked up beside them.
    private const int Most = 64;

    private static readonly ConcurrentDictionary<(Guid Job, Guid Last, int Count, string Profile, string Chances), Lazy<Ailments?>> Known =
        new();

    /// <summary>What the job's readings say by the program's own chances; null: there is none to weigh.</summary>
    public static Ailments? Of(JobFile file) => Of(file, CauseBook.Default);

    /// <summary>What the job's readings say; null: there is none to weigh.</summary>
    /// <param name="file">The job, whole.</param>
    /// <param name="book">What is known, with the chances to be used.</param>
    public static Ailments? Of(JobFile file, CauseBook book)
    {
        if (file.Measurements.Count == 0)
            return null;
        var chances = string.Join(' ', book.Causes.Select(c => c.Prior.ToString("R", CultureInfo.InvariantCulture)));
        var key = (file.Job.Id, file.Measurements.Max(m => m.Entry.Id), file.Measurements.Count, file.Deck.ProfileJson, chances);
        if (Known.Count > Most)
            Known.Clear();
        // Two who ask at once wait for one answer; what could not be weighed is not kept.
        var answer = Known.GetOrAdd(
            key,
            static (_, of) => new Lazy<Ailments?>(() => Ailments.Of(of.File, of.Book, aside: true)),
            (File: file, Book: book)
        );
        try
        {
            return answer.Value;
        }
        catch
        {
            Known.TryRemove(key, out _);
            throw;
        }
    }
}
