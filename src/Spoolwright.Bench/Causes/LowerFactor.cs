using System.Numerics;
using System.Runtime.CompilerServices;

namespace Spoolwright.Bench.Causes;

/// <summary>Cholesky factor of a covariance: brings figures onto a scale where all spread by 1 and each by itself.</summary>
// Vectors of the machine's width are not compiled ahead of time; the methods are optimized at once, since the first record that is asked
// for counts too.
internal sealed class LowerFactor
{
    // Columns brought onto the even scale at a time: their sums stay in registers.
    private const int Lanes = 4;

    // Columns of the factor made at a time.
    private const int Together = 4;

    private int n;
    private double[] rows = [];

    /// <summary>A room for one factor after the other.</summary>
    public LowerFactor()
    {
    }

    /// <inheritdoc cref="Take"/>
    public LowerFactor(ReadOnlySpan<double> covariance, int n) => Take(covariance, n);

    /// <summary>Factors a covariance; what was factored before is gone.</summary>
    /// <param name="covariance">Its lower half is read, row by row.</param>
    /// <param name="n">How many rows.</param>
    /// <exception cref="ArgumentException">The matrix is not positive definite.</exception>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Take(ReadOnlySpan<double> covariance, int n)
    {
        this.n = n;
        if (rows.Length < n * n)
            rows = new double[n * n];
        Span<double> sums = stackalloc double[Together];
        for (var i = 0; i < n; i++)
        {
            var own = rows.AsSpan(i * n, i + 1);
            var j = 0;
            // Several columns at a time: the row is read once for all, and their sums do not wait for one another.
            for (; j + Together <= i; j += Together)
            {
                Dots(own[..j], j, sums);
                for (var k = 0; k < Together; k++)
                {
                    var sum = covariance[(i * n) + j + k] - sums[k];
                    for (var m = 0; m < k; m++)
                        sum -= own[j + m] * rows[((j + k) * n) + j + m];
                    own[j + k] = sum / rows[((j + k) * n) + j + k];
                }
            }

            for (; j <= i; j++)
            {
                var other = rows.AsSpan(j * n, j + 1);
                var sum = covariance[(i * n) + j] - Dot(own[..j], other[..j]);
                if (i == j && !(sum > 0))
                    throw new ArgumentException("The figures' spread is not positive definite.", nameof(covariance));
                own[j] = i == j ? Math.Sqrt(sum) : sum / other[j];
            }
        }
    }

    // Sums of products of a row's beginning with those of the rows from one on.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Dots(ReadOnlySpan<double> own, int from, Span<double> sums)
    {
        ReadOnlySpan<double> p = rows.AsSpan(from * n, own.Length), q = rows.AsSpan((from + 1) * n, own.Length);
        ReadOnlySpan<double> r = rows.AsSpan((from + 2) * n, own.Length), s = rows.AsSpan((from + 3) * n, own.Length);
        var (a, b, c, d) = (Vector<double>.Zero, Vector<double>.Zero, Vector<double>.Zero, Vector<double>.Zero);
        var i = 0;
        for (; i <= own.Length - Vector<double>.Count; i += Vector<double>.Count)
        {
            var by = new Vector<double>(own[i..]);
            a += by * new Vector<double>(p[i..]);
            b += by * new Vector<double>(q[i..]);
            c += by * new Vector<double>(r[i..]);
            d += by * new Vector<double>(s[i..]);
        }

        (sums[0], sums[1], sums[2], sums[3]) = (Vector.Sum(a), Vector.Sum(b), Vector.Sum(c), Vector.Sum(d));
        for (; i < own.Length; i++)
        {
            sums[0] += own[i] * p[i];
            sums[1] += own[i] * q[i];
            sums[2] += own[i] * r[i];
            sums[3] += own[i] * s[i];
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
        var even = figures[..n];
        ToEven(even, First(figures));
        return even;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void ToEven(Span<double> figures, int from)
    {
        for (var i = from; i < n; i++)
            figures[i] = (figures[i] - Dot(rows.AsSpan(i * n, i), figures[..i])) / rows[(i * n) + i];
    }

    /// <summary>Several lists of figures on the even scale, each by itself; together, since the factor is then read once for
    /// many.</summary>
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
    /// <param name="right">b; holds x afterwards.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Solve(Span<double> right)
    {
        ToEven(right, 0);
        for (var i = n - 1; i >= 0; i--)
        {
            var x = right[i] /= rows[(i * n) + i];
            var own = rows.AsSpan(i * n, i);
            for (var j = 0; j < own.Length; j++)
                right[j] -= own[j] * x;
        }
    }

    /// <summary>The inverse of A, row by row.</summary>
    public double[] Inverse()
    {
        var inverse = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            inverse[(i * n) + i] = 1;
            Solve(inverse.AsSpan(i * n, n));
        }

        return inverse;
    }

    /// <summary>The diagonal of the inverse of A at one place.</summary>
    public double Inverse(int at)
    {
        Span<double> unit = n <= 256 ? stackalloc double[n] : new double[n];
        unit.Clear();
        unit[at] = 1;
        ToEven(unit, at);
        return Dot(unit, unit);
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
