using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Instruments;

/// <summary>What a gauge is held to, which decides how it is calibrated.</summary>
public enum GaugeKind
{
    /// <summary>Deflects running tape between its probes: calibrated with weights on tape of the kind that will run, whose stiffness
    /// enters.</summary>
    Tension,

    /// <summary>Pulls or pushes by a hook: calibrated with the weights themselves.</summary>
    Force,

    /// <summary>Turns a shaft or reel: calibrated with known torques.</summary>
    Torque,
}

/// <summary>One weight (or torque) of a calibration, and what the gauge showed.</summary>
/// <param name="Truth">What hung there, in the gauge's unit, at standard gravity.</param>
/// <param name="TruthUncertainty">Its expanded uncertainty (k = 2), same unit; null: not stated.</param>
/// <param name="Up">Readings approached from below, in divisions as the scale is marked (the gauge's unit).</param>
/// <param name="Down">Readings approached from above.</param>
public sealed record GaugePoint(double Truth, double? TruthUncertainty, IReadOnlyList<double> Up, IReadOnlyList<double> Down)
{
    /// <summary>Mean of both approaches, each weighed alike whatever its number of readings.</summary>
    public double Reading => Up.Count == 0 ? Down.Average() : Down.Count == 0 ? Up.Average() : (Up.Average() + Down.Average()) / 2;
}

/// <summary>A gauge as its owner calibrated it.</summary>
public sealed record Gauge
{
    public required string Name { get; init; }

    public required GaugeKind Kind { get; init; }

    /// <summary>The unit its scale is marked in.</summary>
    public required Unit Unit { get; init; }

    /// <summary>Where the scale ends, in <see cref="Unit"/>.</summary>
    public required double ScaleEnd { get; init; }

    /// <summary>The smallest step that is read from the scale, in <see cref="Unit"/>.</summary>
    public required double ReadTo { get; init; }

    /// <summary>For a tension gauge: the kind of tape the weights hung on.</summary>
    public string? Tape { get; init; }

    /// <summary>Local acceleration of free fall, m/s²; null: not known, anywhere on the ground.</summary>
    public double? LocalGravity { get; init; }

    /// <summary>When it was calibrated, as written; null: not stated.</summary>
    public string? Date { get; init; }

    /// <summary>The calibration, three points or more.</summary>
    public required IReadOnlyList<GaugePoint> Points { get; init; }
}
