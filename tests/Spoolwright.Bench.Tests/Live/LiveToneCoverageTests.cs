using Spoolwright.Bench.Live;
using Spoolwright.Bench.Tests.Levels;

namespace Spoolwright.Bench.Tests.Live;

/// <summary>
/// The live level and skew of a tone under flutter against what it was made with (laws: flutter changes neither a sine's peak
/// nor the time by which one channel comes later), in quiet and over seeds of flutter and hiss.
/// </summary>
public sealed class LiveToneCoverageTests
{
    private const int Rate = 44_100;

    // The band that follows the tone let flutter's sidebands through 0.003 dB too strong: 0.00003 dB of level, fifteen times what was stated.
    [Theory]
    [InlineData(1000)]
    [InlineData(10_000)]
    public void Level_OfAFlutteringToneWithoutNoise_IsTrue(double hz)
    {
        foreach (var (error, _) in Errors(hz, noise: 0, flutter: 0.0008, rateHz: 7.6, speed: 1.0021, new Random(1)).Take(2))
            Assert.InRange(error, -3e-6, 3e-6);
    }

    [Fact]
    public void LevelAndSkew_OverFewSeeds_LieWithinTheirUncertainty() => OverSeeds(60, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void LevelAndSkew_OverThousandSeeds_LieWithinTheirUncertaintyNineteenTimesOfTwenty() => OverSeeds(1000, 0);

    private static void OverSeeds(int seeds, double sigmas)
    {
        List<(double, double)> left = [], right = [], skew = [];
        for (var seed = 1; seed <= seeds; seed++)
        {
            var random = new Random(seed);
            var (hz, noiseDb) = (seed % 2 == 0 ? 1000 : 10_000, -75 + (35 * random.NextDouble()));
            var (flutter, rate, speed) = (0.001 * random.NextDouble(), 1 + (24 * random.NextDouble()), 0.995 + (0.01 * random.NextDouble()));
            var errors = Errors(hz, 0.25 / Math.Sqrt(2) * Math.Pow(10, noiseDb / 20), flutter, rate, speed, random);
            left.Add(errors[0]);
            right.Add(errors[1]);
            skew.Add(errors[2]);
        }

        CoverageCheck.Holds("live level, left", left, seeds, sigmas);
        CoverageCheck.Holds("live level, right", right, seeds, sigmas);
        CoverageCheck.Holds("live skew", skew, seeds, sigmas);
    }

    // Error and what was stated, level left and right, dB, and skew, µs, after a second and a half.
    private static (double Error, double Stated)[] Errors(
        double hz,
        double noise,
        double flutter,
        double rateHz,
        double speed,
        Random random
    )
    {
        const double Amplitude = 0.25, RightDb = -0.8;
        var skew = 40e-6 * (random.NextDouble() - 0.5);
        var meters = new LiveMeters(Rate, new LiveContext());
        float[] left = new float[441], right = new float[441];
        for (var at = 0; at < 3 * Rate / 2; at += left.Length)
        {
            for (var i = 0; i < left.Length; i++)
            {
                var t = (double)(at + i) / Rate;
                left[i] = (float)((Amplitude * Math.Sin(Turn(t))) + (noise * Gauss(random)));
                right[i] = (float)((Amplitude * Math.Pow(10, RightDb / 20) * Math.Sin(Turn(t - skew))) + (noise * Gauss(random)));
            }

            meters.Add(left, right);
        }

        var readings = meters.Read(withRings: false).Readings.Select(r => r.Reading).ToArray();
        var level = 20 * Math.Log10(Amplitude);
        return
        [
            Error("tone-level", Channel.Left, level),
            Error("tone-level", Channel.Right, level + RightDb),
            Error("time-skew", null, 1e6 * skew),
        ];

        double Turn(double t) =>
            2 * Math.PI * hz * ((speed * t) + (flutter / (2 * Math.PI * rateHz) * Math.Sin(2 * Math.PI * rateHz * t)));

        (double, double) Error(string quantity, Channel? channel, double truth)
        {
            var reading = readings.Single(r => r.Quantity == quantity && (channel is null || r.Channel == channel));
            return (reading.Value - truth, reading.Uncertainty!.Value);
        }
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
