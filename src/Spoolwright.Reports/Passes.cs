using Spoolwright.Bench;

namespace Spoolwright.Reports;

/// <summary>Which two passes of a condition stand beside each other.</summary>
internal static class Passes
{
    /// <summary>As found; where the deck could not run as found, the first run after cleaning.</summary>
    public static RecordedPass? Before(RecordedCondition condition) =>
        condition.Pass(Mark.AsFound) is { Measurements.Count: > 0 } found ? found : condition.Pass(Mark.FirstRun)
            ?? condition.Pass(Mark.AsFound);

    /// <summary>As left, or null where the job has not come so far.</summary>
    public static RecordedPass? After(RecordedCondition condition) => condition.Pass(Mark.AsLeft);
}
