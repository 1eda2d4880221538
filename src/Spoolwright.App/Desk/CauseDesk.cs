using System.Globalization;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>Whether a cause was right, by the task done and the readings taken again.</summary>
/// <param name="Finding">The cause as it was named.</param>
/// <param name="TaskDone">The task of the plan that was done; null: none that mends it.</param>
/// <param name="After">What the readings taken again say.</param>
public sealed record CauseMended(CauseFinding Finding, string? TaskDone, CauseAfter After)
{
    /// <summary>In a word.</summary>
    public string Word => (After.Outcome, After.Share, TaskDone) switch
    {
        (_, null, _) => "not read again",
        (CauseOutcome.Confirmed, _, not null) => "right",
        (CauseOutcome.Confirmed, _, null) => "gone, by no task that mends it",
        (CauseOutcome.NotConfirmed, _, not null) => "wrong, or not mended",
        (CauseOutcome.NotConfirmed, _, null) => "still there, not mended",
        _ => "not to be told",
    };
}

/// <summary>What ails the decks of the book, and what the shop's own finished jobs have taught.</summary>
/// <param name="book">The service book, in a file or a database.</param>
/// <param name="memory">Where what finished jobs say is kept between calls; null: reckoned anew each time.</param>
public sealed class CauseDesk(ServiceBook book, CauseMemory? memory = null) : ICauseHistory
{
    private IReadOnlyList<CauseCount>? counts;

    /// <summary>How many finished jobs taught something.</summary>
    public int Jobs { get; private set; }

    /// <summary>What ails a job's deck.</summary>
    /// <param name="jobId">The job.</param>
    /// <param name="knowledge">What is known, with the priors to be used.</param>
    /// <exception cref="EntryException">The job holds no readings that causes are weighed by.</exception>
    public (Ailments Ailments, JobFile File) Of(Guid jobId, CauseBook knowledge)
    {
        var file = book.ReadJob(jobId);
        return (KnownAilments.Of(file, knowledge) ?? throw new EntryException("the job holds no readings as found that causes are weighed by; measure speed, playback or azimuth first"), file);
    }

    /// <summary>The program's knowledge with the shop's own priors, and over them those set by hand.</summary>
    /// <param name="set">Priors set by hand, by cause.</param>
    /// <exception cref="ArgumentException">A cause or a chance cannot be.</exception>
    public CauseBook Knowledge(IReadOnlyDictionary<string, double> set) => CauseBook.Default.Learned(this).WithPriors(set);

    /// <summary>After the mend: what became of each cause that was named.</summary>
    public IReadOnlyList<CauseMended> Mended(Guid jobId, Ailments ailments)
    {
        ArgumentNullException.ThrowIfNull(ailments);
        var done = Done(jobId);
        return [.. ailments.Found.Findings.Where(f => f.Probability >= Explainer.Named).Select(f => new CauseMended(f, TaskOf(f, done), ailments.After(f)))];
    }

    // Of several that mend it the one of its own direction.
    private static string? TaskOf(CauseFinding finding, Dictionary<string, string> done) => finding.Causes.SelectMany(c => c.PlanTasks).Where(done.ContainsKey)
        .OrderByDescending(k => k.EndsWith("-reverse", StringComparison.Ordinal) == (finding.Place.Direction == Direction.Reverse)).Select(k => done[k]).FirstOrDefault();

    /// <summary>Counts over every finished job that was measured as it came and as it left.</summary>
    public IReadOnlyList<CauseCount> Counts()
    {
        if (counts is not null)
            return counts;
        var sum = new Dictionary<string, (int Met, int Places)>(StringComparer.Ordinal);
        foreach (var job in book.Jobs().Where(j => j.Closed is not null))
        {
            var own = OfJob(job);
            Jobs += own.Count > 0 ? 1 : 0;
            foreach (var count in own)
                sum[count.CauseId] = (sum.GetValueOrDefault(count.CauseId).Met + count.Met, sum.GetValueOrDefault(count.CauseId).Places + count.Places);
        }

        memory?.Keep();
        return counts = [.. sum.Where(s => CauseBook.Default.Causes.Any(c => c.Id == s.Key)).Select(s => new CauseCount(s.Key, s.Value.Met, s.Value.Places))];
    }

    /// <summary>Priors written as <c>belt=0.2</c>, each by itself.</summary>
    /// <exception cref="FormatException">One is not so written; the message names it.</exception>
    public static IReadOnlyDictionary<string, double> Set(IEnumerable<string> texts)
    {
        ArgumentNullException.ThrowIfNull(texts);
        var chances = new Dictionary<string, double>(StringComparer.Ordinal);
        foreach (var text in texts)
        {
            if (text.Split('=') is not [var id, var number] || !double.TryParse(number, NumberStyles.Float, CultureInfo.InvariantCulture, out var chance))
                throw new FormatException($"\"{text}\" is not a cause and its chance such as belt=0.2");
            chances[id] = chance;
        }

        return chances;
    }

    // A closed job stands: what it says is reckoned once. Opened and closed again it is another.
    private IReadOnlyList<CauseCount> OfJob(Job job)
    {
        if (memory?.Find(job) is { } known)
            return known;
        IReadOnlyList<CauseCount> own = [];
        // By the program's own priors: what was learned must not confirm itself.
        if (Ailments.Of(book.ReadJob(job.Id), CauseBook.Default) is { } ailments)
        {
            var done = Done(job.Id);
            own = CausePriors.Count(ailments.Found, ailments.Left, done.ContainsKey);
        }

        memory?.Add(job, own);
        return own;
    }

    private Dictionary<string, string> Done(Guid jobId) =>
        new PlanDesk(book).Board(jobId).Tasks.Where(t => t.State == TaskState.Done).ToDictionary(t => t.Task.Key, t => t.Task.Title, StringComparer.Ordinal);
}
