using Spoolwright.Bench.Service;

namespace Spoolwright.Bench.Causes;

/// <summary>The readings of a job that causes are weighed by.</summary>
public static class JobReadings
{
    /// <summary>Readings of one mark that no later ones took the place of.</summary>
    public static IReadOnlyList<MeasuredUnder> Of(JobFile file, Mark mark)
    {
        ArgumentNullException.ThrowIfNull(file);
        return [.. Standing(file, mark)];
    }

    /// <summary>The deck as it came: readings as found, and those of the first run after cleaning where nothing could be read
    /// before.</summary>
    public static IReadOnlyList<MeasuredUnder> AsItCame(JobFile file)
    {
        ArgumentNullException.ThrowIfNull(file);
        // Of two of one measurement and condition the later in the list is weighed.
        return [.. Standing(file, Mark.FirstRun), .. Standing(file, Mark.AsFound)];
    }

    private static IEnumerable<MeasuredUnder> Standing(JobFile file, Mark mark) => file.Measurements
        .Where(m => m.SupersededBy is null && m.Entry.Mark == mark)
        .Select(m => new MeasuredUnder(m.Entry.Measurement, m.Entry.Condition, m.Result.Readings));
}
