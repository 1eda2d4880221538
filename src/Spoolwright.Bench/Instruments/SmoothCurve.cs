namespace Spoolwright.Bench.Instruments;

/// <summary>A smooth curve through points: cubic pieces whose slope at each point is that of the parabola through it and its
/// neighbours.</summary>
internal static class SmoothCurve
{
    /// <summary>The curve between point <paramref name="i"/> and the next.</summary>
    /// <param name="x">Rising abscissae, two or more.</param>
    /// <param name="y">Ordinates.</param>
    /// <param name="i">The piece.</param>
    /// <param name="u">Place in it, 0 to 1.</param>
    public static double At(double[] x, double[] y, int i, double u)
    {
        var width = x[i + 1] - x[i];
        double u2 = u * u, u3 = u2 * u;
        return (y[i] * (1 - (3 * u2) + (2 * u3))) + (y[i + 1] * ((3 * u2) - (2 * u3)))
            + (width * Slope(x, y, i) * (u3 - (2 * u2) + u)) + (width * Slope(x, y, i + 1) * (u3 - u2));
    }

    private static double Slope(double[] x, double[] y, int i)
    {
        double Line(int k) => (y[k + 1] - y[k]) / (x[k + 1] - x[k]);
        if (x.Length == 2)
        {
            return Line(0);
        }

        // The parabola through three points has at their middle the mean of both lines' slopes, each weighed by the other's width.
        var middle = Math.Clamp(i, 1, x.Length - 2);
        double left = x[middle] - x[middle - 1], right = x[middle + 1] - x[middle];
        double before = Line(middle - 1), after = Line(middle);
        var bend = (after - before) / (left + right);
        return (((right * before) + (left * after)) / (left + right)) + (2 * bend * (x[i] - x[middle]));
    }
}
