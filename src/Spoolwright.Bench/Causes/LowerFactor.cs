using System.Numerics;
using System.Runtime.CompilerServices;

namespace Spoolwright.Bench.Causes;

/// <summary>Cholesky factor of a covariance: brings figures onto a scale where all spread by 1 and each by itself.</summary>
// Vectors of the machine's width are not compiled ahead of time; the methods are optimized at once, since the first record that is asked for counts too.
internal sealed class LowerFactor
{
    // Columns brought onto the even scale at a time: their sums stay in registers.
    private const int Lanes = 4;

    private readonly int n;
    private readonly double[] rows;

    /// <param name="covariance">Its lower half is read, row by row.</param>
    /// <param name="n">How many rows.</param>
    /// <exception cref="ArgumentException">The matrix is not positive definite.</exception>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public LowerFactor(ReadOnlySpan<double> covariance, int n)
    {
        (this.n, rows) = (n, new double[n * n]);
        for (var i = 0; i < n; i++)
        {
            var own = rows.AsSpan(i * n, i + 1);
            for (var j = 0; j <= i; j++)
            {
                var other = rows.AsSpan(j * n, j + 1);
                var sum = covariance[(i * n) + j] - Dot(own[..j], other[..j]);
                if (i == j && sum <= 0)
                    throw new ArgumentException("The figures' spread is not positive definite.", nameof(covariance));
                own[j] = i == j ? Math.Sqrt(sum) : sum / other[j];
            }
        }
    }

    /// <summary>Twice the logarithm of the factor's determinant.</summary>
    public double LogDeterminant
    {
        get
        {
            var sum = 0.0;
            for (var i = 0; i < n; i++)
                sum += Math.Log(rows[(i * n) + i]);
            return 2 * sum;
        }
    }

    /// <summary>The figures on the even scale.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double[] Even(double[] figures)
    {
        var even = new double[n];
        for (var i = First(figures); i < n; i++)
            even[i] = (figures[i] - Dot(rows.AsSpan(i * n, i), even.AsSpan(0, i))) / rows[(i * n) + i];
        return even;
    }

    /// <summary>Several lists of figures on the even scale, each by itself; together, since the factor is then read once for many.</summary>
    public double[][] Even(double[][] many)
    {
        var even = new double[many.Length][];
        var wide = Lanes * Vector<double>.Count;
        for (var from = 0; from < many.Length; from += wide)
            Even(many.AsSpan(from, Math.Min(wide, many.Length - from)), even.AsSpan(from), wide);
        return even;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Even(ReadOnlySpan<double[]> many, Span<double[]> to, int wide)
    {
        var first = n;
        foreach (var figures in many)
            first = Math.Min(first, First(figures));
        // Row by row, the lists side by side.
        var even = new double[n * wide];
        var sums = new double[wide];
        for (var i = first; i < n; i++)
        {
            for (var k = 0; k < many.Length; k++)
                sums[k] = many[k][i];
            var (a, b, c, d) = (Side(sums, 0), Side(sums, 1), Side(sums, 2), Side(sums, 3));
            for (var j = first; j < i; j++)
            {
                var by = new Vector<double>(rows[(i * n) + j]);
                var row = even.AsSpan(j * wide, wide);
                a -= by * Side(row, 0);
                b -= by * Side(row, 1);
                c -= by * Side(row, 2);
                d -= by * Side(row, 3);
            }

            var scale = new Vector<double>(rows[(i * n) + i]);
            var own = even.AsSpan(i * wide, wide);
            (a / scale).CopyTo(own);
            (b / scale).CopyTo(own[Vector<double>.Count..]);
            (c / scale).CopyTo(own[(2 * Vector<double>.Count)..]);
            (d / scale).CopyTo(own[(3 * Vector<double>.Count)..]);
        }

        for (var k = 0; k < many.Length; k++)
        {
            to[k] = new double[n];
            for (var i = first; i < n; i++)
                to[k][i] = even[(i * wide) + k];
        }
    }

    private static Vector<double> Side(ReadOnlySpan<double> of, int number) => new(of[(number * Vector<double>.Count)..]);

    /// <summary>Solves A x = b for a small positive definite A by its factor.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public double[] Solve(double[] right)
    {
        var x = Even(right);
        for (var i = n - 1; i >= 0; i--)
        {
            x[i] /= rows[(i * n) + i];
            for (var j = 0; j < i; j++)
                x[j] -= rows[(i * n) + j] * x[i];
        }

        return x;
    }

    /// <summary>The diagonal of the inverse of A at one place.</summary>
    public double Inverse(int at)
    {
        var unit = new double[n];
        unit[at] = 1;
        var even = Even(unit);
        return Dot(even, even);
    }

    /// <summary>Sum of products of numbers, as many as the shorter has.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static double Dot(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        var count = Math.Min(a.Length, b.Length);
        var step = Vector<double>.Count;
        var (p, q) = (Vector<double>.Zero, Vector<double>.Zero);
        var i = 0;
        // Two sums at a time: one would wait for itself.
        for (; i <= count - (2 * step); i += 2 * step)
        {
            p += new Vector<double>(a[i..]) * new Vector<double>(b[i..]);
            q += new Vector<double>(a[(i + step)..]) * new Vector<double>(b[(i + step)..]);
        }

        var total = Vector.Sum(p + q);
        for (; i < count; i++)
            total += a[i] * b[i];
        return total;
    }

    // Before the first that is not nothing, nothing comes of them.
    private int First(double[] figures)
    {
        var i = 0;
        while (i < n && figures[i] == 0)
            i++;
        return i;
    }
}
