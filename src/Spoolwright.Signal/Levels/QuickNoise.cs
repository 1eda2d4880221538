namespace Spoolwright.Signal.Levels;

/// <summary>
/// What the points within each mean of a hill's course tell of its noise: how they bend (a parabola's share, to which neither the
/// mean nor an even turn adds). There white noise is as strong as in the mean, and noise as strong in every octave is not: so
/// the two are told apart by more than the means themselves, in which an uneven hand looks like slow noise.
/// </summary>
internal sealed class QuickNoise
{
    // Up to here the points, twenty a second, show octaves of slow noise.
    private const double HighestHz = 12;

    // What bends by so many standard deviations is a dropout or a corner of the hand's, no noise.
    private const double Outlying = 4.5;

    private double _inMeans;
    private double _inBends;

    private QuickNoise(double squares, int count) => (Squares, Count) = (squares, count);

    /// <summary>Sum of the bends' squares; one has the variance of a mean where the noise is white.</summary>
    public double Squares { get; }

    /// <summary>How many bends there are.</summary>
    public int Count { get; }

    /// <summary>Takes the bends of a course's end, in pieces of so many points.</summary>
    /// <param name="level">The course, dB.</param>
    /// <param name="counts">Which pieces count, the last one the course's end.</param>
    /// <param name="span">Points in a piece, at least 3.</param>
    public static QuickNoise Of(IReadOnlyList<double> level, bool[] counts, int span)
    {
        var weights = Weights(span);
        var start = level.Count - (counts.Length * span);
        var bends = new List<double>(counts.Length);
        for (var i = 0; i < counts.Length; i++)
        {
            double sum = 0;
            for (var k = 0; counts[i] && k < span; k++)
            {
                sum += weights[k] * level[start + (i * span) + k];
            }

            if (counts[i])
            {
                bends.Add(Math.Abs(sum));
            }
        }

        bends.Sort();
        var most = bends.Count > 0 ? Outlying / 0.6745 * bends[bends.Count / 2] : 0; // 0.6745: the middle one of a normal distribution
        bends.RemoveAll(b => b > most);
        return new QuickNoise(bends.Sum(b => b * b), bends.Count);
    }

    /// <summary>Learns what an octave of slow noise makes of means and bends: parts fading by these corners upward.</summary>
    /// <param name="lowestHz">Corner of the slowest part.</param>
    /// <param name="fastestHz">Corner of the first part that is white to the means.</param>
    /// <param name="stepSeconds">Length of a mean.</param>
    /// <param name="span">Points in it.</param>
    public void Learn(double lowestHz, double fastestHz, double stepSeconds, int span)
    {
        (_inMeans, _inBends) = (0, 0);
        for (var hz = lowestHz; hz < HighestHz; hz *= 2)
        {
            // Both come by doublings from the same corner: half an octave of play outlives the rounding.
            _inMeans += hz < fastestHz / 1.4 ? 0 : HillWay.Averaged(2 * Math.PI * hz * stepSeconds);
            _inBends += InBend(2 * Math.PI * hz * stepSeconds / span, span);
        }
    }

    /// <summary>Variance of a bend, over that of what is white to the means (in which the quickest octaves are).</summary>
    /// <param name="slow">Variance of the slow noise in an octave, over the same.</param>
    public double Scale(double slow) => Math.Max(0, 1 - (slow * _inMeans)) + (slow * _inBends);

    private static double[] Weights(int span)
    {
        var weights = new double[span];
        for (var k = 0; k < span; k++)
        {
            weights[k] = Math.Pow(k - ((span - 1) / 2.0), 2) - (((span * span) - 1) / 12.0);
        }

        var scale = Math.Sqrt(span * weights.Sum(w => w * w));
        return [.. weights.Select(w => w / scale)];
    }

    // Variance of a fading part in the bend, over its own; x a point's length over the fading time. Means over points a and b
    // apart hang together by the fading between them (closed integral).
    private static double InBend(double x, int span)
    {
        var weights = Weights(span);
        double apart = Math.Pow((1 - Math.Exp(-x)) / x, 2) * Math.Exp(x), sum = 0;
        for (var a = 0; a < span; a++)
        {
            for (var b = 0; b < span; b++)
            {
                sum += weights[a] * weights[b] * (a == b ? HillWay.Averaged(x) : apart * Math.Exp(-x * Math.Abs(a - b)));
            }
        }

        return sum;
    }
}
