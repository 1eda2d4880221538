namespace Spoolwright.Signal.Flutter;

/// <summary>
/// Quantiles of a stream of magnitudes in flat memory: bins a thousandth apart in ratio, so a quantile is within 0.05 % of its value.
/// </summary>
public sealed class LogHistogram
{
    private const double LowestLog = -23; // about 1e-10
    private const double BinsPerE = 1000;
    private readonly long[] _counts = new long[(int)(36 * BinsPerE)];

    /// <summary>Values taken.</summary>
    public long Count { get; private set; }

    /// <summary>Highest value taken, 0 when none.</summary>
    public double Maximum { get; private set; }

    /// <summary>Takes one magnitude, 0 or more.</summary>
    public void Add(double magnitude)
    {
        var bin = magnitude <= 0 ? 0 : (int)((Math.Log(magnitude) - LowestLog) * BinsPerE);
        _counts[Math.Clamp(bin, 0, _counts.Length - 1)]++;
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
                return Math.Min(Math.Exp(LowestLog + ((i + inside) / BinsPerE)), Maximum);
            }

            below += _counts[i];
        }

        return Maximum;
    }
}
