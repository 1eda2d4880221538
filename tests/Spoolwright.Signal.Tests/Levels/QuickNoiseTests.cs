using Spoolwright.Signal.Levels;

namespace Spoolwright.Signal.Tests.Levels;

/// <summary>The noise that the points within a mean tell of. Truth: series made by chance, their variances counted.</summary>
public sealed class QuickNoiseTests
{
    private const int Span = 5;
    private const int Pieces = 40_000;

    /// <summary>White noise of one: a bend has the variance of a mean, a fifth; a course that rises evenly adds nothing.</summary>
    [Fact]
    public void Bends_WhiteNoiseOnASlope_HaveTheMeansVariance()
    {
        var random = new Random(3);
        double[] level = [.. Enumerable.Range(0, Pieces * Span).Select(i => (0.05 * i) + Gauss(random))];
        var noise = QuickNoise.Of(level, [.. Enumerable.Repeat(true, Pieces)], Span);
        Assert.Equal(0.2, noise.Squares / noise.Count, 0.006); // four standard deviations of such a mean of squares
    }

    /// <summary>White noise and a part fading by each octave from 0.02 to 10 Hz: the scale is what the counted variances say.</summary>
    [Theory]
    [InlineData(0.05)]
    [InlineData(0.2)]
    public void Scale_SlowNoise_IsTheCountedVariancesRatio(double octave)
    {
        var random = new Random(5);
        const int Fine = 10; // points made within one of the course's
        double[] kept = [.. Enumerable.Range(0, 10).Select(k => Math.Exp(-2 * Math.PI * 0.02 * Math.Pow(2, k) * 0.05 / Fine))];
        double[] state = [.. kept.Select(_ => Gauss(random))];
        var level = new double[Pieces * Span];
        double slowestInMeans = 0;
        for (var i = 0; i < level.Length; i++)
        {
            for (var f = 0; f < Fine; f++)
            {
                for (var k = 0; k < kept.Length; k++)
                {
                    state[k] = (kept[k] * state[k]) + (Math.Sqrt(1 - (kept[k] * kept[k])) * Gauss(random));
                    level[i] += Math.Sqrt(octave) * state[k] / Fine;
                }
            }

            level[i] += Gauss(random);
        }

        var noise = QuickNoise.Of(level, [.. Enumerable.Repeat(true, Pieces)], Span);
        noise.Learn(0.02, 2.56, 0.25, Span);

        // What is white to the means: a fifth, and the three quickest octaves as the means hold them, by the double sum over a
        // mean's fine points.
        for (var k = 7; k < kept.Length; k++)
        {
            for (var a = 0; a < Span * Fine; a++)
            {
                for (var b = 0; b < Span * Fine; b++)
                {
                    slowestInMeans += octave * Math.Pow(kept[k], Math.Abs(a - b)) / (Span * Fine * Span * Fine);
                }
            }
        }

        var white = 0.2 + slowestInMeans;
        Assert.Equal(noise.Squares / noise.Count / white, noise.Scale(octave / white), 0.03);
    }

    /// <summary>A dropout in one piece in a hundred is no noise.</summary>
    [Fact]
    public void Bends_Dropouts_AreLeftOut()
    {
        var random = new Random(7);
        double[] level = [.. Enumerable.Range(0, Pieces * Span).Select(i => Gauss(random) - (i % 500 == 3 ? 40 : 0))];
        var noise = QuickNoise.Of(level, [.. Enumerable.Repeat(true, Pieces)], Span);
        Assert.Equal(0.2, noise.Squares / noise.Count, 0.006);
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
