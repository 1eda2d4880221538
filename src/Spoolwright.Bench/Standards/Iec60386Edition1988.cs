using System.Numerics;
using Spoolwright.Signal.Filters;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Standards;

/// <summary>One row of the published weighting table: attenuation against 4 Hz and how far an instrument may stray.</summary>
/// <param name="Hz">Rate of the modulation, Hz.</param>
/// <param name="Db">Gain against 4 Hz, dB.</param>
/// <param name="PlusDb">Tolerance upwards, dB.</param>
/// <param name="MinusDb">Tolerance downwards, dB, as a positive number.</param>
public sealed record WeightingRow(double Hz, double Db, double PlusDb, double MinusDb);

/// <summary>One row of the published pulse test of the quasi-peak detector.</summary>
/// <param name="PulseMilliseconds">Length of the unidirectional speed pulse, one a second.</param>
/// <param name="Percent">Reading, % of the steady reading of a 4 Hz sine of the same peak-to-peak size.</param>
/// <param name="TolerancePercent">How far it may stray, points.</param>
public sealed record PulseRow(double PulseMilliseconds, double Percent, double TolerancePercent);

/// <summary>
/// Flutter weighting and quasi-peak detector of [IEC60386:1988] (as [IEC60386:1972], technically the same as [DIN45507] and [AES6:1982]).
/// The standard gives a table and a graph, no formula; the tables here are from memory, but for the 60 ms and the fall of the pulse test,
/// which were seen in [AES6:1982]. The readings are therefore never printed as conformity with the standard, only as following its method.
/// </summary>
public static class Iec60386Edition1988
{
    /// <summary>Rate at which the weighting is unity, Hz.</summary>
    public const double ReferenceHz = 4;

    /// <summary>Carrier, Hz; 3000 Hz is older practice.</summary>
    public const double CarrierHz = 3150;

    /// <summary>Weighting table [memory].</summary>
    public static IReadOnlyList<WeightingRow> Weighting { get; } =
    [
        new(0.1, -48.0, 10, 4), new(0.2, -30.6, 10, 4), new(0.315, -19.7, 4, 4), new(0.4, -15.0, 4, 4), new(0.63, -8.4, 2, 2),
        new(0.8, -6.0, 2, 2), new(1.6, -1.6, 2, 2), new(4.0, 0, 0, 0), new(6.3, -0.9, 2, 2), new(10, -2.1, 2, 2), new(20, -5.9, 2, 2),
        new(40, -10.4, 2, 2), new(63, -14.2, 4, 4), new(100, -17.3, 4, 4), new(200, -23.0, 4, 4),
    ];

    /// <summary>Pulse test of the quasi-peak detector [memory, the 60 ms value seen].</summary>
    public static IReadOnlyList<PulseRow> Pulses { get; } = [new(10, 21, 3), new(30, 62, 6), new(60, 90, 6), new(100, 100, 4)];

    /// <summary>Where the reading falls to between 100 ms pulses, % of the steady reading: value seen, limits [memory].</summary>
    public static (double Percent, double Low, double High) FallBetweenPulses { get; } = (40, 36, 44);

    /// <summary>
    /// Our own rational fit to the table: third-order high-pass, one low-pass, one lead-lag [computed]. Within 0.3 dB of every row.
    /// </summary>
    public static AnalogueFilter WeightingFilter { get; } = Fit();

    /// <summary>
    /// Time constants found by fitting the pulse test through the weighting [computed]: 22.4, 59.1, 86.4, 101.6 % and a fall to 39.9 %.
    /// </summary>
    public static QuasiPeakConstants Detector { get; } = new(0.0217, 0.528, 0.1646, ReferenceHz);

    private static AnalogueFilter Fit()
    {
        const double turn = 2 * Math.PI;
        const double w0 = turn * 0.4633, q = 0.6022;
        var real = -w0 / (2 * q);
        var imaginary = w0 * Math.Sqrt(1 - (1 / (4 * q * q)));
        return new AnalogueFilter(
            [0, 0, 0, new Complex(-turn * 35.432, 0)],
            [new(-turn * 1.2967, 0), new(real, imaginary), new(real, -imaginary), new(-turn * 9.0123, 0), new(-turn * 47.756, 0)],
            1).Normalised(ReferenceHz);
    }
}
