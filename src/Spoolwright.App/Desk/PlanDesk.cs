using System.Globalization;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>A job's plan and its clock.</summary>
public sealed class PlanDesk(ServiceBook book)
{
    /// <summary>Lays a plan out for a job.</summary>
    /// <exception cref="EntryException">The job has one already; tasks are added to it one by one.</exception>
    public IReadOnlyList<JobTask> LayOut(Guid jobId, Plan plan, DeckProfile profile)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return book.Work<IReadOnlyList<JobTask>>(w =>
        {
            if (w.Standing<JobTask>(jobId).Count > 0)
                throw new EntryException("the job has a plan already; add tasks to it, or leave tasks out");
            return [.. plan.LayOut(jobId, profile).Select(w.Add)];
        });
    }

    /// <summary>Adds a task of the job's own behind the last of its stage.</summary>
    public JobTask AddTask(Guid jobId, Stage stage, string key, string title, string why, int minutes) => book.Work(w =>
    {
        var tasks = w.Standing<JobTask>(jobId);
        if (tasks.Any(t => t.Key == key))
            throw new EntryException($"the job has a task {key} already");
        var ordinal = tasks.Where(t => t.Stage <= stage).Select(t => t.Ordinal).DefaultIfEmpty(0).Max();
        return w.Add(new JobTask
        {
            JobId = jobId,
            Stage = stage,
            Key = key,
            Ordinal = ordinal,
            Title = title,
            Why = why,
            MinutesForeseen = minutes
        });
    });

    /// <summary>How the job's tasks stand.</summary>
    public PlanBoard Board(Guid jobId) => book.Look(w => Board(w, jobId));

    /// <summary>Marks a task done, stopping its clock; it must not wait for others unless somebody says why.</summary>
    public TaskMark Done(Guid jobId, string task, string? remark = null) => book.Work(w =>
    {
        var found = Board(w, jobId).Find(task);
        PlanBoard.MayBegin(found, remark);
        if (found.Running is { } running)
            Stop(w, running, w.Now);
        return w.Add(new TaskMark { JobId = jobId, TaskKey = found.Task.Key, State = TaskState.Done, Remark = remark });
    });

    /// <summary>Leaves a task out, with the reason.</summary>
    public TaskMark Skip(Guid jobId, string task, string why) => Mark(jobId, task, TaskState.Skipped, why);

    /// <summary>Opens a task again.</summary>
    public TaskMark Reopen(Guid jobId, string task, string? why) => Mark(jobId, task, TaskState.Open, why);

    /// <summary>Starts a task's clock.</summary>
    /// <param name="jobId">The job.</param>
    /// <param name="task">The task's key.</param>
    /// <param name="zone">The shop's zone.</param>
    /// <param name="anyway">Why it is begun though others should be done before.</param>
    /// <param name="beside">Whether it runs beside another of the job: two people work.</param>
    /// <exception cref="EntryException">It or another of the job runs already, the job is closed, or the task waits for others.</exception>
    public ClockEntry Start(Guid jobId, string task, TimeZoneInfo zone, string? anyway = null, bool beside = false)
    {
        MustBeOpen(jobId, zone);
        return book.Work(w => Start(w, jobId, Board(w, jobId), task, zone, anyway, beside));
    }

    /// <summary>Stops a clock: the task's, or the only one that runs in the job.</summary>
    public ClockEntry Stop(Guid jobId, string? task = null) => book.Work(w =>
    {
        var running = Board(w, jobId).Tasks.Where(t => t.Running is not null).ToList();
        var found = task is not null ? Board(w, jobId).Find(task)
            : running.Count == 1 ? running[0]
            : throw new EntryException(running.Count == 0 ? "no clock is running in this job"
                : $"several clocks are running: {string.Join(", ", running.Select(r => r.Task.Key))}; name one");
        return Stop(w, found.Running ?? throw new EntryException($"the clock of {found.Task.Key} is not running"), w.Now);
    });

    /// <summary>Starts the task's clock, or stops it where it runs: one key for both.</summary>
    /// <param name="jobId">The job.</param>
    /// <param name="task">The task's key.</param>
    /// <param name="zone">The shop's zone.</param>
    /// <param name="anyway">Why it is begun though others should be done before.</param>
    /// <param name="seen">Whether the clock ran where the key was pressed; null: not known. Another bench may have turned it since.</param>
    public ClockEntry Toggle(Guid jobId, string task, TimeZoneInfo zone, string? anyway = null, bool? seen = null)
    {
        if (Board(jobId).Find(task).Running is null)
            MustBeOpen(jobId, zone);
        return book.Work(w =>
        {
            var board = Board(w, jobId);
            var found = board.Find(task);
            if (seen is { } ran && ran != found.Running is not null)
                throw new EntryException(
                    $"the clock of “{found.Task.Title}” was {(ran ? "stopped" : "started")} meanwhile, and is left as it is"
                );
            return found.Running is { } running ? Stop(w, running, w.Now) : Start(w, jobId, board, task, zone, anyway, beside: false);
        });
    }

    /// <summary>Writes down a sitting as it was typed.</summary>
    /// <exception cref="EntryException">It is no time, or one that cannot have been: in the future, before the job was opened, beyond a
    /// day's 24 hours.</exception>
    public ClockEntry Enter(Guid jobId, string task, string typed, TimeZoneInfo zone, string? remark = null)
    {
        var opened = OpenedOn(jobId, zone);
        return book.Work(w =>
        {
            var found = Board(w, jobId).Find(task);
            return w.Add(
                Possible(
                    w,
                    null,
                    Typed(
                        new ClockEntry
                        {
                            JobId = jobId,
                            TaskKey = found.Task.Key,
                            Day = default,
                            Remark = remark,
                        },
                        typed,
                        w.Now,
                        zone
                    ),
                    opened
                )
            );
        });
    }

    /// <summary>Corrects a sitting to what was typed; the old entry stays in the book.</summary>
    /// <exception cref="EntryException">As for <see cref="Enter"/>.</exception>
    public ClockEntry Correct(Guid sitting, string typed, TimeZoneInfo zone, string? remark = null)
    {
        var opened = OpenedOn(book.Look(w => w.Get<ClockEntry>(sitting)).JobId, zone);
        return book.Work(w =>
        {
            var old = w.Get<ClockEntry>(sitting);
            return w.Correct(sitting, Possible(w, old, Typed(old with { Remark = remark ?? old.Remark }, typed, w.Now, zone), opened));
        });
    }

    /// <summary>Takes a sitting back.</summary>
    public ClockEntry TakeBack(Guid sitting, string why) => book.Withdraw<ClockEntry>(sitting, why);

    /// <summary>Sittings that stand, oldest first; or all that were ever entered.</summary>
    public IReadOnlyList<ClockEntry> Sittings(Guid jobId, bool everything = false) =>
        everything ? book.Everything<ClockEntry>(jobId)
            : [.. book.Standing<ClockEntry>(jobId).OrderBy(c => c.Day).ThenBy(c => c.Started ?? DateTimeOffset.MinValue)];

    /// <summary>The sitting whose key ends so.</summary>
    public ClockEntry FindSitting(Guid jobId, string number)
    {
        var found = Sittings(jobId).Where(s => CheckBoard.ShortKey(s.Id).StartsWith(number.Trim(), StringComparison.OrdinalIgnoreCase))
            .ToList();
        return found.Count == 1
            ? found[0]
            : throw new EntryException(
                found.Count == 0
                    ? Sittings(jobId, everything: true)
                        .Any(s => CheckBoard.ShortKey(s.Id).StartsWith(number.Trim(), StringComparison.OrdinalIgnoreCase))
                        ? $"sitting {number} was corrected, stopped or taken back since; clock list shows what stands now"
                        : $"no sitting of this job begins with {number}"
                    : $"{found.Count} sittings begin with {number}; give more digits"
            );
    }

    /// <summary>Plans in the book by name, newest text of each.</summary>
    public IReadOnlyList<PlanText> Plans() => [.. book.Standing<PlanText>().GroupBy(p => p.Name).Select(g => g.Last())
        .OrderBy(p => p.Name, StringComparer.Ordinal)];

    /// <summary>A plan's text: one of the book's, or the one that comes with the program.</summary>
    /// <exception cref="EntryException">No such plan.</exception>
    public string Text(string? name) =>
        name is null || name == PlanLibrary.Default.Name
            ? PlanLibrary.DefaultJson
            : Plans().FirstOrDefault(p => p.Name == name)?.Json
                ?? throw new EntryException(
                    $"the book has no plan \"{name}\"; it has {string.Join(", ", Plans().Select(p => $"\"{p.Name}\"").Append($"\"{PlanLibrary.Default.Name}\""))}"
                );

    /// <summary>Keeps a plan's text; a plan of the same name is superseded, and jobs laid out by it stay as they are.</summary>
    public PlanText Keep(string json)
    {
        var parsed = PlanFile.Parse(json);
        var plan = parsed.Value ?? throw new EntryException($"the plan cannot be used: {parsed.Problems[0]}");
        // Two of one name could not be told apart.
        if (plan.Name == PlanLibrary.Default.Name)
            throw new EntryException($"\"{plan.Name}\" is the program's own plan: give yours another name in the file");
        return book.Work(w =>
        {
            var entry = new PlanText { Name = plan.Name, Json = json };
            return w.Standing<PlanText>().LastOrDefault(p => p.Name == plan.Name) is { } old ? w.Correct(old.Id, entry) : w.Add(entry);
        });
    }

    /// <summary>Copies a plan under another name.</summary>
    public PlanText Copy(string? name, string newName)
    {
        var plan = PlanFile.Parse(Text(name)).Value!;
        if (newName == plan.Name || newName == PlanLibrary.Default.Name || Plans().Any(p => p.Name == newName))
            throw new EntryException($"there is a plan \"{newName}\" already");
        return Keep(PlanFile.ToJson(plan with { Name = newName }));
    }

    private TaskMark Mark(Guid jobId, string task, TaskState state, string? remark) => book.Work(w =>
        w.Add(new TaskMark { JobId = jobId, TaskKey = Board(w, jobId).Find(task).Task.Key, State = state, Remark = remark }));

    private static PlanBoard Board(BookWork w, Guid jobId) =>
        PlanBoard.Of(w.Standing<JobTask>(jobId), w.Standing<TaskMark>(jobId), w.Standing<ClockEntry>(jobId), w.Now);

    private static ClockEntry Start(BookWork w, Guid jobId, PlanBoard board, string named, TimeZoneInfo zone, string? anyway, bool beside)
    {
        var task = board.Find(named);
        if (task.Running is { } running)
            throw new EntryException($"the clock of {task.Task.Key} has been running since {When(running, zone)}");
        // First, and whatever is said: a reason for another order of tasks is none for erasing a test tape.
        if (task.Task.Stage == Stage.Record && w.Standing<LoadedTape>(jobId) is [.., var loaded]
            && CheckBoard.RecordWarning(loaded) is { } warning)
            throw new EntryException(warning);
        PlanBoard.MayBegin(task, anyway);
        // One person works at one thing: a clock that was forgotten would count every hour twice.
        if (!beside && board.Tasks.FirstOrDefault(t => t.Running is not null) is { } other)
            throw new EntryException(
                $"the clock of {other.Task.Key} has been running in this job since {When(other.Running!, zone)}: stop it first, or say that a second person works (--beside)"
            );
        var now = w.Now;
        return w.Add(new ClockEntry
        {
            JobId = jobId,
            TaskKey = task.Task.Key,
            Day = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(now, zone).DateTime),
            Started = now,
            Remark = anyway,
        });
    }

    private static ClockEntry Stop(BookWork w, ClockEntry running, DateTimeOffset now) =>
        w.Correct(running.Id, running with { Ended = now });

    private static string When(ClockEntry running, TimeZoneInfo zone) =>
        TimeZoneInfo.ConvertTime(running.Started!.Value, zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    // Hours that were forgotten are still written down afterwards; a clock is work that goes on.
    private void MustBeOpen(Guid jobId, TimeZoneInfo zone)
    {
        if (book.JobHead(jobId).Job.Closed is { } closed)
            throw new EntryException(
                $"the job was closed on {TimeZoneInfo.ConvertTime(closed, zone):yyyy-MM-dd}, so no clock starts in it: open a new job on the deck, take the closing back (spoolwright book history), or write forgotten hours down (spoolwright clock add)"
            );
    }

    private DateOnly OpenedOn(Guid jobId, TimeZoneInfo zone) =>
        DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(book.JobHead(jobId).Job.Opened, zone).DateTime);

    // A typing mistake in the hours or the day shows in what no day and no job can hold.
    private static ClockEntry Possible(BookWork w, ClockEntry? old, ClockEntry entry, DateOnly opened)
    {
        if (entry.Day < opened)
            throw new EntryException($"{entry.Day:yyyy-MM-dd} lies before the job was opened ({opened:yyyy-MM-dd})");
        var others = w.Standing<ClockEntry>(entry.JobId).Where(c => c.Day == entry.Day && c.Id != old?.Id && !c.Runs);
        var day = TimeSpan.FromTicks(others.Sum(c => c.Length(w.Now).Ticks));
        return day + entry.Length(w.Now) <= ClockEntry.LongestSitting ? entry : throw new EntryException(
            $"{entry.Day:yyyy-MM-dd} has {TypedTime.Words(day)} already, and with {TypedTime.Words(entry.Length(w.Now))} more that day would have over 24 hours");
    }

    private static ClockEntry Typed(ClockEntry entry, string typed, DateTimeOffset now, TimeZoneInfo zone)
    {
        var time = TypedTime.Parse(typed, now, zone);
        return entry with
        {
            Day = time.Day,
            Started = time.Started?.ToUniversalTime(),
            Ended = time.Ended?.ToUniversalTime(),
            Seconds = time.Started is null ? (int)Math.Round(time.Length.TotalSeconds) : null
        };
    }
}
