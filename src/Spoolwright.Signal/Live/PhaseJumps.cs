namespace Spoolwright.Signal.Live;

/// <summary>
/// Finds lost samples by the jump they leave in a tone's phase: at once, by the same amount in both channels, and with the tone going on as
/// loud as before. No deck can do that, since its speed cannot jump. A loss of whole periods of the tone leaves nothing to see.
/// </summary>
internal sealed class PhaseJumps
{
    private const double LeastDegrees = 40;
    private const double OverRestless = 6;
    private const double ApartDegrees = 20;
    private const double SameLevel = 1.26;
    private const double WatchSeconds = 1;
    private readonly int _span;
    private readonly int _kept;
    private readonly double[] _stepLeft, _stepRight, _magnitude, _sum;
    private (double Span, double All) _left, _right;
    private double _lr, _li, _rr, _ri;
    private long _count;
    private long _quietUntil;

    /// <param name="outputRateHz">Rate of the demodulated tone, Hz.</param>
    /// <param name="filterSeconds">Length of the filter before it: so long a jump takes to pass.</param>
    public PhaseJumps(double outputRateHz, double filterSeconds)
    {
        _span = Math.Max(3, (int)Math.Ceiling(filterSeconds * outputRateHz) + 2);
        _kept = Math.Max(4 * _span, (int)(WatchSeconds * outputRateHz));
        (_stepLeft, _stepRight, _magnitude, _sum) = (new double[_kept], new double[_kept], new double[_kept], new double[_kept]);
        _quietUntil = _kept;
    }

    /// <summary>Jumps found.</summary>
    public int Count { get; private set; }

    /// <summary>Takes the next demodulated sample of both channels.</summary>
    public void Next(double lr, double li, double rr, double ri)
    {
        var at = (int)(_count % _kept);
        Take(_stepLeft, at, Math.Atan2((li * _lr) - (lr * _li), (lr * _lr) + (li * _li)), ref _left);
        Take(_stepRight, at, Math.Atan2((ri * _rr) - (rr * _ri), (rr * _rr) + (ri * _ri)), ref _right);
        _magnitude[at] = Math.Sqrt((lr * lr) + (li * li) + (rr * rr) + (ri * ri));
        (_lr, _li, _rr, _ri) = (lr, li, rr, ri);
        _count++;
        if (_count < _kept)
            return;
        // Against the steps of the second before the span, so that neither pitch nor slow wander counts.
        var left = _left.Span - ((_left.All - _left.Span) * _span / (_kept - _span));
        var right = _right.Span - ((_right.All - _right.Span) * _span / (_kept - _span));
        _sum[at] = left;
        if (_count < _quietUntil + _kept || !IsJump(left, right))
            return;
        Count++;
        _quietUntil = _count;
    }

    // Sums over the span and over all that is kept go along; once round they are made anew, so that rounding gathers nowhere.
    private void Take(double[] steps, int at, double step, ref (double Span, double All) sums)
    {
        var before = steps[at];
        steps[at] = step;
        if (at > 0)
        {
            sums = (sums.Span + step - steps[(at - _span + _kept) % _kept], sums.All + step - before);
            return;
        }

        sums = (step, step);
        for (var k = 1; k < _kept; k++)
        {
            sums.All += steps[k];
            sums.Span += k > _kept - _span ? steps[k] : 0;
        }
    }

    private bool IsJump(double left, double right)
    {
        var (l, r) = (double.RadiansToDegrees(left), double.RadiansToDegrees(right));
        if (Math.Abs(l) < LeastDegrees || Math.Abs(l - r) > ApartDegrees)
            return false;
        double restless = 0, before = 0;
        var low = 0;
        for (var k = 2 * _span; k < _kept; k++)
        {
            restless += _sum[Back(k)] * _sum[Back(k)];
            before += _magnitude[Back(k)];
        }

        var n = _kept - (2 * _span);
        before /= n;
        if (Math.Abs(left) < OverRestless * Math.Sqrt(restless / n))
            return false;
        for (var k = 0; k < 2 * _span; k++)
            low += _magnitude[Back(k)] < 0.5 * before ? 1 : 0;
        // A gap between two tones lasts longer than the filter makes a jump's dip.
        var now = _magnitude[Back(0)];
        return low <= _span && now < SameLevel * before && now * SameLevel > before;
    }

    private int Back(int k) => (int)((_count - 1 - k) % _kept);
}
