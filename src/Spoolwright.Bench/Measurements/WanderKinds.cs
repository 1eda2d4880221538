namespace Spoolwright.Bench.Measurements;

/// <summary>
/// How a tape's level may wander. As strong in every octave from the capture's own length on, up to an end that nobody knows; falling with
/// frequency as its inverse; or in swings and drops about as long as one corner says. Each kind's covariance is in closed form.
/// </summary>
internal sealed class WanderKinds
{
    // Three ends as for saturation (WanderingLevel), two octaves apart: what the pieces hold, 12 Hz and 3 Hz. One that ends sooner is taken
    // for less likely: with even odds a wander up to 20 Hz had 96.9 to 97.3 % of the truths within and one up to 2 Hz 94.3 to 95.7, so
    // 96.4 and 93.4. Computed 4 and 2 dB past 3 %, on seeds that no test has.
    private static readonly (double Hz, double Odds)[] Ends = [(double.PositiveInfinity, 3), (12, 2), (3, 1)];

    // Falling, and swings of every length together.
    private const double OthersShare = 0.2;

    // What is faster than the pieces has little left in their means.
    private const double HighestCorner = 2.4;

    // Swings of so many a second and slower, but the slowest, which is seen too little of; places in a piece.
    private const double FastestSwingHz = 2;
    private const int Places = 4;

    private static readonly int Falling = Ends.Length;
    private static readonly int Swinging = Ends.Length + 1;

    private readonly double[] _corners;
    private readonly double _widening;

    /// <summary>None at all: there is nothing to know a wander by.</summary>
    public static WanderKinds None { get; } = new([], 0);

    private WanderKinds(double[] corners, double widening) => (_corners, _widening) = (corners, widening);

    /// <summary>Those that pieces of a capture can tell of.</summary>
    public static WanderKinds Of(WanderingLevel.Pieces pieces)
    {
        var corners = new List<double>();
        for (var hz = 1 / pieces.CaptureSeconds; hz < HighestCorner / pieces.Seconds; hz *= 2)
        {
            corners.Add(hz);
        }

        // A frame's window reaches over its piece: a mean over somewhat more, of the same variance in time.
        return new WanderKinds([.. corners], (12 * pieces.Spread) - (pieces.Seconds * pieces.Seconds));
    }

    /// <summary>How many there are, numbered from 0.</summary>
    public int Count => _corners.Length == 0 ? 0 : Swinging + Math.Max(0, _corners.Count(hz => hz < FastestSwingHz) - 1);

    /// <summary>Those that hold all frequencies.</summary>
    public static IReadOnlyList<int> Usual { get; } = [0, Falling];

    /// <summary>How likely one is beforehand; the sum of all is 1.</summary>
    public double Prior(int kind) => kind < Falling
        ? (1 - OthersShare) * Ends[kind].Odds / Ends.Sum(e => e.Odds)
        : OthersShare / (Count - Falling);

    /// <summary>Covariance of the wander's means over stretches of time, row by row, its lower half, where its variance in an octave, in
    /// the mean of all, or of the swings, is 1.</summary>
    /// <param name="means">Middles and lengths, s.</param>
    /// <param name="kind">Which kind.</param>
    public double[] Covariance(IReadOnlyList<(double Seconds, double Length)> means, int kind)
    {
        if (kind >= Swinging)
        {
            return Swings(means, _corners[kind - Swinging + 1]);
        }

        var end = kind < Falling ? Ends[kind].Hz : double.PositiveInfinity;
        double[] within = [.. _corners.Where((hz, i) => i == 0 || hz < end)];
        double[] plain = [.. within.Select(hz => kind == Falling ? 1 / hz : 1)];
        return Fading(
            [.. means.Select(m => (m.Seconds, Math.Sqrt((m.Length * m.Length) + _widening)))],
            within,
            [.. plain.Select(s => s * within.Length / plain.Sum())]);
    }

    // Slow swings and drops: alike within them, by a bell of a width as the corner's; each piece by places in it.
    private static double[] Swings(IReadOnlyList<(double Seconds, double Length)> means, double hz)
    {
        var (n, rate) = (means.Count, 2 * Math.PI * hz);
        var covariance = new double[n * n];
        double[][] places =
        [
            .. means.Select(m => Enumerable.Range(0, Places).Select(k => m.Seconds + (m.Length * (((k + 0.5) / Places) - 0.5))).ToArray()),
        ];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                double sum = 0;
                foreach (var a in places[i])
                {
                    foreach (var b in places[j])
                    {
                        sum += Math.Exp(-0.5 * rate * rate * (a - b) * (a - b));
                    }
                }

                covariance[(i * n) + j] = sum / (Places * Places);
            }
        }

        return covariance;
    }

    // Fading parts with such corners, each e^(-rate |t|) alike: of means over pieces, which may overlap.
    private static double[] Fading((double Seconds, double Length)[] means, double[] corners, double[] shares)
    {
        var n = means.Length;
        var covariance = new double[n * n];
        for (var c = 0; c < corners.Length; c++)
        {
            var rate = 2 * Math.PI * corners[c];

            // Its second derivative is e^(-rate |t|).
            double Twice(double t) => ((rate * Math.Abs(t)) + Math.Exp(-rate * Math.Abs(t))) / (rate * rate);
            for (var i = 0; i < n; i++)
            {
                for (var j = 0; j <= i; j++)
                {
                    var ((a, first), (b, second)) = (means[i], means[j]);
                    double apart = a - b, sum = 0.5 * (first + second), difference = 0.5 * (first - second);
                    covariance[(i * n) + j] += shares[c]
                        * (Twice(apart + sum) - Twice(apart + difference) - Twice(apart - difference) + Twice(apart - sum))
                        / (first * second);
                }
            }
        }

        return covariance;
    }
}
