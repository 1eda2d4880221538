using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Tests.Causes;

/// <summary>Beside the closed forms of a mean under noise in which each value keeps a share of the one before it (a textbook's example;
/// from memory).</summary>
public sealed class GeneralizedLeastSquaresTests
{
    [Theory]
    [InlineData(0, 5)]
    [InlineData(0.6, 12)]
    [InlineData(-0.3, 7)]
    [InlineData(0.95, 40)]
    public void Mean_UnderNoiseThatKeepsAShare_HasTheClosedFormsOfItsWeightsSpreadAndDeterminant(double share, int n)
    {
        var random = new Random(7);
        double[] values = [.. Enumerable.Range(0, n).Select(_ => random.NextDouble())];
        var covariance = new double[n * n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j < n; j++)
            {
                covariance[(i * n) + j] = Math.Pow(share, Math.Abs(i - j));
            }
        }

        var fit = GeneralizedLeastSquares.Of(new LowerFactor(covariance, n), [[.. Enumerable.Repeat(1.0, n)]], values);

        // The ends count once, all between them by what they do not share.
        var weight = n - ((n - 2) * share);
        var mean = (values[0] + values[^1] + ((1 - share) * values[1..^1].Sum())) / weight;
        Assert.Equal(mean, fit.Numbers[0], 1e-9);
        Assert.Equal((1 + share) / weight, fit.Covariance()[0], 1e-9);

        // By what each value adds to the one before it.
        double[] left = [.. values.Select(v => v - mean)];
        var squares = (left[0] * left[0])
            + left.Zip(left.Skip(1), (a, b) => (b - (share * a)) * (b - (share * a)) / (1 - (share * share))).Sum();
        Assert.Equal(squares, fit.Squares, 1e-9);
        var determinants = ((n - 1) * Math.Log(1 - (share * share))) + Math.Log(weight / (1 + share));
        Assert.Equal(determinants, fit.LogDeterminants, 1e-9);
        Assert.Equal(-(squares + determinants), fit.Likelihood, 1e-9);
    }
}
