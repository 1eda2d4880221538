namespace Spoolwright.Bench.Causes;

/// <summary>Least squares through columns where the noise has a covariance: the best linear unbiased numbers, and what the restricted
/// likelihood of that covariance is made of (the textbook's).</summary>
/// <param name="Numbers">One for each column.</param>
/// <param name="Squares">Sum of squares that is left, on the even scale.</param>
/// <param name="LogDeterminants">Logarithm of the covariance's determinant and of that of the normal equations.</param>
internal readonly record struct GeneralizedLeastSquares(double[] Numbers, double Squares, double LogDeterminants)
{
    // Columns that are nearly alike leave the normal equations definite.
    private const double Ridge = 1e-12;

    private readonly LowerFactor _normal = null!;

    private GeneralizedLeastSquares(double[] numbers, double squares, double logDeterminants, LowerFactor normal)
        : this(numbers, squares, logDeterminants) => _normal = normal;

    /// <summary>Twice the logarithm of the restricted likelihood, but for what is the same for every covariance.</summary>
    public double Likelihood => -(LogDeterminants + Squares);

    /// <summary>Covariance of the numbers, row by row.</summary>
    public double[] Covariance() => _normal.Inverse();

    /// <summary>Fits.</summary>
    /// <param name="noise">The covariance's factor.</param>
    /// <param name="columns">What the values are made of, each as long as they; none a multiple of others.</param>
    /// <param name="values">The values.</param>
    public static GeneralizedLeastSquares Of(LowerFactor noise, double[][] columns, double[] values)
    {
        var terms = columns.Length;
        var even = noise.Even([.. columns, values]);
        var normal = new double[terms * terms];
        for (var a = 0; a < terms; a++)
        {
            for (var b = 0; b < terms; b++)
            {
                normal[(a * terms) + b] = LowerFactor.Dot(even[a], even[b]) * (a == b ? 1 + Ridge : 1);
            }
        }

        var factor = new LowerFactor(normal, terms);
        double[] numbers = [.. Enumerable.Range(0, terms).Select(a => LowerFactor.Dot(even[a], even[terms]))];
        factor.Solve(numbers);
        double squares = 0;
        for (var k = 0; k < values.Length; k++)
        {
            var left = even[terms][k];
            for (var a = 0; a < terms; a++)
            {
                left -= numbers[a] * even[a][k];
            }

            squares += left * left;
        }

        return new GeneralizedLeastSquares(numbers, squares, noise.LogDeterminant + factor.LogDeterminant, factor);
    }
}
