using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Spoolwright.Signal.Levels;

/// <summary>Time constants of a full-wave quasi-peak detector of two stages, each charging fast and falling slowly, s.</summary>
public sealed record PeakHoldConstants(double FirstCharge, double FirstFall, double SecondCharge, double SecondFall, double CalibrationHz);

/// <summary>
/// A quasi-peak noise meter for two channels at once: full-wave rectifier, then two stages that charge while their input lies above what
/// they hold and fall all the time. Calibrated so that a steady sine at the calibration frequency reads its root mean square.
/// </summary>
public sealed class PeakHoldMeter
{
    private readonly double _charge1;
    private readonly double _fall1;
    private readonly double _charge2;
    private readonly double _fall2;
    private readonly double _gain;
    private Vector128<double> _first;
    private Vector128<double> _second;

    /// <param name="constants">The time constants.</param>
    /// <param name="sampleRateHz">Rate it runs at, Hz, at least 32000.</param>
    public PeakHoldMeter(PeakHoldConstants constants, double sampleRateHz)
        : this(constants, sampleRateHz, 1)
    {
        _gain = Math.Sqrt(0.5) / SteadySine(constants, sampleRateHz);
    }

    private PeakHoldMeter(PeakHoldConstants constants, double sampleRateHz, double gain)
    {
        ArgumentNullException.ThrowIfNull(constants);
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 32000);
        _charge1 = 1 - Math.Exp(-1 / (constants.FirstCharge * sampleRateHz));
        _fall1 = Math.Exp(-1 / (constants.FirstFall * sampleRateHz));
        _charge2 = 1 - Math.Exp(-1 / (constants.SecondCharge * sampleRateHz));
        _fall2 = Math.Exp(-1 / (constants.SecondFall * sampleRateHz));
        _gain = gain;
    }

    /// <summary>What is indicated now, left and right.</summary>
    public Vector128<double> Indication => _second * Vector128.Create(_gain);

    /// <summary>Takes lanes 2 and 3 of a block (the second weighting); returns the sum and the highest of the indication over it.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public (Vector128<double> Sum, Vector128<double> Highest) Run(ReadOnlySpan<Vector256<double>> weighted)
    {
        Vector128<double> first = _first,
            second = _second,
            sum = default,
            highest = default;
        Vector128<double> c1 = Vector128.Create(_charge1),
            f1 = Vector128.Create(_fall1),
            c2 = Vector128.Create(_charge2),
            f2 = Vector128.Create(_fall2);
        for (var i = 0; i < weighted.Length; i++)
        {
            var x = Vector128.Abs(weighted[i].GetUpper());
            first *= f1;
            first += c1 * Vector128.Max(x - first, Vector128<double>.Zero);
            second *= f2;
            second += c2 * Vector128.Max(first - second, Vector128<double>.Zero);
            sum += second;
            highest = Vector128.Max(highest, second);
        }

        _first = first;
        _second = second;
        var gain = Vector128.Create(_gain);
        return (sum * gain, highest * gain);
    }

    // What a unit sine indicates once settled, before calibration: no constant is typed in.
    private static double SteadySine(PeakHoldConstants constants, double sampleRateHz)
    {
        var meter = new PeakHoldMeter(constants, sampleRateHz, 1);
        var settle = (int)(12 * sampleRateHz * Math.Max(constants.SecondCharge, constants.FirstFall));
        var block = new Vector256<double>[1000];
        double sum = 0;
        var counted = 0;
        for (var i = 0; i < settle + (int)sampleRateHz; i += block.Length)
        {
            for (var k = 0; k < block.Length; k++)
            {
                block[k] = Vector256.Create(Math.Sin(2 * Math.PI * constants.CalibrationHz * (i + k) / sampleRateHz));
            }

            var (blockSum, _) = meter.Run(block);
            if (i >= settle)
            {
                sum += blockSum[0];
                counted += block.Length;
            }
        }

        return sum / counted;
    }
}
