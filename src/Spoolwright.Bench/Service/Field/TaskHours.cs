namespace Spoolwright.Bench.Service.Field;

/// <summary>One task over several jobs: hours foreseen against hours taken.</summary>
/// <param name="TaskKey">The task.</param>
/// <param name="Title">Its title.</param>
/// <param name="Stage">Its stage.</param>
/// <param name="Foreseen">Mean of the hours foreseen.</param>
/// <param name="Taken">Spread of the hours taken, over jobs in which it was done and timed.</param>
public sealed record TaskHours(string TaskKey, string Title, Plans.Stage Stage, double Foreseen, Spread? Taken)
{
    /// <summary>
    /// Hours by task over jobs, in the plan's order; a task without a sitting says nothing of the time it takes.
    /// </summary>
    /// <param name="jobs">Each job's tasks, oldest job first.</param>
    public static IReadOnlyList<TaskHours> Of(IEnumerable<IReadOnlyList<TaskTime>> jobs)
    {
        ArgumentNullException.ThrowIfNull(jobs);
        return [.. jobs.SelectMany(j => j).GroupBy(t => t.Key).Select(g =>
        {
            var taken = g.Where(t => t.State == Plans.TaskState.Done && t.Spent > TimeSpan.Zero).Select(t => t.Spent.TotalHours).ToArray();
            var first = g.First();
            return (first.Ordinal, Hours: new TaskHours(g.Key, first.Title, first.Stage, g.Average(t => t.MinutesForeseen / 60.0),
                taken.Length == 0 ? null : Spread.Of(taken)));
        }).OrderBy(t => t.Hours.Stage).ThenBy(t => t.Ordinal).Select(t => t.Hours)];
    }
}
