namespace Spoolwright.Signal.Live;

/// <summary>
/// One turn of a rotating part, averaged over its last turns: the speed's deviation by the angle the part stands at. Its rate is known to a
/// part in a hundred only, so the ring follows the rate at which its own figure stands still, within what the part may slip.
/// </summary>
public sealed class TurnRing
{
    /// <summary>Angles told apart in one turn.</summary>
    public const int Angles = 72;

    private const double LeastTurns = 6;
    private const double AverageSeconds = 4;
    private readonly double[] _percent = new double[Angles];
    private readonly double _tolerance;
    private readonly double _sampleRate;
    private readonly double _nominalHz;
    private double _phase;
    private double _correction;
    private double _re, _im, _previousRe, _previousIm;
    private int _inBlock;
    private readonly double _forget;

    /// <param name="rateHz">Turns per second by the deck's profile.</param>
    /// <param name="relativeTolerance">How far the part may turn from that, as a fraction.</param>
    /// <param name="sampleRateHz">Rate of the speed signal fed.</param>
    public TurnRing(double rateHz, double relativeTolerance, double sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(rateHz);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRateHz);
        (_nominalHz, _tolerance, _sampleRate) = (rateHz, relativeTolerance, sampleRateHz);
        var hitsPerSecond = sampleRateHz / Angles;
        _forget = 1 - Math.Exp(-1 / (Math.Max(AverageSeconds, LeastTurns / rateHz) * hitsPerSecond));
    }

    /// <summary>The rate followed, turns per second.</summary>
    public double RateHz => _nominalHz * (1 + _correction);

    /// <summary>Whole turns since the beginning, so that a reader knows how much an average rests on.</summary>
    public double Turns { get; private set; }

    /// <summary>Deviation by angle, % of the mean speed, its mean over the turn not taken off.</summary>
    public ReadOnlySpan<double> Percent => _percent;

    /// <summary>Amplitude of the once-a-turn part, % peak, and the angle of its highest speed, degrees.</summary>
    public (double PeakPercent, double Degrees) Eccentricity()
    {
        double re = 0, im = 0;
        for (var k = 0; k < Angles; k++)
        {
            var (sin, cos) = Math.SinCos(2 * Math.PI * k / Angles);
            re += _percent[k] * cos;
            im += _percent[k] * sin;
        }

        return (2 * Math.Sqrt((re * re) + (im * im)) / Angles, double.RadiansToDegrees(Math.Atan2(im, re)));
    }

    /// <summary>Takes one sample of the speed's deviation, %.</summary>
    public void Next(double percent)
    {
        _phase += RateHz * (1 + (percent / 100)) / _sampleRate;
        if (_phase >= 1)
        {
            _phase -= Math.Floor(_phase);
            Turns++;
        }

        var at = (int)(_phase * Angles) % Angles;
        // Plain mean for the first turns, then the slow forgetting: a ring is there after one turn.
        var hits = Math.Max(1, Turns * _sampleRate / (Angles * RateHz));
        _percent[at] += Math.Max(_forget, 1 / hits) * (percent - _percent[at]);
        var (sin, cos) = Math.SinCos(2 * Math.PI * _phase);
        _re += percent * cos;
        _im += percent * sin;
        if (++_inBlock >= _sampleRate * Math.Max(1, 3 / _nominalHz))
        {
            Follow();
        }
    }

    /// <summary>Forgets the past.</summary>
    public void Reset()
    {
        Array.Clear(_percent);
        (_phase, _correction, Turns, _inBlock) = (0, 0, 0, 0);
        (_re, _im, _previousRe, _previousIm) = (0, 0, 0, 0);
    }

    // A part that turns faster than it is followed has its figure turn backwards from one stretch to the next.
    private void Follow()
    {
        double now = Math.Sqrt((_re * _re) + (_im * _im)), before = Math.Sqrt((_previousRe * _previousRe) + (_previousIm * _previousIm));
        if (before > 0 && now > 0.5 * before && now < 2 * before)
        {
            var angle = Math.Atan2((_im * _previousRe) - (_re * _previousIm), (_re * _previousRe) + (_im * _previousIm));
            var step = angle / (2 * Math.PI) / (_inBlock / _sampleRate) / _nominalHz;
            _correction = Math.Clamp(_correction - (0.3 * step), -_tolerance, _tolerance);
        }

        (_previousRe, _previousIm, _re, _im, _inBlock) = (_re, _im, 0, 0, 0);
    }
}
