using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Standards;

/// <summary>
/// Choices on which the published texts differ or are silent, as this program makes them; each stands in the method line of its readings.
/// </summary>
public static class FlutterPractice
{
    /// <summary>Lower edge of the unweighted and wow bands, Hz [memory: linear mode of IEC and DIN].</summary>
    public const double LowestHz = 0.2;

    /// <summary>Edge between wow and flutter, Hz [memory: IEC; others say 4 or 6 Hz].</summary>
    public const double WowFlutterHz = 10;

    /// <summary>Where the flutter bands stop, Hz.</summary>
    public const double HighestHz = 200;

    /// <summary>Settling of the quasi-peak detector before its indication counts, s.</summary>
    public const double SettlingSeconds = 5;

    /// <summary>How far a tone may lie from the two usual carriers when no nominal is given: 3000 and 3150 Hz cannot be told apart beyond
    /// it.</summary>
    public const double FoundWithin = 0.024;

    /// <summary>How far from a nominal that is given: a deck on the wrong mains frequency runs 16.7 % off.</summary>
    public const double GivenWithin = 0.26;

    /// <summary>
    /// Nominals tried when none is given: the two flutter carriers and the usual tones of test tapes. None lies nearer than 4.8 % to
    /// another.
    /// </summary>
    public static IReadOnlyList<double> Nominals { get; } =
    [315, 400, 500, 630, 700, 800, 1000, 1250, 1600, 2000, 2500, 3000, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000];

    /// <summary>The meter's settings.</summary>
    /// <param name="nominalHz">The tone's nominal frequency where given.</param>
    public static FlutterSettings Settings(double? nominalHz) => new()
    {
        Weighting = Iec60386Edition1988.WeightingFilter,
        WeightingReferenceHz = Iec60386Edition1988.ReferenceHz,
        QuasiPeak = Iec60386Edition1988.Detector,
        QuasiPeakSettlingSeconds = SettlingSeconds,
        Quantile = Aes6Edition2008.Quantile,
        LowestHz = LowestHz,
        WowFlutterHz = WowFlutterHz,
        HighestHz = HighestHz,
        NominalHz = nominalHz,
        Nominals = Nominals,
        FoundWithin = FoundWithin,
        GivenWithin = GivenWithin,
    };
}
