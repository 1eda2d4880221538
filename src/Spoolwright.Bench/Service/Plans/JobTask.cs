namespace Spoolwright.Bench.Service.Plans;

/// <summary>A task of one job, laid out from a plan; it stays as it was when the plan changes later.</summary>
public sealed record JobTask : BookEntry
{
    /// <summary>Key of the task that has the finished deck tested for electrical safety: while a plan has it open, nothing is
    /// signed.</summary>
    public const string SafetyTest = "safety-test";

    public required Guid JobId { get; init; }

    public required Stage Stage { get; init; }

    /// <summary>Short name within the job, such as <c>clean-path</c>.</summary>
    public required string Key { get; init; }

    /// <summary>Place in the plan, from 0.</summary>
    public required int Ordinal { get; init; }

    public required string Title { get; init; }

    public required string Why { get; init; }

    /// <summary>Where it can hurt.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>A caution in the plan's own words; null: none.</summary>
    public string? Caution { get; init; }

    /// <summary>Keys of the tasks that must be done before.</summary>
    public IReadOnlyList<string> Before { get; init; } = [];

    /// <summary>Working time foreseen, whole minutes; 0: none, such as waiting.</summary>
    public required int MinutesForeseen { get; init; }

    public override void Check()
    {
        Need(Key, "the task's key", 60);
        Need(Title, "the task's title");
        Hold(MinutesForeseen is >= 0 and <= 60_000, $"{MinutesForeseen} minutes foreseen for {Key} make no sense; expected 0 to 60000");
    }
}

/// <summary>Where a task stands.</summary>
public enum TaskState
{
    Open,

    Done,

    /// <summary>Left out, with a reason.</summary>
    Skipped,
}

/// <summary>That a task was done, left out, or opened again. The latest counts.</summary>
public sealed record TaskMark : BookEntry
{
    public required Guid JobId { get; init; }

    public required string TaskKey { get; init; }

    public required TaskState State { get; init; }

    public string? Remark { get; init; }

    public override void Check()
    {
        Need(TaskKey, "the task's key", 60);
        Hold(State != TaskState.Skipped || !string.IsNullOrWhiteSpace(Remark), $"say why {TaskKey} is left out");
        AtMost(Remark, "the remark");
    }
}

/// <summary>A plan kept in the book, as its file's text.</summary>
public sealed record PlanText : BookEntry
{
    public required string Name { get; init; }

    public required string Json { get; init; }

    public override void Check()
    {
        Need(Name, "the plan's name", 120);
        Need(Json, "the plan's text", 1 << 20);
    }
}
