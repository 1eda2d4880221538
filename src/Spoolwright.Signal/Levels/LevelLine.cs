namespace Spoolwright.Signal.Levels;

/// <summary>Least-squares polynomial through a stretch of a level's course, with the variance that its noise leaves of the fitted
/// values.</summary>
public sealed class LevelLine
{
    private readonly double[] _coefficients;
    private readonly double[,] _inverse;
    private readonly double _middle;
    private readonly double _half;

    private LevelLine(double[] coefficients, double[,] inverse, double middle, double half, int count)
    {
        _coefficients = coefficients;
        _inverse = inverse;
        _middle = middle;
        _half = half;
        Count = count;
    }

    /// <summary>Points fitted.</summary>
    public int Count { get; }

    /// <summary>Fits points from..to of the course (the last left out); null where there are too few.</summary>
    /// <param name="level">The course.</param>
    /// <param name="from">First point.</param>
    /// <param name="to">Point after the last.</param>
    /// <param name="degree">0 to 6.</param>
    public static LevelLine? Fit(IReadOnlyList<double> level, int from, int to, int degree)
    {
        int n = to - from, size = degree + 1;
        if (n < size + 2)
        {
            return null;
        }

        double middle = (from + to - 1) / 2.0, half = Math.Max(1, (to - from - 1) / 2.0);
        var normal = new double[size, 2 * size];
        var right = new double[size];
        Span<double> basis = stackalloc double[size];
        for (var i = from; i < to; i++)
        {
            Basis((i - middle) / half, basis);
            for (var a = 0; a < size; a++)
            {
                right[a] += basis[a] * level[i];
                for (var b = 0; b < size; b++)
                {
                    normal[a, b] += basis[a] * basis[b];
                }
            }
        }

        for (var a = 0; a < size; a++)
        {
            normal[a, size + a] = 1;
        }

        // Legendre's polynomials keep this far from singular: no pivots are needed.
        for (var k = 0; k < size; k++)
        {
            var pivot = normal[k, k];
            for (var b = 0; b < 2 * size; b++)
            {
                normal[k, b] /= pivot;
            }

            for (var a = 0; a < size; a++)
            {
                var factor = normal[a, k];
                for (var b = 0; a != k && b < 2 * size; b++)
                {
                    normal[a, b] -= factor * normal[k, b];
                }
            }
        }

        var inverse = new double[size, size];
        var coefficients = new double[size];
        for (var a = 0; a < size; a++)
        {
            for (var b = 0; b < size; b++)
            {
                inverse[a, b] = normal[a, size + b];
                coefficients[a] += inverse[a, b] * right[b];
            }
        }

        return new LevelLine(coefficients, inverse, middle, half, n);
    }

    /// <summary>Slope of a straight line through a stretch, per point; null where it is too short.</summary>
    public static double? Slope(IReadOnlyList<double> level, int from, int to) =>
        Fit(level, from, to, 1) is { } line ? line.At(1) - line.At(0) : null;

    /// <summary>Value at a place in the course.</summary>
    public double At(double index)
    {
        Span<double> basis = stackalloc double[_coefficients.Length];
        Basis((index - _middle) / _half, basis);
        double sum = 0;
        for (var a = 0; a < basis.Length; a++)
        {
            sum += _coefficients[a] * basis[a];
        }

        return sum;
    }

    /// <summary>Variance of that value over the variance of a single point's (independent) noise.</summary>
    public double VarianceFactor(double index)
    {
        Span<double> basis = stackalloc double[_coefficients.Length];
        Basis((index - _middle) / _half, basis);
        double sum = 0;
        for (var a = 0; a < basis.Length; a++)
        {
            for (var b = 0; b < basis.Length; b++)
            {
                sum += basis[a] * _inverse[a, b] * basis[b];
            }
        }

        return sum;
    }

    private static void Basis(double x, Span<double> into)
    {
        into[0] = 1;
        if (into.Length > 1)
        {
            into[1] = x;
        }

        for (var k = 2; k < into.Length; k++)
        {
            into[k] = ((((2 * k) - 1) * x * into[k - 1]) - ((k - 1) * into[k - 2])) / k;
        }
    }
}
