namespace Spoolwright.Bench.Service.Plans;

/// <summary>A task with how it stands.</summary>
/// <param name="Task">The task.</param>
/// <param name="State">Open, done or left out.</param>
/// <param name="Remark">What was said when it was done or left out.</param>
/// <param name="WaitsFor">Tasks that must be done before and are open.</param>
/// <param name="Spent">Time taken so far.</param>
/// <param name="Running">The sitting that runs now; null: none.</param>
public sealed record TaskOnBoard(JobTask Task, TaskState State, string? Remark, IReadOnlyList<JobTask> WaitsFor, TimeSpan Spent,
    ClockEntry? Running)
{
    public TimeSpan Foreseen => TimeSpan.FromMinutes(Task.MinutesForeseen);
}

/// <summary>A job's plan with how every task stands.</summary>
/// <param name="Tasks">In the plan's order.</param>
public sealed record PlanBoard(IReadOnlyList<TaskOnBoard> Tasks)
{
    public TimeSpan Foreseen => Sum(Tasks.Where(t => t.State != TaskState.Skipped), t => t.Foreseen);

    public TimeSpan Spent => Sum(Tasks, t => t.Spent);

    /// <summary>The first open task that waits for nothing; null: none.</summary>
    public TaskOnBoard? Next => Tasks.FirstOrDefault(t => t.State == TaskState.Open && t.WaitsFor.Count == 0);

    /// <summary>Lays the board out.</summary>
    /// <param name="tasks">The job's tasks that stand.</param>
    /// <param name="marks">Every mark that stands, oldest first.</param>
    /// <param name="clock">Every sitting that stands.</param>
    /// <param name="now">The time now.</param>
    public static PlanBoard Of(IReadOnlyList<JobTask> tasks, IReadOnlyList<TaskMark> marks, IReadOnlyList<ClockEntry> clock,
        DateTimeOffset now)
    {
        ArgumentNullException.ThrowIfNull(tasks);
        var latest = marks.GroupBy(m => m.TaskKey).ToDictionary(g => g.Key, g => g.Last());
        var sittings = clock.ToLookup(c => c.TaskKey);
        var open = tasks.Where(t => State(t) == TaskState.Open).ToDictionary(t => t.Key);
        return new PlanBoard([.. tasks.OrderBy(t => t.Ordinal).ThenBy(t => t.Entered).Select(t => new TaskOnBoard(
            t, State(t), latest.GetValueOrDefault(t.Key)?.Remark,
            [.. t.Before.Where(open.ContainsKey).Select(b => open[b])],
            Sum(sittings[t.Key], c => c.Length(now)),
            sittings[t.Key].FirstOrDefault(c => c.Runs)))]);

        TaskState State(JobTask task) => latest.GetValueOrDefault(task.Key)?.State ?? TaskState.Open;
    }

    /// <summary>A task's title for people; the key itself where the plan has no such task any more.</summary>
    public string TitleOf(string key) => Tasks.FirstOrDefault(t => t.Task.Key == key)?.Task.Title ?? key;

    /// <summary>The task of a key, or of the only one that begins so.</summary>
    /// <exception cref="EntryException">None, or several.</exception>
    public TaskOnBoard Find(string key)
    {
        ArgumentNullException.ThrowIfNull(key);
        var plain = key.Trim().ToLowerInvariant();
        if (Tasks.FirstOrDefault(t => t.Task.Key == plain) is { } exact)
            return exact;
        var near = Tasks.Where(t => t.Task.Key.StartsWith(plain, StringComparison.Ordinal)).ToList();
        return near.Count switch
        {
            1 => near[0],
            0 when Tasks.Count == 0 => throw new EntryException("the job has no plan yet; lay one out first"),
            0 => throw new EntryException($"no task is called {key}{Files.NearestWord.Question(plain, Tasks.Select(t => t.Task.Key))}"),
            _ => throw new EntryException($"several tasks begin with {key}: {string.Join(", ", near.Select(t => t.Task.Key))}"),
        };
    }

    /// <summary>Refuses a task that others must be done before, unless somebody says why it is begun all the same.</summary>
    /// <exception cref="EntryException">It waits, and nobody said why not to.</exception>
    public static void MayBegin(TaskOnBoard task, string? anyway)
    {
        ArgumentNullException.ThrowIfNull(task);
        if (task.WaitsFor.Count > 0 && string.IsNullOrWhiteSpace(anyway))
            throw new EntryException(
                $"{task.Task.Key} waits for {string.Join(", ", task.WaitsFor.Select(w => w.Key))}; do that first, or say why it is begun all the same"
            );
    }

    private static TimeSpan Sum<T>(IEnumerable<T> items, Func<T, TimeSpan> length) => new(items.Sum(i => length(i).Ticks));
}
