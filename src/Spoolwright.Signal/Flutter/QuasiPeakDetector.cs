namespace Spoolwright.Signal.Flutter;

/// <summary>Time constants of a peak-to-peak detector that gives short peaks less than their due.</summary>
/// <param name="ChargeSeconds">Time constant while the input lies beyond what is held.</param>
/// <param name="DischargeSeconds">Time constant of what is held falling.</param>
/// <param name="SmoothingSeconds">Time constant of the indication.</param>
/// <param name="CalibrationHz">Frequency of the steady sine that must read its own peak.</param>
public sealed record QuasiPeakConstants(double ChargeSeconds, double DischargeSeconds, double SmoothingSeconds, double CalibrationHz);

/// <summary>
/// Follows the upper and the lower peaks of a signal apart, adds them and smooths the sum; indicates half of peak to peak,
/// calibrated so that a steady sine at the calibration frequency reads its peak.
/// </summary>
public sealed class QuasiPeakDetector
{
    private readonly double _charge;
    private readonly double _discharge;
    private readonly double _smooth;
    private readonly double _gain;
    private double _upper;
    private double _lower;
    private double _indication;

    /// <param name="constants">The time constants.</param>
    /// <param name="sampleRateHz">Rate it runs at, Hz; at least 20 times the inverse charge time.</param>
    public QuasiPeakDetector(QuasiPeakConstants constants, double sampleRateHz)
        : this(constants, sampleRateHz, 1)
    {
        _gain = 1 / SteadySine(constants, sampleRateHz);
        Reset();
    }

    private QuasiPeakDetector(QuasiPeakConstants constants, double sampleRateHz, double gain)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 20 / constants.ChargeSeconds);
        _charge = 1 - Math.Exp(-1 / (constants.ChargeSeconds * sampleRateHz));
        _discharge = Math.Exp(-1 / (constants.DischargeSeconds * sampleRateHz));
        _smooth = 1 - Math.Exp(-1 / (constants.SmoothingSeconds * sampleRateHz));
        _gain = gain;
    }

    /// <summary>Takes one sample; returns the indication, in the signal's unit, never negative.</summary>
    public double Next(double x)
    {
        _upper = x > _upper ? _upper + (_charge * (x - _upper)) : _upper * _discharge;
        _lower = -x > _lower ? _lower + (_charge * (-x - _lower)) : _lower * _discharge;
        _indication += _smooth * (_upper + _lower - _indication);
        return 0.5 * _gain * _indication;
    }

    /// <summary>Forgets the past.</summary>
    public void Reset() => _upper = _lower = _indication = 0;

    // The 95th percentile of what a unit sine indicates once settled, before calibration: no constant is typed in.
    private static double SteadySine(QuasiPeakConstants constants, double sampleRateHz)
    {
        var detector = new QuasiPeakDetector(constants, sampleRateHz, 1);
        var settle = (int)(10 * sampleRateHz * (constants.DischargeSeconds + constants.SmoothingSeconds));
        var period = (int)(sampleRateHz * 8 / constants.CalibrationHz);
        var indications = new double[period];
        for (var i = 0; i < settle + period; i++)
        {
            var y = detector.Next(Math.Sin(2 * Math.PI * constants.CalibrationHz * i / sampleRateHz));
            if (i >= settle)
            {
                indications[i - settle] = y;
            }
        }

        Array.Sort(indications);
        return indications[(int)(0.95 * (period - 1))];
    }
}
