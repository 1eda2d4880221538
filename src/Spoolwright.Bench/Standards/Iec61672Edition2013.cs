using System.Numerics;
using Spoolwright.Signal.Filters;

namespace Spoolwright.Bench.Standards;

/// <summary>
/// A-weighting of [IEC61672-1:2013]. The frequencies of its poles were seen in test suites that quote the document; the class 1 limits are
/// from memory, but for 1 kHz, so no conformity is claimed by them.
/// </summary>
public static class Iec61672Edition2013
{
    /// <summary>Where the weighting is 0 dB, Hz.</summary>
    public const double ReferenceHz = 1000;

    private const double F1 = 20.598997, F2 = 107.65265, F3 = 737.86223, F4 = 12194.217;

    /// <summary>Table of the weighting at exact base-ten frequencies 1000·10^(n/10) Hz: rows by nominal frequency, with the class 1 limits
    /// [memory].</summary>
    public static IReadOnlyList<WeightingRow> Weighting { get; } =
    [
        new(25, -44.7, 2, 1.5),
        new(31.5, -39.4, 1.5, 1.5),
        new(40, -34.6, 1, 1),
        new(50, -30.2, 1, 1),
        new(63, -26.2, 1, 1),
        new(80, -22.5, 1, 1),
        new(100, -19.1, 1, 1),
        new(125, -16.1, 1, 1),
        new(160, -13.4, 1, 1),
        new(200, -10.9, 1, 1),
        new(250, -8.6, 1, 1),
        new(315, -6.6, 1, 1),
        new(400, -4.8, 1, 1),
        new(500, -3.2, 1, 1),
        new(630, -1.9, 1, 1),
        new(800, -0.8, 1, 1),
        new(1000, 0, 0.7, 0.7),
        new(1250, 0.6, 1, 1),
        new(1600, 1, 1, 1),
        new(2000, 1.2, 1, 1),
        new(2500, 1.3, 1, 1),
        new(3150, 1.2, 1, 1),
        new(4000, 1, 1, 1),
        new(5000, 0.5, 1.5, 1.5),
        new(6300, -0.1, 1.5, 2),
        new(8000, -1.1, 1.5, 2.5),
        new(10000, -2.5, 2, 3),
        new(12500, -4.3, 2, 5),
        new(16000, -6.6, 2.5, 16),
        new(20000, -9.3, 3, 1000),
    ];

    /// <summary>The weighting as a filter, 0 dB at 1 kHz: four zeros at 0, double poles at F1 and F4, single ones at F2 and F3.</summary>
    public static AnalogueFilter WeightingFilter { get; } =
        new AnalogueFilter(
            [Complex.Zero, Complex.Zero, Complex.Zero, Complex.Zero],
            [.. new[] { F1, F1, F2, F3, F4, F4 }.Select(f => new Complex(-2 * Math.PI * f, 0))],
            1
        ).Normalised(ReferenceHz);
}
