using Spoolwright.Bench.Live;

namespace Spoolwright.Bench.Tests.Live;

/// <summary>
/// Live flutter over many seeds against closed forms: the weighting is 1 at 4 Hz by its definition, so that a sine of speed there of peak a
/// reads a/√2 by rms, a by the quasi-peak indication, and a·sin(0.475π) by two sigma; unweighted likewise at any rate well within its band.
/// </summary>
public sealed class LiveFlutterCoverageTests
{
    private const int Rate = 32_000;
    private const int Seeds = 400;

    [Fact]
    [Trait("Category", "Long")]
    public void Flutter_OverSeeds_LiesWithinItsUncertainty()
    {
        string[] quantities = ["wow-flutter-rms", "wow-flutter-two-sigma", "wow-flutter-quasi-peak", "wow-flutter-unweighted-rms"];
        var inside = new int[quantities.Length];
        var errors = quantities.Select(_ => new List<double>()).ToArray();
        var stated = quantities.Select(_ => new List<double>()).ToArray();
        var random = new Random(20260301);
        for (var seed = 0; seed < Seeds; seed++)
        {
            // In % peak; noise against a tone of 0.25, in the band of half the rate.
            var peak = 0.02 + (0.2 * random.NextDouble());
            var noise = 0.25 / Math.Sqrt(2) * Math.Pow(10, -(45 + (20 * random.NextDouble())) / 20);
            var (phase, speed) = (2 * Math.PI * random.NextDouble(), 0.004 * (random.NextDouble() - 0.5));
            var meters = new LiveMeters(Rate, new LiveContext());
            float[] left = new float[1600], right = new float[1600];
            for (var at = 0; at < 28 * Rate; at += left.Length)
            {
                for (var i = 0; i < left.Length; i++)
                {
                    var t = (double)(at + i) / Rate;
                    var place = (t * (1 + speed)) - (peak / 100 / (2 * Math.PI * 4) * Math.Cos((2 * Math.PI * 4 * t) + phase));
                    (left[i], right[i]) = (
                        (float)((0.25 * Math.Sin(2 * Math.PI * 3150 * place)) + (noise * Gauss(random))),
                        (float)((0.25 * Math.Sin((2 * Math.PI * 3150 * place) - 0.3)) + (noise * Gauss(random)))
                    );
                }

                meters.Add(left, right);
            }

            double[] truth = [peak / Math.Sqrt(2), peak * Math.Sin(0.475 * Math.PI), peak, peak / Math.Sqrt(2)];
            var readings = meters.Read(withRings: false).Readings;
            for (var q = 0; q < quantities.Length; q++)
            {
                // The speed deviates against the mean speed, which is off nominal by a little.
                var reading = readings.Single(r => r.Reading.Quantity == quantities[q]).Reading;
                var error = reading.Value - (truth[q] / (1 + speed));
                inside[q] += Math.Abs(error) <= reading.Uncertainty!.Value ? 1 : 0;
                errors[q].Add(error);
                stated[q].Add(reading.Uncertainty.Value);
            }
        }

        var told = quantities
            .Select(
                (quantity, q) =>
                {
                    stated[q].Sort();
                    var spread = 2 * Math.Sqrt(errors[q].Average(e => e * e));
                    return FormattableString.Invariant(
                        $"{quantity}: {100.0 * inside[q] / Seeds:0.0} % within; median stated {stated[q][Seeds / 2]:0.00000} %, twice the rms error {spread:0.00000} %"
                    );
                }
            )
            .ToArray();
        foreach (var line in told)
            TestContext.Current.TestOutputHelper!.WriteLine(line);
        Assert.True(inside.All(n => n >= 0.93 * Seeds), string.Join("\n", told));
    }

    private static double Gauss(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
