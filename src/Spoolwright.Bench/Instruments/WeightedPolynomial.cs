namespace Spoolwright.Bench.Instruments;

/// <summary>
/// A straight line or a parabola through points by weighted least squares, kept as what each point contributes: the value at x is Σ
/// hⱼ(x)·yⱼ, so that any uncertainty of the points is carried through exactly.
/// </summary>
internal sealed class WeightedPolynomial
{
    private readonly double[] x;
    private readonly double[] weights;
    private readonly double[,] inverse;
    private readonly double centre;
    private readonly double half;

    /// <summary>Fits.</summary>
    /// <param name="x">Abscissae, more different ones than <paramref name="order"/>.</param>
    /// <param name="y">Ordinates.</param>
    /// <param name="variances">Variance of each ordinate.</param>
    /// <param name="order">1 or 2.</param>
    public WeightedPolynomial(IReadOnlyList<double> x, IReadOnlyList<double> y, IReadOnlyList<double> variances, int order)
    {
        Order = order;
        this.x = [.. x];
        weights = [.. variances.Select(v => 1 / v)];
        // Centred and scaled, so that the normal equations stay well conditioned.
        centre = (this.x.Min() + this.x.Max()) / 2;
        half = Math.Max((this.x.Max() - this.x.Min()) / 2, double.Epsilon);
        var n = order + 1;
        var normal = new double[n, n];
        var right = new double[n];
        for (var j = 0; j < this.x.Length; j++)
        {
            var basis = Basis(this.x[j]);
            for (var a = 0; a < n; a++)
            {
                right[a] += weights[j] * basis[a] * y[j];
                for (var b = 0; b < n; b++)
                    normal[a, b] += weights[j] * basis[a] * basis[b];
            }
        }

        inverse = Inverse(normal);
        Coefficients = new double[n];
        for (var a = 0; a < n; a++)
        {
            for (var b = 0; b < n; b++)
                Coefficients[a] += inverse[a, b] * right[b];
        }

        for (var j = 0; j < this.x.Length; j++)
        {
            var off = y[j] - At(this.x[j]);
            ChiSquare += weights[j] * off * off;
        }
    }

    /// <summary>1: line, 2: parabola.</summary>
    public int Order { get; }

    /// <summary>Sum of the squared residuals, each over its variance.</summary>
    public double ChiSquare { get; }

    // In the centred abscissa.
    private double[] Coefficients { get; }

    public double At(double at)
    {
        var basis = Basis(at);
        double sum = 0;
        for (var a = 0; a <= Order; a++)
            sum += Coefficients[a] * basis[a];
        return sum;
    }

    public double Slope(double at)
    {
        var u = (at - centre) / half;
        return (Coefficients[1] + (Order > 1 ? 2 * Coefficients[2] * u : 0)) / half;
    }

    /// <summary>Coefficients of 1, x, x² in the scale's own unit.</summary>
    public IReadOnlyList<double> Plain()
    {
        var c2 = Order > 1 ? Coefficients[2] / (half * half) : 0;
        var c1 = Coefficients[1] / half;
        List<double> plain = [Coefficients[0] - c1 * centre + c2 * centre * centre, c1 - 2 * c2 * centre];
        if (Order > 1)
            plain.Add(c2);
        return plain;
    }

    /// <summary>What each point's ordinate counts in the value at <paramref name="at"/>.</summary>
    public double[] Shares(double at)
    {
        var basis = Basis(at);
        var shares = new double[x.Length];
        for (var j = 0; j < x.Length; j++)
        {
            var other = Basis(x[j]);
            for (var a = 0; a <= Order; a++)
            {
                for (var b = 0; b <= Order; b++)
                    shares[j] += basis[a] * inverse[a, b] * other[b] * weights[j];
            }
        }

        return shares;
    }

    private double[] Basis(double at)
    {
        var u = (at - centre) / half;
        return Order > 1 ? [1, u, u * u] : [1, u];
    }

    // Gauss and Jordan with pivots: three by three at most.
    private static double[,] Inverse(double[,] matrix)
    {
        var n = matrix.GetLength(0);
        var left = (double[,])matrix.Clone();
        var right = new double[n, n];
        for (var i = 0; i < n; i++)
            right[i, i] = 1;
        for (var column = 0; column < n; column++)
        {
            var pivot = Enumerable.Range(column, n - column).MaxBy(r => Math.Abs(left[r, column]));
            if (!(Math.Abs(left[pivot, column]) > 0))
                throw new ArgumentException("the points do not differ enough for this curve", nameof(matrix));
            for (var k = 0; k < n; k++)
            {
                (left[column, k], left[pivot, k]) = (left[pivot, k], left[column, k]);
                (right[column, k], right[pivot, k]) = (right[pivot, k], right[column, k]);
            }

            var by = left[column, column];
            for (var k = 0; k < n; k++)
            {
                left[column, k] /= by;
                right[column, k] /= by;
            }

            for (var row = 0; row < n; row++)
            {
                if (row == column)
                    continue;
                var times = left[row, column];
                for (var k = 0; k < n; k++)
                {
                    left[row, k] -= times * left[column, k];
                    right[row, k] -= times * right[column, k];
                }
            }
        }

        return right;
    }
}
