using System.Diagnostics;
using System.Globalization;
using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Files;
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
public sealed class CauseDesk(ServiceBook book) : ICauseHistory
{
    // A few out of many at a time: another bench that weighs too takes others.
    private const int Pool = 200;
    private const int AtATime = 8;

    // By the laws and the knowledge of this very program: what another one weighed says nothing of what this one names.
    private static readonly string Weighing = typeof(Explainer).Module.ModuleVersionId.ToString("N");

    private CauseLessons? lessons;

    /// <summary>What the finished jobs have taught, as far as they were weighed.</summary>
    public CauseLessons Lessons => lessons ??= book.CauseLessons(Weighing);

    /// <summary>What ails a job's deck.</summary>
    /// <param name="jobId">The job.</param>
    /// <param name="knowledge">What is known, with the priors to be used.</param>
    /// <exception cref="EntryException">The job holds no readings that causes are weighed by.</exception>
    public (Ailments Ailments, JobFile File) Of(Guid jobId, CauseBook knowledge)
    {
        var file = book.ReadJob(jobId);
        return (
            KnownAilments.Of(file, knowledge)
                ?? throw new EntryException(
                    "the job holds no readings as found that causes are weighed by; measure speed, playback or azimuth first"
                ),
            file
        );
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
        return
        [
            .. ailments
                .Found.Findings.Where(f => f.Probability >= Explainer.Named)
                .Select(f => new CauseMended(f, TaskOf(f, done), ailments.After(f))),
        ];
    }

    // Of several that mend it the one of its own direction.
    private static string? TaskOf(CauseFinding finding, Dictionary<string, string> done) =>
        finding
            .Causes.SelectMany(c => c.PlanTasks)
            .Where(done.ContainsKey)
            .OrderByDescending(k => k.EndsWith("-reverse", StringComparison.Ordinal) == (finding.Place.Direction == Direction.Reverse))
            .Select(k => done[k])
            .FirstOrDefault();

    /// <summary>Counts over the finished jobs that were weighed; those that were not measured as they came and as they left say
    /// nothing.</summary>
    public IReadOnlyList<CauseCount> Counts() => [.. Lessons.Counts.Where(k => CauseBook.Default.Causes.Any(c => c.Id == k.CauseId))];

    /// <summary>How far weighing has come, where it has not come to its end: <c>12 of 40 finished jobs are weighed so far</c>; null: all
    /// are.</summary>
    public string? SoFar =>
        Lessons.Weighed >= Lessons.Finished
            ? null
            : string.Create(
                CultureInfo.InvariantCulture,
                $"{Lessons.Weighed:N0} of {Lessons.Finished:N0} finished jobs are weighed so far"
            );

    /// <summary>Weighs finished jobs that were not weighed yet, one after the other, those closed last first, and keeps in the book what
    /// each teaches.</summary>
    /// <param name="most">For how long at most; the job that is being weighed then is still kept.</param>
    /// <param name="rest">Waits after a job that took so long; false: enough. Null: none.</param>
    /// <param name="stop">Stops between two jobs.</param>
    /// <returns>Jobs that could not be weighed, with why.</returns>
    public IReadOnlyDictionary<Guid, string> Learn(TimeSpan most, Func<TimeSpan, bool>? rest = null, CancellationToken stop = default)
    {
        var cannot = new Dictionary<Guid, string>();
        var whole = Stopwatch.StartNew();
        var more = true;
        while (more)
        {
            var waiting = book.NotWeighed(Weighing, Pool + cannot.Count).Where(j => !cannot.ContainsKey(j)).ToArray();
            more = waiting.Length > 0;
            Random.Shared.Shuffle(waiting);
            foreach (var job in waiting.Take(AtATime))
            {
                if (stop.IsCancellationRequested || whole.Elapsed >= most)
                    return cannot;
                var own = Stopwatch.StartNew();
                try
                {
                    Weigh(job);
                }
                catch (Exception e) when (e is ArgumentException or EntryException or InvalidOperationException)
                {
                    // One job that cannot be weighed keeps no other from it.
                    cannot[job] = e.Message;
                }

                if (rest?.Invoke(own.Elapsed) == false)
                    return cannot;
            }
        }

        lessons = null;
        return cannot;
    }

    /// <summary>Priors written as <c>belt=0.2</c>, each by itself.</summary>
    /// <exception cref="FormatException">One is not so written; the message names it.</exception>
    public static IReadOnlyDictionary<string, double> Set(IEnumerable<string> texts)
    {
        ArgumentNullException.ThrowIfNull(texts);
        var chances = new Dictionary<string, double>(StringComparer.Ordinal);
        foreach (var text in texts)
        {
            if (text.Split('=') is [_, var typed] && TypedComma.Problem(typed) is { } comma)
                throw new FormatException($"\"{text}\" {comma}");
            if (
                text.Split('=') is not [var id, var number]
                || !double.TryParse(number, NumberStyles.Float, CultureInfo.InvariantCulture, out var chance)
            )
                throw new FormatException($"\"{text}\" is not a cause and its chance such as belt=0.2");
            chances[id] = chance;
        }

        return chances;
    }

    // Written only where nothing was added since it was read: what was added then is weighed another time.
    private void Weigh(Guid job)
    {
        if (book.Finished(job) is not { } finished)
            return;
        IReadOnlyList<CauseCount> own = [];
        // By the program's own priors: what was learned must not confirm itself.
        if (Ailments.Of(book.ReadJob(job), CauseBook.Default) is { } ailments)
        {
            var done = Done(job);
            own = CausePriors.Count(ailments.Found, ailments.Left, done.ContainsKey);
        }

        // On a thread of the program's own priority: whoever holds the write lock must not give way to everybody.
        Task.Run(() => book.KeepLesson(finished, Weighing, own)).GetAwaiter().GetResult();
        lessons = null;
    }

    private Dictionary<string, string> Done(Guid jobId) =>
        new PlanDesk(book)
            .Board(jobId)
            .Tasks.Where(t => t.State == TaskState.Done)
            .ToDictionary(t => t.Task.Key, t => t.Task.Title, StringComparer.Ordinal);
}
