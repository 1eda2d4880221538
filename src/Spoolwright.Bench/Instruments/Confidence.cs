namespace Spoolwright.Bench.Instruments;

/// <summary>Factors that bring a scatter known from few values to the 95 % of k = 2 [GUM:2008] annex G.</summary>
internal static class Confidence
{
    // 97.5th percentile of the normal law.
    private const double Normal = 1.959963984540054;

    /// <summary>
    /// Factor for an expanded uncertainty: 2 where the scatter is well known, larger in the ratio of Student's 97.5th percentile to the normal one.
    /// </summary>
    /// <param name="freedom">Degrees of freedom, from 1; infinite: well known.</param>
    public static double Factor(double freedom) => 2 * Student(freedom) / Normal;

    /// <summary>97.5th percentile of Student's law: exact for one and two degrees, else its expansion in 1/ν (within 0.1 % from three on).</summary>
    public static double Student(double freedom)
    {
        if (!(freedom >= 1))
            throw new ArgumentOutOfRangeException(nameof(freedom), freedom, "expected at least one degree of freedom");
        if (double.IsInfinity(freedom))
            return Normal;
        if (freedom < 1.5)
            return 12.706204736;
        if (freedom < 2.5)
            return 4.302652730;
        var (z, v) = (Normal, freedom);
        double z2 = z * z, z3 = z2 * z, z5 = z3 * z2, z7 = z5 * z2, z9 = z7 * z2;
        return z + (z3 + z) / (4 * v)
            + (5 * z5 + 16 * z3 + 3 * z) / (96 * v * v)
            + (3 * z7 + 19 * z5 + 17 * z3 - 15 * z) / (384 * v * v * v)
            + (79 * z9 + 776 * z7 + 1482 * z5 - 1920 * z3 - 945 * z) / (92160 * v * v * v * v);
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
