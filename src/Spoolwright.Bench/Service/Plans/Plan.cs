using Spoolwright.Bench.Decks;

namespace Spoolwright.Bench.Service.Plans;

/// <summary>A task as a plan foresees it.</summary>
/// <param name="Stage">Its stage.</param>
/// <param name="Key">Short name within the plan.</param>
/// <param name="Title">What to do, in a line.</param>
/// <param name="Why">Why it is done, and why here.</param>
/// <param name="Minutes">Working time foreseen, 0 or more.</param>
/// <param name="Before">Keys of tasks that must be done before.</param>
/// <param name="Cautions">Words of <see cref="Plans.Cautions"/>.</param>
/// <param name="Caution">A caution in the plan's own words; null: none.</param>
/// <param name="Only">A feature of the deck without which it is left out; null: always there.</param>
public sealed record PlanTask(
    Stage Stage, string Key, string Title, string Why, int Minutes, IReadOnlyList<string> Before, IReadOnlyList<string> Cautions,
        string? Caution, string? Only);

/// <summary>A plan: tasks in the order of the trade.</summary>
/// <param name="Name">What its owner calls it.</param>
/// <param name="For">What it is for, in a line; null: not said.</param>
/// <param name="Tasks">The tasks, stages in the order of the trade.</param>
public sealed record Plan(string Name, string? For, IReadOnlyList<PlanTask> Tasks)
{
    /// <summary>Tasks for a job on a deck of a profile: those for features it lacks are left out, and nobody waits for them.</summary>
    public IReadOnlyList<JobTask> LayOut(Guid jobId, DeckProfile profile)
    {
        var kept = Tasks.Where(t => t.Only is null || DeckFeature.Has(profile, t.Only)).ToList();
        var keys = kept.Select(t => t.Key).ToHashSet(StringComparer.Ordinal);
        return [.. kept.Select((t, i) => new JobTask
        {
            JobId = jobId,
            Stage = t.Stage,
            Key = t.Key,
            Ordinal = i,
            Title = t.Title,
            Why = t.Why,
            Cautions = t.Cautions,
            Caution = t.Caution,
            Before = [.. t.Before.Where(keys.Contains)],
            MinutesForeseen = t.Minutes,
        })];
    }
}
