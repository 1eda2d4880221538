using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Levels;

namespace Spoolwright.Bench.Tests.Distortion;

/// <summary>
/// Stated uncertainties of distortion against truth over seeds of flutter and hiss. Truth is the law of the curve that the tone went through, x − a·x³ + b·x²
/// (<see cref="TapeSound"/>).
/// </summary>
public sealed class DistortionCoverageTests
{
    [Fact]
    public void Harmonics_FewSeeds_LieWithinTheirUncertainty() => Harmonics(60, 3);

    [Fact]
    [Trait("Category", "Long")]
    public void Harmonics_ThousandSeeds_LieWithinTheirUncertaintyNineteenTimesOfTwenty() => Harmonics(1000, 0);

    [Theory]
    [InlineData("ramp")]
    [InlineData("steps")]
    public void Saturation_FewSeeds_LiesWithinItsUncertainty(string kind) => Saturation(kind, 30, 3);

    [Theory]
    [Trait("Category", "Long")]
    [InlineData("ramp")]
    [InlineData("steps")]
    public void Saturation_ThousandSeeds_LiesWithinItsUncertaintyNineteenTimesOfTwenty(string kind) => Saturation(kind, 1000, 0);

    private static void Harmonics(int seeds, double sigmas)
    {
        const double A = 0.4, Cube = 0.1, Square = 0.01;
        double first = A - (0.75 * Cube * A * A * A), second = Square * A * A / 2, third = Cube * A * A * A / 4;
        var total = Math.Sqrt((first * first) + (second * second) + (third * third));
        var truth = new Dictionary<string, double>
        {
            ["third-harmonic"] = 100 * third / total,
            ["second-harmonic"] = 100 * second / total,
            ["thd"] = 100 * Math.Sqrt((second * second) + (third * third)) / total,
        };
        var sound = new TapeSound { RateHz = 44100, FrequencyHz = 1000, Amplitude = _ => A, Seconds = 2, Cube = Cube, Square = Square, Flutter = 0.001, NoiseDb = -50 };
        Check(_ => sound, seeds, sigmas, _ => truth);
    }

    // A cube's fundamental is highest at A² = 4/(9a), where it is 2A/3 [computed]. Each seed has another cube, so that the top lies anywhere between two steps.
    private static void Saturation(string kind, int seeds, double sigmas)
    {
        static double Cube(int seed) => Math.Pow(1.5, new Random(seed).NextDouble()) / 1.2;
        var level = kind == "ramp" ? TapeSound.Ramp(-24, -0.5, 8) : StepsWithGaps;
        Check(
            seed => new TapeSound { RateHz = 64000, FrequencyHz = 10000, Amplitude = level, Seconds = kind == "ramp" ? 8 : 14.4, Cube = Cube(seed), Flutter = 0.001, NoiseDb = -45 },
            seeds, sigmas, seed => new() { ["saturation"] = 20 * Math.Log10(2.0 / 3 * Math.Sqrt(4 / (9 * Cube(seed)))) });

        // As the program rises, only faster.
        static double StepsWithGaps(double t) => t % 0.6 > 0.5 ? 0 : Math.Pow(10, (-23.5 + Math.Floor(t / 0.6)) / 20);
    }

    private static void Check(Func<int, TapeSound> sound, int seeds, double sigmas, Func<int, Dictionary<string, double>> truths)
    {
        var lists = truths(1).Keys.ToDictionary(q => q, _ => new List<(double Error, double Stated)>());
        Parallel.For(1, seeds + 1, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var (made, truth) = (sound(seed), truths(seed));
            var (left, _) = made.Samples(seed);
            var readings = DistortionMeasurement.Measure(new HeldSound(made.RateHz, left, null), MeasurementSettings.None, null).Readings;
            lock (lists)
            {
                foreach (var r in readings.Where(r => truth.ContainsKey(r.Quantity)))
                    lists[r.Quantity].Add((r.Value - truth[r.Quantity], r.Uncertainty!.Value));
            }
        });
        Assert.Multiple([.. lists.Select(l => (Action)(() => CoverageCheck.Holds(l.Key, l.Value, seeds, sigmas)))]);
    }
}
