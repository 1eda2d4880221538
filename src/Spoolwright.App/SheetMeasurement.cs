using System.Security.Cryptography;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Measurements.Typed;
using Spoolwright.Signal;

namespace Spoolwright.App;

/// <summary>The one way from typed readings to readings with uncertainty and verdicts, for commands and pages alike.</summary>
public static class SheetMeasurement
{
    /// <summary>Measures and judges one sheet.</summary>
    /// <param name="entry">What to measure; an entry that is typed in.</param>
    /// <param name="path">The sheet's file as the person gave it; null: the reading was typed in the call.</param>
    /// <param name="bytes">The file's bytes, for its hash; empty without a file.</param>
    /// <param name="sheet">What it says.</param>
    /// <param name="settings">What is known beside it.</param>
    /// <param name="limits">Limits; those of quantities the entry does not read are passed over.</param>
    /// <exception cref="ArgumentException">The entry is measured from sound.</exception>
    /// <exception cref="CannotMeasureException">A reading cannot be used; the message says which and why.</exception>
    public static MeasuredFile Run(
        MeasurementEntry entry,
        string? path,
        ReadOnlySpan<byte> bytes,
        BenchSheet sheet,
        SheetSettings settings,
        IReadOnlyList<Limit> limits
    )
    {
        ArgumentNullException.ThrowIfNull(entry);
        ArgumentNullException.ThrowIfNull(settings);
        var measure = entry.MeasureSheet ?? throw new ArgumentException($"{entry.Id} is measured from sound, not typed in", nameof(entry));
        var result = measure(sheet, settings);
        var capture = new Capture(path ?? "", path is null ? "" : Convert.ToHexStringLower(SHA256.HashData(bytes)), null, null, null);
        var read = entry.Yields.Select(q => q.Id).ToHashSet(StringComparer.Ordinal);
        var judged = SheetJudge.Readings(
            result.Readings,
            [.. limits.Where(l => read.Contains(l.Quantity))],
            settings.Direction,
            settings.SpeedCmPerS,
            settings.TapeSetting
        );
        return new MeasuredFile(capture, result, judged);
    }
}
