using Spoolwright.Bench.Measurements;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>
/// The stated uncertainty of noise against its truth over many seeds. Truth is the level of the process itself (so the chance of one capture counts),
/// by the known density and the weighting's formula; for the quasi-peak figure the mean of all captures stands in, as no formula gives it.
/// </summary>
public sealed class NoiseCoverageTests
{
    [Fact]
    public void Noise_OverSeeds_LiesWithinItsUncertainty() => Check(120, 3, 1e9);

    [Fact]
    [Trait("Category", "Long")]
    public void Noise_OverAThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => Check(1000, 0, 1.3);

    private static void Check(int seeds, double sigmas, double mostOfStated)
    {
        const int rate = 44100;
        var errors = new Dictionary<string, List<(double Error, double Stated)>>();
        var truth = new Dictionary<string, double>
        {
            ["noise-a"] = -60 + (10 * Math.Log10(AOfWhite(rate / 2.0))),
            ["noise-unweighted"] = -60 + (10 * Math.Log10(1 - (22.4 / (rate / 2.0)))),
            ["hum"] = -74,
            ["mains-frequency"] = 49.8,
        };
        for (var seed = 1; seed <= seeds; seed++)
        {
            var sound = new LevelSound(rate, 5, seed).Noise(-60).Tone(49.8, -300, -74, flutterSeed: seed).Tone(149.4, -300, -74, flutterSeed: seed + 5000);
            var result = NoiseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null);
            foreach (var reading in result.Readings)
            {
                var counted = reading.Quantity switch
                {
                    "noise-a" or "noise-468" or "noise-unweighted" => reading.Channel == Channel.Left,
                    "hum" => reading.Channel == Channel.Right && Math.Abs(reading.FrequencyHz!.Value - 49.8) < 1,
                    "mains-frequency" => Math.Abs(reading.Value - 49.8) < 1,
                    _ => false,
                };
                if (counted)
                {
                    errors.TryAdd(reading.Quantity, []);
                    errors[reading.Quantity].Add((reading.Value, reading.Uncertainty!.Value));
                }
            }
        }

        foreach (var (quantity, list) in errors)
        {
            var middle = truth.TryGetValue(quantity, out var known) ? known : list.Average(p => p.Error);
            var inside = list.Count(p => Math.Abs(p.Error - middle) <= p.Stated) / (double)list.Count;
            var empirical = 2 * Math.Sqrt(list.Average(p => Math.Pow(p.Error - middle, 2)));
            var stated = list.Select(p => p.Stated).Order().ElementAt(list.Count / 2);
            var slack = sigmas * Math.Sqrt(0.05 * 0.95 / list.Count);
            TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"{quantity}: {100 * inside:0.0} % of {list.Count}, stated {stated:0.0000}, empirical {empirical:0.0000}, bias {list.Average(p => p.Error) - middle:0.0000}"));
            Assert.True(list.Count >= 0.9 * seeds, quantity);
            Assert.True(inside >= (sigmas > 0 ? 0.95 : 0.93) - slack, $"{quantity}: {inside}");
            Assert.True(inside <= (sigmas > 0 ? 1 : 0.97), $"{quantity}: {inside}");
            Assert.True(stated <= mostOfStated * empirical, $"{quantity}: stated {stated}, empirical {empirical}");
        }
    }

    // Share of white noise up to half the rate that the A-weighting lets through, by its formula [IEC61672-1:2013].
    private static double AOfWhite(double top)
    {
        double sum = 0;
        const double step = 0.5;
        double Gain(double f)
        {
            var f2 = f * f;
            return 12194.217 * 12194.217 * f2 * f2
                / ((f2 + (20.598997 * 20.598997)) * Math.Sqrt((f2 + (107.65265 * 107.65265)) * (f2 + (737.86223 * 737.86223))) * (f2 + (12194.217 * 12194.217)));
        }

        for (var f = step / 2; f < top; f += step)
        {
            sum += Math.Pow(Gain(f), 2) * step;
        }

        return sum / Math.Pow(Gain(1000), 2) / top;
    }
}
