namespace Spoolwright.Bench.Measurements;

/// <summary>Third harmonic at one level.</summary>
/// <param name="LevelDb">The level, dB.</param>
/// <param name="Ratio">Third harmonic as a ratio to the total.</param>
/// <param name="Noise">What noise leaves uncertain of it, k = 2, as a ratio.</param>
/// <param name="Moved">Variance of the level within the point, dB².</param>
/// <param name="Seconds">Its middle in the capture, s.</param>
/// <param name="Length">How long it is, s.</param>
internal readonly record struct ThirdHarmonicPoint(
    double LevelDb,
    double Ratio,
    double Noise,
    double Moved,
    double Seconds,
    double Length
);
