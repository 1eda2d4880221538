using System.Numerics;

namespace Spoolwright.Bench.Causes;

/// <summary>Cholesky factor of a covariance: brings figures onto a scale where all spread by 1 and each by itself.</summary>
internal sealed class LowerFactor
{
    private readonly double[][] rows;

    /// <exception cref="ArgumentException">The matrix is not positive definite.</exception>
    public LowerFactor(double[,] covariance)
    {
        var n = covariance.GetLength(0);
        rows = new double[n][];
        for (var i = 0; i < n; i++)
        {
            rows[i] = new double[i + 1];
            for (var j = 0; j <= i; j++)
            {
                var sum = covariance[i, j] - Dot(rows[i], rows[j], j);
                if (i == j && sum <= 0)
                    throw new ArgumentException("The figures' spread is not positive definite.", nameof(covariance));
                rows[i][j] = i == j ? Math.Sqrt(sum) : sum / rows[j][j];
            }
        }
    }

    /// <summary>Twice the logarithm of the factor's determinant.</summary>
    public double LogDeterminant => 2 * rows.Select((r, i) => Math.Log(r[i])).Sum();

    /// <summary>The figures on the even scale.</summary>
    public double[] Even(double[] figures)
    {
        var even = new double[figures.Length];
        for (var i = 0; i < even.Length; i++)
            even[i] = (figures[i] - Dot(rows[i], even, i)) / rows[i][i];
        return even;
    }

    /// <summary>Solves A x = b for a small positive definite A by its factor.</summary>
    public double[] Solve(double[] right)
    {
        var x = Even(right);
        for (var i = x.Length - 1; i >= 0; i--)
        {
            x[i] /= rows[i][i];
            for (var j = 0; j < i; j++)
                x[j] -= rows[i][j] * x[i];
        }

        return x;
    }

    /// <summary>Sum of products of the first <paramref name="count"/> numbers.</summary>
    public static double Dot(double[] a, double[] b, int count)
    {
        var sum = Vector<double>.Zero;
        var i = 0;
        for (; i <= count - Vector<double>.Count; i += Vector<double>.Count)
            sum += new Vector<double>(a, i) * new Vector<double>(b, i);
        var total = Vector.Sum(sum);
        for (; i < count; i++)
            total += a[i] * b[i];
        return total;
    }
}
