using Spoolwright.Bench.Live;
using Spoolwright.Bench.Tests.Bias;

namespace Spoolwright.Bench.Tests.Live;

/// <summary>
/// The drop that the live hill shows once the hand rests past the peak, against the made-up tape's own curve, over hands drawn by chance.
/// Noise: white up to 20 Hz, and a share of it as strong in every octave from 0.02 Hz on.
/// </summary>
public sealed class LiveHillCoverageTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(0)]
    [InlineData(0.3)]
    public void Drop_OfAFewDrawnHands_LiesWithinItsUncertainty(double slow) =>
        Hold(slow, 100, 0.93 - (3 * Math.Sqrt(0.93 * 0.07 / 100)), 2.2);

    // The design's bounds.
    [Theory]
    [Trait("Category", "Long")]
    [InlineData(0)]
    [InlineData(0.3)]
    public void Drop_OfAThousandDrawnHands_LiesWithinItsUncertainty(double slow) => Hold(slow, 1000, 0.93, 1.3, 0.97);

    private void Hold(double slow, int seeds, double least, double widest, double most = 1)
    {
        List<(double Off, double Stated)> drops = [];
        for (var seed = 1; seed <= seeds; seed++)
        {
            var random = new Random(seed * 104_729);
            var bias = BiasTurn.Drawn(random, seed % 2 == 0);
            // Three seconds of rest at the end, as the desk waits for the value to stand.
            double[] held = [.. bias, .. Enumerable.Repeat(bias[^1], 3 * 40)];
            var course = BiasTurn.Course(held, 0.3, slow, random);
            var hill = new BiasHill(Channel.Left, 10_000);
            foreach (var level in course)
                hill.Point([new(10_000, level - 20, level - 20, 0.1, 0.1, 0, 0, 0.05), new(1000, -20, -20, 0.1, 0.1, 0, 0, 0.05)]);
            if (hill.Read() is { DropDb: { } drop, UncertaintyDb: { } stated })
                drops.Add((drop + BiasTurn.Level(bias[^1]), stated));
        }

        var inside = drops.Average(d => Math.Abs(d.Off) <= d.Stated ? 1.0 : 0);
        double empirical = drops.Select(d => Math.Abs(d.Off)).Order().ElementAt((int)(0.95 * drops.Count)),
            median = drops.Select(d => d.Stated).Order().ElementAt(drops.Count / 2);
        output.WriteLine(
            FormattableString.Invariant(
                $"slow {slow}: {drops.Count} of {seeds}, inside {inside:0.000}, 95 % within {empirical:0.000}, stated {median:0.000}"
            )
        );
        Assert.True(drops.Count >= 0.99 * seeds, $"{drops.Count}");
        Assert.InRange(inside, least, most);
        Assert.True(median <= widest * empirical, $"stated {median:0.000}, empirical {empirical:0.000}");
    }
}
