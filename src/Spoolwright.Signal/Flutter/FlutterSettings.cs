using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Flutter;

/// <summary>The numbers a flutter measurement rests on. The standards' editions supply them; the meter knows no document by name.</summary>
public sealed record FlutterSettings
{
    /// <summary>Weighting of the deviation over its frequency, unity at its reference frequency.</summary>
    public required AnalogueFilter Weighting { get; init; }

    /// <summary>Frequency at which <see cref="Weighting"/> is unity, Hz.</summary>
    public required double WeightingReferenceHz { get; init; }

    /// <summary>Time constants of the quasi-peak detector.</summary>
    public required QuasiPeakConstants QuasiPeak { get; init; }

    /// <summary>Time the quasi-peak detector settles before its indication counts, s.</summary>
    public required double QuasiPeakSettlingSeconds { get; init; }

    /// <summary>Share of the time below the quasi-peak and below the two-sigma figure, 0.95.</summary>
    public required double Quantile { get; init; }

    /// <summary>Lower edge of the unweighted and of the wow band, −3 dB, Hz.</summary>
    public required double LowestHz { get; init; }

    /// <summary>Edge between wow and flutter, −3 dB, Hz.</summary>
    public required double WowFlutterHz { get; init; }

    /// <summary>Where the flutter bands stop: flat up to here, 80 dB down a fifth above it, Hz.</summary>
    public required double HighestHz { get; init; }

    /// <summary>Nominal frequency of the tone; null: the nearest of <see cref="Nominals"/>.</summary>
    public double? NominalHz { get; init; }

    /// <summary>Nominal frequencies tried when none is given.</summary>
    public required IReadOnlyList<double> Nominals { get; init; }

    /// <summary>How far from a nominal the tone may lie when none is given, as a fraction.</summary>
    public required double FoundWithin { get; init; }

    /// <summary>How far from a given nominal the tone may lie, as a fraction.</summary>
    public required double GivenWithin { get; init; }
}
