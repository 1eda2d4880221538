namespace Spoolwright.Bench.Service.Plans;

/// <summary>
/// One sitting at a task: running (started, not ended), from one time to another, or so many minutes of a day. A correction supersedes
/// it, and the old entry stays.
/// </summary>
public sealed record ClockEntry : BookEntry
{
    public required Guid JobId { get; init; }

    public required string TaskKey { get; init; }

    /// <summary>The day by the shop's calendar on which it began.</summary>
    public required DateOnly Day { get; init; }

    /// <summary>When it began; null: only the length is known.</summary>
    public DateTimeOffset? Started { get; init; }

    /// <summary>When it ended; null: it is running, or only the length is known.</summary>
    public DateTimeOffset? Ended { get; init; }

    /// <summary>Length in seconds where only that is known.</summary>
    public int? Seconds { get; init; }

    public string? Remark { get; init; }

    /// <summary>Whether the clock is running.</summary>
    public bool Runs => Started is not null && Ended is null;

    /// <summary>How long it took, or has taken by <paramref name="now"/>.</summary>
    public TimeSpan Length(DateTimeOffset now) => Started is { } from ? (Ended ?? now) - from : TimeSpan.FromSeconds(Seconds ?? 0);

    public override void Check()
    {
        Need(TaskKey, "the task's key", 60);
        Hold(Started is null != (Seconds is null), "a sitting has either a beginning or a length");
        Hold(Ended is null || Started is not null, "a sitting that ended needs a beginning");
        Hold(Ended is not { } end || end >= Started,
            $"the sitting ends before it begins ({Started:yyyy-MM-dd HH:mm} to {Ended:yyyy-MM-dd HH:mm})");
        Hold(Ended is not { } late || late - Started <= LongestSitting,
            "a sitting longer than 24 hours is a clock that was forgotten; give its times");
        Hold(Seconds is null or (> 0 and <= 86_400), $"a sitting of {Seconds} seconds makes no sense; expected up to 24 hours");
        AtMost(Remark, "the remark");
    }

    /// <summary>The longest sitting that is believed.</summary>
    public static readonly TimeSpan LongestSitting = TimeSpan.FromHours(24);
}
