using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// One measurement as everything else knows it: the command, the page, the stored kind and the record's section are named by
/// <see cref="Id"/>.
/// </summary>
/// <param name="Id">Kebab-case, stable.</param>
/// <param name="Name">Plain name for a person.</param>
/// <param name="Description">One line on what it finds.</param>
/// <param name="WhatToPlay">What to put on the tape or play, and how to capture it.</param>
/// <param name="Yields">The quantities it reads, in the order they are shown.</param>
/// <param name="Standard">What the method follows, by key.</param>
/// <param name="Measure">The method: sound, what is known beside it, and where to say how far it is (0 to 1); null while it has
/// none.</param>
public sealed record MeasurementEntry(
    string Id,
    string Name,
    string Description,
    string WhatToPlay,
    IReadOnlyList<Quantity> Yields,
    string Standard,
    Func<SoundSource, MeasurementSettings, IProgress<double>?, MeasurementResult>? Measure)
{
    /// <summary>For what is read from a gauge or stopwatch and typed in: the method over the sheet of readings; null: it is measured from
    /// sound.</summary>
    public Func<Typed.BenchSheet, Typed.SheetSettings, MeasurementResult>? MeasureSheet { get; init; }

    /// <summary>What can be said beside the capture that bears on the figures.</summary>
    public SettingKinds Takes { get; init; }

    /// <summary>What has to be said beside the capture, else it cannot be measured.</summary>
    public SettingKinds Needs { get; init; }
}
