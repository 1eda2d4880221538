namespace Spoolwright.Bench.Controls;

/// <summary>What a linear fit with prior knowledge came to.</summary>
/// <param name="Mean">Coefficients.</param>
/// <param name="Covariance">Their covariance.</param>
/// <param name="LogEvidence">Logarithm of how probable the data were beforehand, up to a constant common to all fits of the same
/// data.</param>
/// <param name="Misfit">Mean square of the data's distance from what was expected, in its own variance: about 1 where model and data
/// agree.</param>
public sealed record FittedCoefficients(double[] Mean, double[,] Covariance, double LogEvidence, double Misfit);

/// <summary>
/// Weighted linear least squares in which every coefficient has a value expected beforehand and a spread. The same as ordinary least
/// squares with one more row for each coefficient, its residual weighed by the spread; solved in as many unknowns as there are readings,
/// which are few.
/// </summary>
public static class BayesianFit
{
    /// <summary>Fits <paramref name="values"/> by the columns of <paramref name="design"/>.</summary>
    /// <param name="design">A row for each reading, a column for each coefficient.</param>
    /// <param name="values">Readings.</param>
    /// <param name="variance">Variance of each reading, above 0.</param>
    /// <param name="expected">Value of each coefficient expected beforehand.</param>
    /// <param name="spread">Standard deviation of each coefficient beforehand, above 0.</param>
    public static FittedCoefficients Solve(double[,] design, double[] values, double[] variance, double[] expected, double[] spread)
    {
        ArgumentNullException.ThrowIfNull(design);
        ArgumentNullException.ThrowIfNull(values);
        ArgumentNullException.ThrowIfNull(variance);
        ArgumentNullException.ThrowIfNull(expected);
        ArgumentNullException.ThrowIfNull(spread);
        if (
            design.GetLength(0) != values.Length
            || variance.Length != values.Length
            || design.GetLength(1) != expected.Length
            || spread.Length != expected.Length
        )
            throw new ArgumentException(
                $"the design of {design.GetLength(0)} by {design.GetLength(1)} does not fit {values.Length} readings and {expected.Length} coefficients",
                nameof(design)
            );
        var (rows, columns) = (values.Length, expected.Length);
        var surprise = new double[rows];
        var covariance = new double[rows, rows];
        for (var i = 0; i < rows; i++)
        {
            surprise[i] = values[i];
            for (var k = 0; k < columns; k++)
                surprise[i] -= design[i, k] * expected[k];
            for (var j = 0; j <= i; j++)
            {
                var sum = i == j ? variance[i] : 0;
                for (var k = 0; k < columns; k++)
                    sum += design[i, k] * spread[k] * spread[k] * design[j, k];
                covariance[i, j] = sum;
            }
        }

        Factor(covariance, rows);
        var white = (double[])surprise.Clone();
        Forward(covariance, white);
        var (misfit, logDeterminant) = (0.0, 0.0);
        for (var i = 0; i < rows; i++)
        {
            misfit += white[i] * white[i];
            logDeterminant += 2 * Math.Log(covariance[i, i]);
        }

        // Rows of L⁻¹·X·P, from which mean and covariance follow without an inverse.
        var gain = new double[columns][];
        for (var k = 0; k < columns; k++)
        {
            gain[k] = new double[rows];
            for (var i = 0; i < rows; i++)
                gain[k][i] = design[i, k] * spread[k] * spread[k];
            Forward(covariance, gain[k]);
        }

        var mean = (double[])expected.Clone();
        var after = new double[columns, columns];
        for (var k = 0; k < columns; k++)
        {
            mean[k] += Dot(gain[k], white);
            for (var l = 0; l <= k; l++)
                after[k, l] = after[l, k] = (k == l ? spread[k] * spread[k] : 0) - Dot(gain[k], gain[l]);
            after[k, k] = Math.Max(after[k, k], 0);
        }

        return new FittedCoefficients(mean, after, -0.5 * (misfit + logDeterminant), misfit / rows);
    }

    private static double Dot(double[] a, double[] b)
    {
        var sum = 0.0;
        for (var i = 0; i < a.Length; i++)
            sum += a[i] * b[i];
        return sum;
    }

    /// <summary>Cholesky factor, in place, lower triangle.</summary>
    private static void Factor(double[,] matrix, int size)
    {
        for (var j = 0; j < size; j++)
        {
            for (var i = j; i < size; i++)
            {
                var sum = matrix[i, j];
                for (var k = 0; k < j; k++)
                    sum -= matrix[i, k] * matrix[j, k];
                // Rounding may bring a pivot that is the reading's own variance below 0.
                matrix[i, j] = i == j ? Math.Sqrt(Math.Max(sum, 1e-14 * matrix[i, i] + double.Epsilon)) : sum / matrix[j, j];
            }
        }
    }

    private static void Forward(double[,] factor, double[] right)
    {
        for (var i = 0; i < right.Length; i++)
        {
            for (var k = 0; k < i; k++)
                right[i] -= factor[i, k] * right[k];
            right[i] /= factor[i, i];
        }
    }
}
