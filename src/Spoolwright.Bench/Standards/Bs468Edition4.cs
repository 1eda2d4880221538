using System.Numerics;
using Spoolwright.Signal.Filters;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Standards;

/// <summary>One row of the burst tests of the quasi-peak noise meter.</summary>
/// <param name="Value">Length of the single burst in ms, or bursts of 5 ms a second.</param>
/// <param name="Percent">Reading, % of the steady tone's.</param>
/// <param name="Low">Lowest allowed, %.</param>
/// <param name="High">Highest allowed, %.</param>
public sealed record BurstRow(double Value, double Percent, double Low, double High);

/// <summary>
/// Noise weighting and quasi-peak detector of [BS468-4]. Table and poles of the network were seen in test suites that quote it; the burst
/// tables are from memory, so the detector is said to follow the method, never to conform.
/// </summary>
public static class Bs468Edition4
{
    /// <summary>Where network and detector are calibrated, Hz.</summary>
    public const double ReferenceHz = 1000;

    /// <summary>Table 1: gain of the network and its limits.</summary>
    public static IReadOnlyList<WeightingRow> Weighting { get; } =
    [
        new(31.5, -29.9, 2, 2),
        new(63, -23.9, 1.4, 1.4),
        new(100, -19.8, 1, 1),
        new(200, -13.8, 0.85, 0.85),
        new(400, -7.8, 0.7, 0.7),
        new(800, -1.9, 0.55, 0.55),
        new(1000, 0, 0.5, 0.5),
        new(2000, 5.6, 0.5, 0.5),
        new(3150, 9, 0.5, 0.5),
        new(4000, 10.5, 0.5, 0.5),
        new(5000, 11.7, 0.5, 0.5),
        new(6300, 12.2, 0, 0),
        new(7100, 12, 0.2, 0.2),
        new(8000, 11.4, 0.4, 0.4),
        new(9000, 10.1, 0.6, 0.6),
        new(10000, 8.1, 0.8, 0.8),
        new(12500, 0, 1.2, 1.2),
        new(14000, -5.3, 1.4, 1.4),
        new(16000, -11.7, 1.6, 1.6),
        new(20000, -22.2, 2, 2),
        new(31500, -42.7, 2.8, 1000),
    ];

    /// <summary>Single bursts of 5 kHz [memory].</summary>
    public static IReadOnlyList<BurstRow> SingleBursts { get; } =
    [
        new(1, 17, 13.5, 21.4), new(2, 26.6, 22.4, 31.6), new(5, 40, 34, 46), new(10, 48, 41, 55), new(20, 52, 44, 60), new(50, 59, 50, 68),
        new(100, 68, 58, 78), new(200, 80, 68, 92),
    ];

    /// <summary>Bursts of 5 ms of 5 kHz, so many a second [memory].</summary>
    public static IReadOnlyList<BurstRow> RepeatedBursts { get; } = [new(2, 48, 43, 53), new(10, 77, 72, 82), new(100, 97, 94, 100)];

    /// <summary>The network, 0 dB at 1 kHz.</summary>
    public static AnalogueFilter WeightingFilter { get; } =
        new AnalogueFilter(
            [Complex.Zero],
            [
                new(-25903.701, 0),
                new(-23615.535, 36379.909),
                new(-23615.535, -36379.909),
                new(-18743.747, 62460.156),
                new(-18743.747, -62460.156),
                new(-62675.170, 0),
            ],
            1
        ).Normalised(ReferenceHz);

    /// <summary>
    /// Time constants found by fitting both burst tables through the network [computed]: every row within a fifth of its limits.
    /// </summary>
    public static PeakHoldConstants Detector { get; } = new(0.00143694, 0.28886347, 0.27890433, 0.28328484, ReferenceHz);
}
