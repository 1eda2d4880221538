using Spoolwright.Bench.Measurements;
using Spoolwright.Signal.Distortion;

namespace Spoolwright.Bench.Tests.Distortion;

/// <summary>What a ramp's level in time says of the tape's wander, beside sums over short steps of time and the wander that was made.</summary>
public sealed class WanderTests(ITestOutputHelper output)
{
    private const double Third = 0.045;

    // Pieces that touch, whose frames overlap; one apart; and one of twice the length.
    private static readonly (double Seconds, double Length)[] Means = [(0.2, 0.064), (0.264, 0.064), (0.5, 0.064), (1.3, 0.128)];

    [Fact]
    public void Covariance_OfWanderAsStrongInEveryOctave_IsTheSumOverShortSteps()
    {
        var (_, pieces) = Level("cube", 0, 1);
        var kinds = WanderKinds.Of(pieces);
        var closed = kinds.Covariance(Means, 0);
        double[] corners =
        [
            .. Enumerable.Range(0, 30).Select(k => Math.Pow(2, k) / pieces.CaptureSeconds).Where(hz => hz < 2.4 / pieces.Seconds),
        ];
        var window = (12 * pieces.Spread) - (pieces.Seconds * pieces.Seconds);
        for (var i = 0; i < Means.Length; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                const int Steps = 400;
                double[] Places((double Seconds, double Length) m)
                {
                    var length = Math.Sqrt((m.Length * m.Length) + window);
                    return [.. Enumerable.Range(0, Steps).Select(k => m.Seconds + (length * (((k + 0.5) / Steps) - 0.5)))];
                }

                var sum = Places(Means[i])
                    .Average(a => Places(Means[j]).Average(b => corners.Sum(hz => Math.Exp(-2 * Math.PI * hz * Math.Abs(a - b)))));
                Assert.Equal(sum, closed[(i * Means.Length) + j], 1e-3 * sum);
            }
        }
    }

    // Without noise: the course of a ramp follows every law, and leaves no more than a piece's hiss.
    [Fact]
    public void Ramp_ThroughTwelveLaws_LeavesNoMoreThanThousandthsOfADecibel()
    {
        foreach (var law in TapeLaw.Names)
        {
            foreach (var beyond in new[] { 1, 4 })
            {
                var (points, pieces) = Level(law, 0, 1, beyond, null);
                var stretch = Assert.Single(WanderStretches.Of(points, pieces, points[^1].Seconds, points[^1].LevelDb, Third));
                Assert.InRange(Math.Sqrt(stretch.Plain()), 0, 0.002);
            }
        }
    }

    // From a wander of some seven times a piece's hiss up to one of half a piece's rise.
    [Theory]
    [InlineData(0.005)]
    [InlineData(0.02)]
    [InlineData(0.1)]
    public void Wander_OfATape_IsFoundAsStrongAsItWasMade(double wanderDb)
    {
        double[] found =
        [
            .. TapeLaw.Names.Select((law, i) =>
            {
                var (points, pieces) = Level(law, wanderDb, 1 + i);
                var wander = LevelWander.Of(points, pieces, points[^1].Seconds, points[^1].LevelDb, Third);
                return Math.Log10(wander.Known.Sum(s => s.Weight * s.Db2));
            }),
        ];

        // Seven octaves from the capture's length to 20 Hz. Twelve captures scatter by 0.14 at most, so their mean by 0.04: three times that.
        var mean = found.Average() - Math.Log10(wanderDb * wanderDb / 7);
        output.WriteLine($"{wanderDb} dB: {mean:0.000}, {Math.Sqrt(found.Average(f => f * f) - Math.Pow(found.Average(), 2)):0.000}");
        Assert.InRange(mean, -0.12, 0.12);
    }

    // A swing of 0.1 dB as slow as the ramp: short parts took it for the curve's bend, and 77 of 100 truths lay within.
    [Fact]
    public void Mol_UnderASlowSwing_LiesWithinItsUncertainty()
    {
        const int Seeds = 24;
        var inside = 0;
        for (var seed = 1; seed <= Seeds; seed++)
        {
            var (sound, truth) = TapeLaw.Ramp(TapeLaw.Names[seed % TapeLaw.Names.Count], 2, -50);
            var (left, _) = sound.Samples(seed);
            var random = new Random(31 * seed);
            double hz = 0.3 * Math.Pow(4, random.NextDouble()), phase = 2 * Math.PI * random.NextDouble();
            for (var i = 0; i < left.Length; i++)
            {
                left[i] *= (float)Math.Pow(10, 0.1 * Math.Sin((2 * Math.PI * hz * i / sound.RateHz) + phase) / 20);
            }

            var reading = DistortionMeasurement
                .Measure(new HeldSound(sound.RateHz, left, null), MeasurementSettings.None, null)
                .Readings.First(r => r.Quantity == "mol");
            inside += Math.Abs(reading.Value - truth) <= reading.Uncertainty ? 1 : 0;
        }

        output.WriteLine($"{inside} of {Seeds}");

        // Nine in ten, less two standard deviations of chance.
        Assert.InRange(inside, 19, Seeds);
    }

    private static (LevelPoint[] Points, WanderingLevel.Pieces Pieces) Level(
        string law, double wanderDb, int seed, double beyondDb = 2, double? noiseDb = -50)
    {
        var (made, _) = TapeLaw.Ramp(law, beyondDb, -50, wanderDb);
        var sound = made with { NoiseDb = noiseDb };
        var (left, _) = sound.Samples(seed);
        var tracker = new HarmonicTracker(sound.FrequencyHz, sound.RateHz);
        tracker.Add(left);
        return LevelPoint.Even(tracker, sound.RateHz, 0, new ClipMap(sound.RateHz));
    }
}
