using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Standards;

/// <summary>How this program reads noise: weightings and detector by their editions, and the unweighted band of [IEC60268-1]
/// [memory].</summary>
public static class NoisePractice
{
    /// <summary>Lower end of the unweighted band, Hz.</summary>
    public const double LowestHz = 22.4;

    /// <summary>Upper end of the unweighted band, Hz.</summary>
    public const double HighestHz = 22400;

    /// <summary>The settings of the noise meter.</summary>
    public static NoiseSettings Settings { get; } =
        new(
            Iec61672Edition2013.WeightingFilter,
            Bs468Edition4.WeightingFilter,
            Bs468Edition4.Detector,
            Iec61672Edition2013.ReferenceHz,
            LowestHz,
            HighestHz
        );
}
