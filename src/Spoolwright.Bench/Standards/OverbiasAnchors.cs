using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Standards;

/// <summary>A drop past the bias peak that somebody published for a speed, with the gap it holds for.</summary>
/// <param name="SpeedCmPerS">Tape speed, cm/s.</param>
/// <param name="FrequencyHz">Tone it is read at, Hz.</param>
/// <param name="DropDb">Drop past the peak, dB.</param>
/// <param name="For">Gap and equalization it holds for.</param>
/// <param name="Source">The document and how far it was seen.</param>
/// <param name="IsDoubtful">Whether the copy seen leaves the figure in doubt.</param>
public sealed record OverbiasAnchor(
    double SpeedCmPerS,
    double FrequencyHz,
    double DropDb,
    string For,
    Citation Source,
    bool IsDoubtful = false
);

/// <summary>
/// Wanted drops past the bias peak. A deck's own gap moves them by decibels (a longer gap wants more), so they are shown beside a reading
/// and never used in its place: the figure for the tape and deck at hand comes from the profile or the person.
/// </summary>
public static class OverbiasAnchors
{
    /// <summary>The figures.</summary>
    public static IReadOnlyList<OverbiasAnchor> All { get; } =
    [
        new(38.1, 10_000, 3, "a record gap of 12.7 µm", new("TAPE-HANDBOOK", Basis.Published)),
        new(19.05, 10_000, 4, "a record gap of 7 µm", new("TAPE-SHEET-2006", Basis.Published)),
        new(9.53, 10_000, 4.5, "a record gap of 7 µm", new("TAPE-SHEET-2006", Basis.Published), IsDoubtful: true), // its columns cannot be told apart for sure
        new(19.05, 6_300, 2.5, "no gap named; 2 to 3 dB", new("TAPE-PRACTICE", Basis.Memory)),
        new(9.53, 6_300, 4, "no gap named; 3 to 5 dB", new("TAPE-PRACTICE", Basis.Memory)),
    ];

    /// <summary>The figure for a speed and tone, or null.</summary>
    public static OverbiasAnchor? Find(double speedCmPerS, double frequencyHz) =>
        All.FirstOrDefault(a => TapeSpeed.Same(a.SpeedCmPerS, speedCmPerS) && Math.Abs((a.FrequencyHz / frequencyHz) - 1) < 0.03);
}
