using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Filters;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>
/// The pulse test of the quasi-peak detector as [AES6:1982] and [IEC60386:1972] publish it (all but the 60 ms and the fall from memory):
/// unidirectional speed pulses of the peak-to-peak size of a 4 Hz sine, one a second, read against that sine; and the statistical reading.
/// </summary>
public class DetectorTests
{
    private const double RateHz = 2100;

    public static TheoryData<double> Pulses => [.. Iec60386Edition1988.Pulses.Select(p => p.PulseMilliseconds)];

    [Theory]
    [MemberData(nameof(Pulses))]
    public void Detector_OnPulses_ReadsAsPublished(double milliseconds)
    {
        var row = Iec60386Edition1988.Pulses.Single(p => p.PulseMilliseconds == milliseconds);
        var (high, _) = Indication(t => t % 1 < milliseconds / 1000 ? 2 : 0);
        Assert.InRange(100 * high, row.Percent - row.TolerancePercent, row.Percent + row.TolerancePercent);
    }

    [Fact]
    public void Detector_BetweenHundredMillisecondPulses_FallsAsPublished()
    {
        var (_, low) = Indication(t => t % 1 < 0.1 ? 2 : 0);
        Assert.InRange(100 * low, Iec60386Edition1988.FallBetweenPulses.Low, Iec60386Edition1988.FallBetweenPulses.High);
    }

    [Theory]
    [MemberData(nameof(Pulses))]
    public void Meter_OnATonePlayedWithSpeedPulses_ReadsAsPublished(double milliseconds)
    {
        var row = Iec60386Edition1988.Pulses.Single(p => p.PulseMilliseconds == milliseconds);
        const double size = 0.2; // %, peak to peak
        var sine = new SpeedSound { RateHz = 44100, Seconds = 16, Right = null, Lines = [new SpeedLine(4, size / 2)] }.Measured();
        var pulses = PulsedTone(milliseconds / 1000, size, 44100, 20);
        var result = SpeedSound.Measure(pulses, [], 44100);

        // The needle's highest place is what the test reads; the reading proper, the 95th percentile, lies below it between pulses.
        var percent = 100 * result.QuasiPeakMaximum!.Value.Value / sine.QuasiPeak!.Value.Value;
        Assert.InRange(percent, row.Percent - row.TolerancePercent, row.Percent + row.TolerancePercent);
        Assert.True(result.QuasiPeak!.Value.Value <= result.QuasiPeakMaximum.Value.Value);
    }

    [Fact]
    public void QuasiPeak_OfASteadyFourHertzLine_IsItsPeak()
    {
        // The calibration that the pulse test is read against.
        var result = new SpeedSound { Seconds = 14, Right = null, Lines = [new SpeedLine(4, 0.1)] }.Measured();
        Assert.Equal(0.1, result.QuasiPeak!.Value.Value, 0.0001);
    }

    [Fact]
    public void QuasiPeak_IsThe95thPercentileInTimeAfterFiveSeconds()
    {
        // Independent of the histogram: the detector run here on the weighted speed of a beat of two lines, its indications sorted.
        SpeedLine[] lines = [new(3, 0.08, 0.4), new(3.4, 0.05, 1.9), new(9, 0.03, 0.1)];
        var result = new SpeedSound { Seconds = 15, Right = null, Lines = lines }.Measured();
        var weighted = new ExactSpeed(lines).Weighted(15, RateHz);
        var detector = new QuasiPeakDetector(Iec60386Edition1988.Detector, RateHz);
        var all = weighted.Select(detector.Next).ToArray();
        var settled = all.Skip((int)(5 * RateHz)).Order().ToArray();
        Assert.Equal(settled[(int)(0.95 * settled.Length)], result.QuasiPeak!.Value.Value, result.QuasiPeak.Value.Value * 0.001);
        Assert.Equal(settled[^1], result.QuasiPeakMaximum!.Value.Value, settled[^1] * 0.001);
    }

    [Fact]
    public void TwoSigma_OfASine_IsItsPeakLessThreeThousandths()
    {
        var result = new SpeedSound { Seconds = 10, Lines = [new SpeedLine(4, 0.1)] }.Measured();
        Assert.Equal(0.1 * Math.Sin(0.95 * Math.PI / 2), result.TwoSigma!.Value.Value, 0.0001);
    }

    [Theory]
    [InlineData("sine", 0.99692)]
    [InlineData("square", 1.0)]
    [InlineData("triangle", 0.95)]
    [InlineData("noise", 1.95996)]
    public void Quantile_OfEachShape_IsItsTwoSigmaReading(string shape, double expected)
    {
        // [computed]: sin(0.95·π/2), 1, 0.95, and the normal law's 95th percentile of the magnitude.
        var histogram = new LogHistogram();
        var random = new Gaussian(4);
        for (var i = 0; i < 1_000_000; i++)
        {
            var t = (i * 0.000731) % 1;
            histogram.Add(Math.Abs(shape switch
            {
                "sine" => Math.Sin(2 * Math.PI * t),
                "square" => t < 0.5 ? 1 : -1,
                "triangle" => (4 * Math.Abs(t - 0.5)) - 1,
                _ => random.Next(),
            }));
        }

        Assert.Equal(expected, histogram.Quantile(0.95), expected * (shape == "noise" ? 0.004 : 0.001));
    }

    [Fact]
    public void TwoSigma_OfNoiseLikeFlutter_Is196TimesItsRms()
    {
        // 400 lines of random phase from 1 to 60 Hz: a normal law nearly. The normal law's 1.960 [computed].
        var random = new Random(3);
        var lines = Enumerable
            .Range(0, 400)
            .Select(_ => new SpeedLine(1 + (59 * random.NextDouble()), 0.004, 2 * Math.PI * random.NextDouble()))
            .ToArray();
        var result = new SpeedSound
        {
            RateHz = 44100,
            Seconds = 30,
            Right = null,
            Lines = lines,
        }.Measured();
        Assert.Equal(1.960, result.TwoSigma!.Value.Value / result.WeightedRms.Value, 0.06);
    }

    // The needle's highest and lowest place once settled, over the steady reading of a 4 Hz sine of peak 1.
    private static (double High, double Low) Indication(Func<double, double> speed)
    {
        var weighting = SecondOrderSections.Matched(Iec60386Edition1988.WeightingFilter, RateHz, 4);
        var detector = new QuasiPeakDetector(Iec60386Edition1988.Detector, RateHz);
        double high = 0, low = double.MaxValue;
        for (var i = 0; i < 20 * RateHz; i++)
        {
            var y = detector.Next(weighting.Next(speed(i / RateHz)));
            if (i > 10 * RateHz)
            {
                high = Math.Max(high, y);
                low = Math.Min(low, y);
            }
        }

        return (high, low);
    }

    private static float[] PulsedTone(double pulseSeconds, double sizePercent, double rateHz, double seconds)
    {
        var samples = new float[(int)(rateHz * seconds)];
        for (var i = 0; i < samples.Length; i++)
        {
            var t = i / rateHz;
            var inPulses = (Math.Floor(t) * pulseSeconds) + Math.Min(t % 1, pulseSeconds);
            var cycles = 3150 * (t + (sizePercent / 100 * inPulses));
            samples[i] = (float)(0.5 * Math.Sin(2 * Math.PI * (cycles - Math.Floor(cycles))));
        }

        return samples;
    }
}
