using Spoolwright.Signal.Levels;

namespace Spoolwright.Signal.Tests.Levels;

/// <summary>The half width of a mixture against the normal law, and against draws.</summary>
public sealed class NormalMixtureTests
{
    [Theory]
    [InlineData(1)]
    [InlineData(0.003)]
    public void HalfWidth_OfOneAnswer_IsTwiceItsStandardDeviation(double sigma) =>
        Assert.Equal(2 * sigma, NormalMixture.HalfWidth([(1, 0, sigma * sigma)]), 1e-5 * sigma);

    [Fact]
    public void HalfWidth_OfTwoSureAnswersApart_ReachesBoth() =>
        Assert.Equal(1, NormalMixture.HalfWidth([(0.5, -1, 1e-10), (0.5, 1, 1e-10)]), 1e-3);

    [Fact]
    public void HalfWidth_OfThreeAnswers_HoldsSoManyDraws()
    {
        (double Weight, double Off, double Variance)[] answers = [(0.7, -0.06, 0.01), (0.2, 0.08, 0.04), (0.1, 0.26, 0.25)];
        var half = NormalMixture.HalfWidth(answers);
        var random = new Random(3);
        var inside = 0;
        const int Draws = 400_000;
        for (var i = 0; i < Draws; i++)
        {
            var pick = random.NextDouble();
            var (_, off, variance) = pick < 0.7 ? answers[0] : pick < 0.9 ? answers[1] : answers[2];
            var normal = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            inside += Math.Abs(off + (Math.Sqrt(variance) * normal)) <= half ? 1 : 0;
        }

        Assert.Equal(0.9545, inside / (double)Draws, 0.0015); // four standard deviations of chance
    }
}
