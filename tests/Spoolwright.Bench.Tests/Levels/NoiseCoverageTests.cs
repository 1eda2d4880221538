using System.Globalization;
using System.Text.RegularExpressions;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>
/// The stated uncertainty of noise against its truth over many seeds. Truth is the value that the capture itself has, by <see cref="RealisedNoise"/>;
/// of hum and mains frequency what was put in. How far another capture may differ is told in the method, and held against the level of the process.
/// </summary>
public sealed class NoiseCoverageTests
{
    private const int Rate = 44_100;
    private const int Frames = 1 << 18;

    [Fact]
    public void Noise_OverSeeds_LiesWithinItsUncertainty() => Check(40, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void Noise_OverAThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty() => Check(1000, 0);

    private static void Check(int seeds, double sigmas)
    {
        var errors = new Dictionary<string, List<(double Error, double Stated)>>();
        var chance = new Dictionary<string, List<(double Value, double Stated)>>();
        for (var seed = 1; seed <= seeds; seed++)
        {
            var sound = new LevelSound(Rate, Frames / (double)Rate, seed).Noise(-60);
            var left = RealisedNoise.Of(sound.Left, Rate);
            var hiss = RealisedNoise.Of(sound.Right, Rate).Unweighted;
            sound.Tone(49.8, -300, -74, flutterSeed: seed).Tone(149.4, -300, -74, flutterSeed: seed + 5000);
            foreach (var r in NoiseMeasurement.Measure(sound.Sound(), MeasurementSettings.None, null).Readings)
            {
                double? truth = (r.Quantity, r.Channel) switch
                {
                    ("noise-a", Channel.Left) => left.A,
                    ("noise-468", Channel.Left) => left.Quasi,
                    ("noise-unweighted", Channel.Left) => left.Unweighted,
                    ("hiss", Channel.Right) => hiss,
                    ("hum", Channel.Right) when Math.Abs(r.FrequencyHz!.Value - 49.8) < 1 => -74,
                    ("mains-frequency", _) when Math.Abs(r.Value - 49.8) < 1 => 49.8,
                    _ => null,
                };
                if (truth is not { } value)
                    continue;
                errors.TryAdd(r.Quantity, []);
                errors[r.Quantity].Add((r.Value - value, r.Uncertainty!.Value));
                if (r.Quantity is "noise-a" or "noise-468" or "noise-unweighted")
                {
                    chance.TryAdd(r.Quantity, []);
                    chance[r.Quantity].Add((r.Value, double.Parse(Regex.Match(r.Method, "up to ([0-9.]+) dB").Groups[1].Value, CultureInfo.InvariantCulture)));
                }
            }
        }

        Assert.Equal(6, errors.Count);
        foreach (var (quantity, list) in errors)
        {
            CoverageCheck.Holds(quantity, list, seeds, sigmas);
        }

        foreach (var (quantity, list) in chance)
        {
            // Two decimals are printed: some hundredths of a decibel are known to half of one.
            var mean = list.Average(c => c.Value);
            var spread = 2 * Math.Sqrt(list.Average(c => Math.Pow(c.Value - mean, 2)));
            TestContext.Current.TestOutputHelper?.WriteLine(FormattableString.Invariant($"{quantity} from capture to capture: said {list.Average(c => c.Stated):0.000}, seen {spread:0.000}"));
            Assert.InRange(list.Average(c => c.Stated), (spread * 0.75) - 0.005, (spread * 1.35) + 0.005);
        }
    }
}
