namespace Spoolwright.Bench.Instruments;

/// <summary>Factors that bring a scatter known from few values to the 95 % of k = 2 [GUM:2008] annex G.</summary>
public static class Confidence
{
    // 97.5th percentile of the normal law.
    private const double Normal = 1.959963984540054;

    /// <summary>
    /// Factor for an expanded uncertainty: 2 where the scatter is well known, larger in the ratio of Student's 97.5th percentile to the
    /// normal one.
    /// </summary>
    /// <param name="freedom">Degrees of freedom, from 1; infinite: well known.</param>
    public static double Factor(double freedom) => 2 * Student(freedom) / Normal;

    // Student's 97.5th percentile at one to four degrees, computed.
    private static readonly double[] Few = [12.706204736, 4.302652730, 3.182446305, 2.776445105];

    /// <summary>
    /// 97.5th percentile of Student's law: at few degrees exact, between them drawn evenly over 1/ν in its logarithm; else its expansion in
    /// 1/ν (within 0.1 %).
    /// </summary>
    public static double Student(double freedom)
    {
        if (!(freedom >= 1))
            throw new ArgumentOutOfRangeException(nameof(freedom), freedom, "expected at least one degree of freedom");
        if (double.IsInfinity(freedom))
            return Normal;
        if (freedom < Few.Length)
        {
            var below = (int)freedom;
            var share = (1.0 / below - 1 / freedom) / (1.0 / below - 1.0 / (below + 1));
            return Few[below - 1] * Math.Pow(Few[below] / Few[below - 1], share);
        }

        var (z, v) = (Normal, freedom);
        double z2 = z * z, z3 = z2 * z, z5 = z3 * z2, z7 = z5 * z2, z9 = z7 * z2;
        return z + (z3 + z) / (4 * v)
            + (5 * z5 + 16 * z3 + 3 * z) / (96 * v * v)
            + (3 * z7 + 19 * z5 + 17 * z3 - 15 * z) / (384 * v * v * v)
            + (79 * z9 + 776 * z7 + 1482 * z5 - 1920 * z3 - 945 * z) / (92160 * v * v * v * v);
    }

    // What k = 2 holds of a normal law.
    private const double HeldByTwo = 0.954499736103642;

    /// <summary>
    /// Factor that holds of a rectangle and a normal law together what 2 holds of the normal law alone: from 2 down to 1.65 where the
    /// rectangle is all. A sum in which one rectangle leads is bounded, and twice its deviation would claim too much.
    /// </summary>
    /// <param name="normal">Variance of the normal part, not negative.</param>
    /// <param name="rectangle">Variance of the rectangle, not negative.</param>
    public static double FactorWithRectangle(double normal, double rectangle)
    {
        var whole = normal + rectangle;
        // Under a tenth of the variance a rectangle cannot be told from a normal law.
        if (!(rectangle > 0.1 * whole))
            return 2;
        var (half, sigma) = (Math.Sqrt(3 * rectangle / whole), Math.Sqrt(Math.Max(normal / whole, 1e-6)));
        double held(double c) => sigma / half * (Ramp((c + half) / sigma) - Ramp((c - half) / sigma)) - 1;
        double low = 1, high = 2.1;
        for (var i = 0; i < 50; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = held(middle) < HeldByTwo ? (middle, high) : (low, middle);
        }

        return (low + high) / 2;
    }

    // Integral of the normal distribution function: u·Φ(u) + φ(u). Φ by a rational approximation in the tail, within 1e-7.
    private static double Ramp(double u)
    {
        var density = Math.Exp(-u * u / 2) / Math.Sqrt(2 * Math.PI);
        var t = 1 / (1 + 0.2316419 * Math.Abs(u));
        var tail = density * t * (0.319381530 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
        return u * (u < 0 ? tail : 1 - tail) + density;
    }

    /// <summary>95th percentile of chi square, by the cube-root approximation (within 1 %).</summary>
    public static double ChiSquare95(int freedom)
    {
        if (freedom < 1)
            throw new ArgumentOutOfRangeException(nameof(freedom), freedom, "expected at least one degree of freedom");
        var a = 2.0 / (9 * freedom);
        var root = 1 - a + 1.6448536269514722 * Math.Sqrt(a);
        return freedom * root * root * root;
    }

    /// <summary>Effective degrees of freedom of a sum of squares, each with its own.</summary>
    public static double Effective(params ReadOnlySpan<(double Variance, double Freedom)> parts)
    {
        double sum = 0, weighed = 0;
        foreach (var (variance, freedom) in parts)
        {
            sum += variance;
            if (!double.IsInfinity(freedom))
                weighed += variance * variance / Math.Max(1, freedom);
        }

        return weighed > 0 ? Math.Max(1, sum * sum / weighed) : double.PositiveInfinity;
    }
}
