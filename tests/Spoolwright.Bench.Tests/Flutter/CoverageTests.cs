using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>
/// Stated uncertainties against what the errors do, over a thousand captures with flutter drawn anew (design 9: within 93 to 97 %, and the
/// median stated at most 1.3 times the empirical). Truth is what the speed of each capture realises, by <see cref="ExactSpeed"/>.
/// </summary>
public class CoverageTests(ITestOutputHelper output)
{
    private const double CarrierHz = 3150;
    private const double Seconds = 8;

    /// <summary>The fixed part: 250 captures, whose coverage scatters by 1.3 %, so it is held to 95.4 ± 4.5 %.</summary>
    [Theory]
    [InlineData(60, 0.0)]
    [InlineData(30, 0.0)]
    [InlineData(60, 0.05)]
    [InlineData(30, 0.05)]
    public void Uncertainty_OfSpeedSignals_CoversTheTruth(double snrDb, double flutterPercent) =>
        Hold(250, 91, 99.9, (lines, seed) => FromSpeed(lines, snrDb, Seconds, 20000 + seed), flutterPercent);

    [Theory]
    [InlineData(60, 0.0)]
    [InlineData(30, 0.0)]
    [InlineData(60, 0.05)]
    [InlineData(30, 0.05)]
    [Trait("Category", "Long")]
    public void Uncertainty_OfManySpeedSignals_CoversTheTruth(double snrDb, double flutterPercent) =>
        Hold(2000, 93, 97, (lines, seed) => FromSpeed(lines, snrDb, Seconds, 20000 + seed), flutterPercent);

    [Theory]
    [InlineData(60, 0.0)]
    [InlineData(30, 0.0)]
    [InlineData(60, 0.05)]
    [InlineData(30, 0.05)]
    [Trait("Category", "Long")]
    public void Uncertainty_OfSound_CoversTheTruth(double snrDb, double flutterPercent) =>
        Hold(
            1000,
            93,
            97,
            (lines, seed) =>
                new SpeedSound
                {
                    RateHz = 44100,
                    Seconds = Seconds,
                    SnrDb = snrDb,
                    Seed = 90000 + seed,
                    Lines = lines,
                    ErrorPercent = 0.3,
                }.Measured(),
            flutterPercent
        );

    private void Hold(int seeds, double atLeast, double atMost, Func<SpeedLine[], int, FlutterResult> measure, double flutterPercent)
    {
        var trials = Names.Select(_ => new Trial[seeds]).ToArray();
        Parallel.For(0, seeds, new ParallelOptions { MaxDegreeOfParallelism = 2 }, seed =>
        {
            var lines = DrawnFlutter(new Random(seed), flutterPercent);
            var found = Compare(measure(lines, seed), lines, Seconds);
            for (var i = 0; i < found.Length; i++)
            {
                trials[i][seed] = found[i];
            }
        });

        var wrong = new List<string>();
        for (var i = 0; i < trials.Length; i++)
        {
            var covered = 100.0 * trials[i].Count(t => Math.Abs(t.Error) <= t.Stated) / seeds;
            var empirical = trials[i].Select(t => Math.Abs(t.Error)).Order().ElementAt((int)(0.9545 * seeds));
            var stated = trials[i].Select(t => t.Stated).Order().ElementAt(seeds / 2);
            var line = FormattableString.Invariant(
                $"{Names[i]}: covers {covered:0.0} %, stated {stated:0.0e0}, empirical {empirical:0.0e0}, ratio {stated / empirical:0.00}, bias {trials[i].Average(t => t.Error):0.0e0}"
            );
            output.WriteLine(line);
            if (covered < atLeast || covered > atMost || stated > 1.3 * empirical)
            {
                wrong.Add(line);
            }
        }

        Assert.True(wrong.Count == 0, string.Join('\n', wrong));
    }

    private static readonly string[] Names = ["mean", "drift", "weighted", "two-sigma", "quasi-peak", "unweighted", "wow", "flutter"];

    private readonly record struct Trial(double Error, double Stated);

    private static Trial[] Compare(FlutterResult result, SpeedLine[] lines, double seconds)
    {
        const double rate = 1000;
        var exact = new ExactSpeed(lines);
        var mean = lines.Sum(l =>
            l.PeakPercent * (Math.Cos(l.Phase) - Math.Cos((2 * Math.PI * l.Hz * seconds) + l.Phase)) / (2 * Math.PI * l.Hz * seconds)
        );
        var speed = exact.Filtered(_ => 1, seconds, rate);
        var drift = 12 * speed.Select((v, i) => v * (((i + 0.5) / rate) - (seconds / 2)) / rate).Sum() / (seconds * seconds);
        var weighted = exact.Weighted(seconds, rate);
        var detector = new QuasiPeakDetector(Iec60386Edition1988.Detector, 2205);
        var indications = exact.Weighted(seconds, 2205).Select(detector.Next).ToArray().Skip((int)(5 * 2205)).Order().ToArray();
        var nominal = result.NominalHz;
        var error = 100 * ((result.MeanHz.Value / nominal) - 1);
        var offset = Math.Round(error * 10) / 10; // the speed error put in is a multiple of 0.1 %
        return
        [
            new(error - offset - (mean * (1 + (offset / 100))), 100 * result.MeanHz.Expanded / nominal),
            new(result.Drift.Value - drift, result.Drift.Expanded),
            new(result.WeightedRms.Value - ExactSpeed.Rms(weighted), result.WeightedRms.Expanded),
            new(result.TwoSigma!.Value.Value - ExactSpeed.TwoSigma(weighted), result.TwoSigma.Value.Expanded),
            new(result.QuasiPeak!.Value.Value - indications[(int)(0.95 * indications.Length)], result.QuasiPeak.Value.Expanded),
            new(result.UnweightedRms.Value - ExactSpeed.Rms(exact.Unweighted(seconds, rate)), result.UnweightedRms.Expanded),
            new(result.WowRms.Value - ExactSpeed.Rms(exact.Wow(seconds, rate)), result.WowRms.Expanded),
            new(result.FlutterRms.Value - ExactSpeed.Rms(exact.Flutter(seconds, rate)), result.FlutterRms.Expanded),
        ];
    }

    // Five turning parts and 20 lines spread evenly from 0.5 to 100 Hz, half of the power each.
    internal static SpeedLine[] DrawnFlutter(Random random, double rmsPercent)
    {
        if (rmsPercent <= 0)
        {
            return [];
        }

        double[] parts = [0.7, 1.6, 5, 11, 30];
        var lines = parts
            .Select(f => f * (0.8 + (0.4 * random.NextDouble())))
            .Concat(Enumerable.Range(0, 20).Select(_ => 0.5 + (99.5 * random.NextDouble())))
            .Select((f, i) => new SpeedLine(f, (i < 5 ? 2 : 1) * (0.5 + random.NextDouble()), 2 * Math.PI * random.NextDouble()))
            .ToArray();
        var rms = Math.Sqrt(lines.Sum(l => l.PeakPercent * l.PeakPercent) / 2);
        return lines.Select(l => l with { PeakPercent = l.PeakPercent * rmsPercent / rms }).ToArray();
    }

    // The speed signal as the demodulator hands it on, two channels with white phase noise, without the cost of the sound.
    private static FlutterResult FromSpeed(SpeedLine[] lines, double snrDb, double seconds, int seed)
    {
        const double rate = 4410, edge = 78 / 44100.0;
        var statistics = new SpeedStatistics(FlutterPractice.Settings(3150), rate, CarrierTracker.BandOf(CarrierHz, 44100).Pass, seconds);
        var random = new Gaussian(seed);
        var sigma = Math.Sqrt(Math.Pow(10, -snrDb / 10) / 20000 * rate / 2) / (2 * Math.PI); // cycles, one channel
        double previousLeft = 0, previousRight = 0;
        var count = (int)((seconds - (2 * edge)) * rate);
        var cycles = new double[count + 1];
        foreach (var line in lines)
        {
            var w = 2 * Math.PI * line.Hz;
            var z = System.Numerics.Complex.FromPolarCoordinates(CarrierHz * line.PeakPercent / 100 / w, line.Phase + (w * edge));
            var step = System.Numerics.Complex.FromPolarCoordinates(1, w / rate);
            for (var i = 0; i <= count; i++)
            {
                cycles[i] -= z.Real;
                z *= step;
            }
        }

        for (var i = 0; i <= count; i++)
        {
            double left = cycles[i] + (sigma * random.Next()), right = cycles[i] + (sigma * random.Next());
            if (i > 0)
            {
                double l = (left - previousLeft) * rate, r = (right - previousRight) * rate;
                statistics.Next(0.5 * (l + r), l - r, counts: true);
            }

            previousLeft = left;
            previousRight = right;
        }

        statistics.Finish();
        return FlutterSummary.Of(
            statistics,
            FlutterPractice.Settings(3150),
            new SpeedContext(new Carrier(CarrierHz, 3150, 0.5, 0.5, 0.5, snrDb), true, edge, 0, 0, 0)
        );
    }
}
