namespace Spoolwright.Signal.Alignment;

/// <summary>
/// The evenest course through values of different worth: least squares with its second differences held small
/// (graduation of a series [GRADUATION-1923]), solved by a band of five.
/// </summary>
internal static class EvenCourse
{
    /// <summary>Minimises Σ wᵢ(yᵢ − zᵢ)² + λ·Σ (zᵢ₋₁ − 2zᵢ + zᵢ₊₁)².</summary>
    /// <param name="values">y.</param>
    /// <param name="weights">w, not negative, at least two above 0.</param>
    /// <param name="evenness">λ.</param>
    public static double[] Through(double[] values, double[] weights, double evenness)
    {
        var n = values.Length;
        if (n < 3)
        {
            return [.. values];
        }

        // D'D has the rows (1 −2 1) squared: its diagonal and two beside it.
        double[] main = new double[n], next = new double[n], third = new double[n], right = new double[n];
        for (var i = 0; i < n; i++)
        {
            (main[i], right[i]) = (weights[i], weights[i] * values[i]);
        }

        for (var i = 1; i < n - 1; i++)
        {
            main[i - 1] += evenness;
            main[i] += 4 * evenness;
            main[i + 1] += evenness;
            next[i - 1] -= 2 * evenness;
            next[i] -= 2 * evenness;
            third[i - 1] += evenness;
        }

        // Cholesky of a band: main, next and third become L·D·L'.
        for (var i = 0; i < n; i++)
        {
            if (i + 1 < n)
            {
                var factor = next[i] / main[i];
                main[i + 1] -= factor * next[i];
                if (i + 2 < n)
                {
                    next[i + 1] -= factor * third[i];
                }

                right[i + 1] -= factor * right[i];
            }

            if (i + 2 < n)
            {
                var factor = third[i] / main[i];
                main[i + 2] -= factor * third[i];
                right[i + 2] -= factor * right[i];
            }
        }

        var course = new double[n];
        for (var i = n - 1; i >= 0; i--)
        {
            course[i] = (right[i] - (i + 1 < n ? next[i] * course[i + 1] : 0) - (i + 2 < n ? third[i] * course[i + 2] : 0)) / main[i];
        }

        return course;
    }
}
