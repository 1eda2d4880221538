namespace Spoolwright.Bench.Instruments;

/// <summary>
/// A curve through points that is smooth and nowhere higher or lower than its neighbours: cubic pieces whose slopes are the harmonic means of those
/// of the straight lines on both sides, level where those change sign.
/// </summary>
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

        if (i == 0 || i == x.Length - 1)
        {
            // At an end: the slope of the parabola through the last three, never against the last piece nor three times as steep.
            var (near, far) = i == 0 ? (0, 1) : (i - 1, i - 2);
            double h = x[near + 1] - x[near], g = x[far + 1] - x[far];
            var end = ((((2 * h) + g) * Line(near)) - (h * Line(far))) / (h + g);
            return end * Line(near) <= 0 ? 0 : Math.Abs(end) > 3 * Math.Abs(Line(near)) ? 3 * Line(near) : end;
        }

        double before = Line(i - 1), after = Line(i);
        if (before * after <= 0)
        {
            return 0;
        }

        double left = x[i] - x[i - 1], right = x[i + 1] - x[i];
        double a = (2 * right) + left, b = right + (2 * left);
        return (a + b) / ((a / before) + (b / after));
    }
}
