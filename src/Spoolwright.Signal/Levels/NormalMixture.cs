namespace Spoolwright.Signal.Levels;

/// <summary>Several answers to one question, each normal, weighed: how far from their mean the truth lies in 95.45 of 100 cases.</summary>
public static class NormalMixture
{
    // Two standard deviations of one normal answer.
    private const double Share = 0.954500;

    /// <summary>Half the width about the mean that holds 95.45 % of the whole: for one answer twice its standard deviation.</summary>
    /// <param name="answers">Weight (their sum 1), distance from the mean of all, variance.</param>
    public static double HalfWidth(IReadOnlyList<(double Weight, double Off, double Variance)> answers)
    {
        double low = 0, high = 3 * (Math.Sqrt(answers.Max(a => a.Variance)) + answers.Max(a => Math.Abs(a.Off)));
        for (var i = 0; i < 50; i++)
        {
            var middle = (low + high) / 2;
            double inside = 0;
            foreach (var (weight, off, variance) in answers)
            {
                var sigma = Math.Sqrt(Math.Max(variance, 1e-24));
                inside += weight * (Below((middle - off) / sigma) - Below((-middle - off) / sigma));
            }

            (low, high) = inside < Share ? (middle, high) : (low, middle);
        }

        return high;
    }

    // The normal distribution's integral by Abramowitz and Stegun's rational approximation 26.2.17 [ABRAMOWITZ-1964] (error below 7.5e-8,
    // from memory).
    private static double Below(double x)
    {
        var t = 1 / (1 + (0.2316419 * Math.Abs(x)));
        var tail = Math.Exp(-0.5 * x * x) / Math.Sqrt(2 * Math.PI)
            * t * (0.319381530 + (t * (-0.356563782 + (t * (1.781477937 + (t * (-1.821255978 + (t * 1.330274429))))))));
        return x < 0 ? tail : 1 - tail;
    }
}
