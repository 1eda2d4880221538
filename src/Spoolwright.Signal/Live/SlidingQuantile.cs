namespace Spoolwright.Signal.Live;

/// <summary>
/// Quantile, mean square and maximum of the last so many magnitudes, in flat memory: bins a third of a percent apart in ratio. Values leave
/// as they came.
/// </summary>
public sealed class SlidingQuantile
{
    private const int Shift = 52 - 8; // 256 even steps an octave
    private static readonly long LowestStep = BitConverter.DoubleToInt64Bits(Math.ScaleB(1, -40)) >> Shift;
    private readonly int[] _counts = new int[60 * 256];
    private readonly float[] _kept;
    private int _next;
    private double _power;

    /// <param name="length">How many values are looked back over.</param>
    public SlidingQuantile(int length)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(length);
        _kept = new float[length];
    }

    /// <summary>Values held.</summary>
    public int Count { get; private set; }

    /// <summary>Mean of the squares; 0 when empty.</summary>
    public double MeanSquare => Count == 0 ? 0 : Math.Max(0, _power / Count);

    /// <summary>Takes one magnitude, 0 or more; the oldest leaves where the window is full.</summary>
    public void Add(double magnitude)
    {
        var value = (float)magnitude;
        if (Count == _kept.Length)
        {
            var old = _kept[_next];
            _counts[Step(old)]--;
            _power -= (double)old * old;
        }
        else
        {
            Count++;
        }

        _kept[_next] = value;
        _counts[Step(value)]++;
        _power += (double)value * value;
        if (++_next == _kept.Length)
        {
            _next = 0;
            _power = Sum(); // what rounding has left behind goes each time round
        }
    }

    /// <summary>The value below which the given share lies; 0 when empty.</summary>
    public double Quantile(double share)
    {
        var target = share * Count;
        long below = 0;
        for (var i = 0; i < _counts.Length && Count > 0; i++)
        {
            if (_counts[i] > 0 && below + _counts[i] >= target)
            {
                double low = Edge(i), high = Edge(i + 1);
                return low + ((target - below) / _counts[i] * (high - low));
            }

            below += _counts[i];
        }

        return 0;
    }

    /// <summary>Largest value held; 0 when empty.</summary>
    public double Maximum()
    {
        float most = 0;
        foreach (var value in _kept.AsSpan(0, Count))
        {
            most = Math.Max(most, value);
        }

        return most;
    }

    /// <summary>Forgets the past.</summary>
    public void Reset()
    {
        Array.Clear(_counts);
        (Count, _next, _power) = (0, 0, 0);
    }

    private double Sum()
    {
        double sum = 0;
        foreach (var value in _kept.AsSpan(0, Count))
        {
            sum += (double)value * value;
        }

        return sum;
    }

    private static double Edge(int step) => BitConverter.Int64BitsToDouble((step + LowestStep) << Shift);

    private int Step(double value) => (int)Math.Clamp((BitConverter.DoubleToInt64Bits(value) >> Shift) - LowestStep, 0, _counts.Length - 1);
}
