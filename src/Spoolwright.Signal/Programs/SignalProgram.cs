using Spoolwright.Signal.Markers;

namespace Spoolwright.Signal.Programs;

/// <summary>Sides of a program that carry a sound.</summary>
[Flags]
public enum Sides
{
    /// <summary>Neither.</summary>
    None = 0,

    /// <summary>The left side.</summary>
    Left = 1,

    /// <summary>The right side.</summary>
    Right = 2,

    /// <summary>Both, alike.</summary>
    Both = Left | Right,
}

/// <summary>One tone of a step.</summary>
/// <param name="FrequencyHz">Its frequency, Hz.</param>
/// <param name="LevelDb">Level against the deck's reference level, dB.</param>
/// <param name="Sides">Where it stands.</param>
public readonly record struct ProgramTone(double FrequencyHz, double LevelDb, Sides Sides = Sides.Both);

/// <summary>One step: tones that stand together for a time; none: silence.</summary>
/// <param name="StartSeconds">From the start of the program's first marker, s.</param>
/// <param name="Seconds">Length with its edges, s.</param>
/// <param name="Tones">What stands.</param>
/// <param name="IsReference">Whether the other steps are held against it.</param>
public sealed record ProgramStep(double StartSeconds, double Seconds, IReadOnlyList<ProgramTone> Tones, bool IsReference = false);

/// <summary>
/// A sound to record on the deck: a marker, steps, and a marker again. Number and variant say all of it (but for the length of a steady
/// one), so the marker tells the measuring side what was sent.
/// </summary>
public sealed record SignalProgram
{
    /// <summary>Rise and fall of every step, within it, s: a raised cosine.</summary>
    public const double EdgeSeconds = 0.02;

    /// <summary>Silence before and after each marker, s.</summary>
    public const double PauseSeconds = 0.5;

    /// <summary>Level of the markers against the reference level, dB.</summary>
    public const double MarkerLevelDb = -10;

    /// <summary>Added to the variant in the marker at the end.</summary>
    public const int EndVariant = 4;

    /// <summary>Its name on the command line.</summary>
    public required string Name { get; init; }

    /// <summary>Its number in the marker.</summary>
    public required int Number { get; init; }

    /// <summary>Its variant in the marker, 0 to 3.</summary>
    public required int Variant { get; init; }

    /// <summary>What it is for.</summary>
    public required string Purpose { get; init; }

    /// <summary>Steps in their order.</summary>
    public required IReadOnlyList<ProgramStep> Steps { get; init; }

    /// <summary>Start of the end marker after that of the first, s.</summary>
    public double EndMarkerSeconds => Steps[^1].StartSeconds + Steps[^1].Seconds + PauseSeconds;

    /// <summary>Length of the file from its first sample, s.</summary>
    public double Seconds => PauseSeconds + EndMarkerSeconds + MarkerSweep.MarkerSeconds + PauseSeconds;

    /// <summary>Steps one after another, each with silence of <paramref name="gap"/> s behind it.</summary>
    public static IReadOnlyList<ProgramStep> InARow(IEnumerable<(double Seconds, bool IsReference, ProgramTone[] Tones)> steps, double gap)
    {
        ArgumentNullException.ThrowIfNull(steps);
        var at = MarkerSweep.MarkerSeconds + PauseSeconds;
        var row = new List<ProgramStep>();
        foreach (var (seconds, isReference, tones) in steps)
        {
            row.Add(new ProgramStep(at, seconds, tones, isReference));
            at += seconds + gap;
        }

        return row;
    }
}
