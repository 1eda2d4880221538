using System.Numerics;

namespace Spoolwright.Practice.Playing;

/// <summary>Sums over one tone of a pass, from which its true level, phase and skew follow.</summary>
internal sealed class ToneTally(ProgramItem item, double nominalRate, (double Left, double Right) leaks, bool backward)
{
    private double _first;
    private double _firstPlace;
    private double _last;
    private double _lastPlace;
    private double _leftPower;
    private double _rightPower;
    private Complex _cross;
    private double _later;
    private double _laterSquares;
    private long _count;
    private long _all;
    private double _firstRate;
    private double _lastRate;

    public ProgramItem Item => item;

    public void Add(double place, double rate, in ContactMotion.Point point, double seconds)
    {
        if (_all++ == 0)
            (_first, _firstPlace, _firstRate) = (seconds, place, rate);
        (_last, _lastPlace, _lastRate) = (seconds, place, rate);
        if (point.InDropout || item.Envelope(place) < 1)
            return;

        var (levelLeft, levelRight) = ToneVoices.Level(item, point, rate / nominalRate);
        var tone = item.Partials[0];
        var left = Complex.FromPolarCoordinates(tone.Left * levelLeft, 2 * Math.PI * tone.LeftTurns);
        var right = Complex.FromPolarCoordinates(
            tone.Right * levelRight,
            2 * Math.PI * (tone.RightTurns - (item.Hertz * point.RightLater))
        );
        (left, right) = (left + (leaks.Left * right), right + (leaks.Right * left));
        _leftPower += Square(left);
        _rightPower += Square(right);
        _cross += right * Complex.Conjugate(left);
        _later += point.RightLater / rate;
        _laterSquares += point.RightLater / rate * (point.RightLater / rate);
        _count++;
    }

    public TrueTone Finish(double captureEnd, TapeProgram program)
    {
        var tone = item.Partials[0];
        var frequency = item.Hertz * (_all > 1 ? Math.Abs(_lastPlace - _firstPlace) / (_last - _first) : nominalRate);
        var n = Math.Max(_count, 1);

        // Cycles from the gaps' own skew and the electronics, the rest from the phase.
        var expected = (tone.RightTurns - tone.LeftTurns - (frequency * _later / n)) * 360;
        var phase = _count > 0 ? _cross.Phase * 180 / Math.PI : expected;
        var unwrapped = phase + (360 * Math.Round((expected - phase) / 360));
        var mean = _later / n;
        var intoFirst = backward ? item.End - _firstPlace : _firstPlace - item.Start;
        var leftAtLast = backward ? _lastPlace - item.Start : item.End - _lastPlace;
        var start = intoFirst / _firstRate < 1e-3 ? _first - (intoFirst / _firstRate) : _first;
        var end = leftAtLast / _lastRate < 1e-3 ? _last + (leftAtLast / _lastRate) : captureEnd;
        return new TrueTone(
            item.Tone!,
            start,
            Math.Min(end, captureEnd),
            intoFirst / _firstRate < 1e-3 && end <= captureEnd && leftAtLast / _lastRate < 1e-3,
            frequency,
            Dbfs(_leftPower / n),
            Dbfs(_rightPower / n),
            Wrap(phase),
            -unwrapped / 360 / frequency * 1e6,
            Math.Sqrt(Math.Max((_laterSquares / n) - (mean * mean), 0)) * 1e6,
            20 * Math.Log10(program.PickUpLeft(item.Hertz)),
            20 * Math.Log10(program.PickUpRight(item.Hertz)));
    }

    private static double Square(Complex z) => (z.Real * z.Real) + (z.Imaginary * z.Imaginary);

    // A full-scale sine is 0: amplitudes count as they are. Silence is told as -400.
    private static double Dbfs(double square) => square > 1e-40 ? 10 * Math.Log10(square) : -400;

    private static double Wrap(double degrees) => degrees - (360 * Math.Round(degrees / 360));
}
