using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.Bench.Service.Field;

/// <summary>One task of one job with the time it took.</summary>
/// <param name="Key">The task's key.</param>
/// <param name="Title">Its title.</param>
/// <param name="Stage">Its stage.</param>
/// <param name="Ordinal">Its place in the plan.</param>
/// <param name="MinutesForeseen">Working time foreseen.</param>
/// <param name="State">Open, done or left out.</param>
/// <param name="Spent">Sittings that have ended, together.</param>
public sealed record TaskTime(string Key, string Title, Stage Stage, int Ordinal, int MinutesForeseen, TaskState State, TimeSpan Spent)
{
    /// <summary>The tasks of a board in the plan's order; a sitting that runs still is left out.</summary>
    /// <param name="tasks">The job's tasks that stand.</param>
    /// <param name="marks">Every mark that stands, oldest first.</param>
    /// <param name="clock">Every sitting that stands.</param>
    public static IReadOnlyList<TaskTime> Of(
        IReadOnlyList<JobTask> tasks,
        IReadOnlyList<TaskMark> marks,
        IReadOnlyList<ClockEntry> clock
    ) => Of(PlanBoard.Of(tasks, marks, [.. clock.Where(c => !c.Runs)], default));

    /// <summary>The tasks of a board on which no clock is running.</summary>
    public static IReadOnlyList<TaskTime> Of(PlanBoard board)
    {
        ArgumentNullException.ThrowIfNull(board);
        return
        [
            .. board.Tasks.Select(t => new TaskTime(
                t.Task.Key,
                t.Task.Title,
                t.Task.Stage,
                t.Task.Ordinal,
                t.Task.MinutesForeseen,
                t.State,
                t.Spent
            )),
        ];
    }
}
