namespace Spoolwright.Bench.Limits;

/// <summary>What a reading says of a limit, its uncertainty weighed.</summary>
public enum Verdict
{
    /// <summary>The value with all of its uncertainty keeps to the limit.</summary>
    Met,

    /// <summary>The limit lies within the uncertainty, or the uncertainty is not known.</summary>
    NotProven,

    /// <summary>The value with all of its uncertainty lies beyond the limit.</summary>
    NotMet,

    /// <summary>There is no reading that may be judged. Says nothing about the deck.</summary>
    NotMeasured,
}

/// <summary>A reading (or its absence) held against one limit.</summary>
/// <param name="Limit">The limit.</param>
/// <param name="Reading">The reading, or null where none was had.</param>
/// <param name="Verdict">What it says.</param>
/// <param name="Margin">
/// Distance from the value to the nearest limit, in the reading's unit, positive inside; null where there is no reading.
/// </param>
/// <param name="Reason">For <see cref="Verdict.NotMeasured"/> and <see cref="Verdict.NotProven"/>: why.</param>
public sealed record Judgement(Limit Limit, Reading? Reading, Verdict Verdict, double? Margin, string? Reason = null);
