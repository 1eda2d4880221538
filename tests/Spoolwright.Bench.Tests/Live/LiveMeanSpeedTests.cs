using Spoolwright.Bench.Live;
using Spoolwright.Bench.Tests.Levels;

namespace Spoolwright.Bench.Tests.Live;

/// <summary>The live mean speed of a steady tone against the speed that it was made with, over seeds of speed and hiss.</summary>
public sealed class LiveMeanSpeedTests
{
    private const int Rate = 32_000;

    [Fact]
    public void SpeedError_OverFewSeeds_LiesWithinItsUncertainty() => OverSeeds(60, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void SpeedError_OverThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => OverSeeds(1000, 0);

    private static void OverSeeds(int seeds, double sigmas)
    {
        List<(double, double)> errors = [];
        for (var seed = 1; seed <= seeds; seed++)
        {
            var random = new Random(seed);
            var (speed, seconds) = (0.02 * (random.NextDouble() - 0.5), 6 + (4 * random.NextDouble()));
            var noise = 0.25 / Math.Sqrt(2) * Math.Pow(10, -(35 + (25 * random.NextDouble())) / 20);
            var meters = new LiveMeters(Rate, new LiveContext());
            float[] left = new float[1600], right = new float[1600];
            for (var at = 0; at < seconds * Rate; at += left.Length)
            {
                for (var i = 0; i < left.Length; i++)
                {
                    var turn = 2 * Math.PI * 3150 * (1 + speed) * ((at + i) / (double)Rate);
                    left[i] = (float)((0.25 * Math.Sin(turn)) + (noise * Gauss(random)));
                    right[i] = (float)((0.25 * Math.Sin(turn - 0.3)) + (noise * Gauss(random)));
                }

                meters.Add(left, right);
            }

            var reading = meters.Read(withRings: false).Readings.Single(r => r.Reading.Quantity == "speed-error").Reading;
            errors.Add((1e6 * (reading.Value - (100 * speed)), 1e6 * reading.Uncertainty!.Value));
        }

        CoverageCheck.Holds("live mean speed, millionths of %", errors, seeds, sigmas);
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
