namespace Spoolwright.Signal.Flutter;

/// <summary>
/// Quantiles of a stream of magnitudes in flat memory: bins at most a thousandth apart in ratio, so a quantile is within 0.05 % of its
/// value.
/// </summary>
public sealed class LogHistogram
{
    // The leading bits of a double are its exponent and the first of its fraction: 1024 even steps an octave, from 2^-40 to 2^40.
    private const int Shift = 52 - 10;
    private static readonly long LowestStep = BitConverter.DoubleToInt64Bits(Math.ScaleB(1, -40)) >> Shift;
    private readonly long[] _counts = new long[80 * 1024];

    /// <summary>Values taken.</summary>
    public long Count { get; private set; }

    /// <summary>Highest value taken, 0 when none.</summary>
    public double Maximum { get; private set; }

    /// <summary>Takes one magnitude, 0 or more.</summary>
    public void Add(double magnitude)
    {
        var step = (BitConverter.DoubleToInt64Bits(magnitude) >> Shift) - LowestStep;
        _counts[Math.Clamp(step, 0, _counts.Length - 1)]++;
        Count++;
        Maximum = Math.Max(Maximum, magnitude);
    }

    /// <summary>The value below which the given share lies; 0 when nothing was taken.</summary>
    /// <param name="share">From 0 to 1.</param>
    public double Quantile(double share)
    {
        var target = share * Count;
        long below = 0;
        for (var i = 0; i < _counts.Length; i++)
        {
            if (_counts[i] > 0 && below + _counts[i] >= target)
            {
                var inside = (target - below) / _counts[i];
                double low = Edge(i), high = Edge(i + 1);
                return Math.Min(low + (inside * (high - low)), Maximum);
            }

            below += _counts[i];
        }

        return Maximum;
    }

    private static double Edge(int step) => BitConverter.Int64BitsToDouble((step + LowestStep) << Shift);
}
