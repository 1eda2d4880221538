using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>Captures as benches make them: what is no tone does not reach the figures.</summary>
public class RoughCaptureTests
{
    private static readonly SpeedLine[] Lines = [new(0.9, 0.03, 1), new(4.3, 0.04, 2), new(12.7, 0.03, 0.3)];
    private static readonly SpeedSound Clean = new() { RateHz = 44100, Seconds = 16, ErrorPercent = 0.4, SnrDb = 55, Lines = Lines };

    [Fact]
    public void Dropouts_InTheTone_AreBridged()
    {
        var (left, right) = Clean.Samples();
        var random = new Random(5);
        for (var d = 0; d < 12; d++)
        {
            Fade(
                (int)((1 + (14 * random.NextDouble())) * 44100),
                (int)((0.005 + (0.06 * random.NextDouble())) * 44100),
                0.003f,
                left,
                right
            );
        }

        var result = SpeedSound.Measure(left, right, 44100);
        Like(Measured, result, 0.03);
        Assert.InRange(result.Gaps, 10, 14);
        Assert.InRange(result.LostSeconds, 0.2, 1.5);
    }

    [Fact]
    public void Dropout_OfOneChannel_CostsNothing()
    {
        var (left, right) = Clean.Samples();
        Fade(3 * 44100, 20000, 0.001f, left);
        Fade(8 * 44100, 30000, 0.001f, right);
        var result = SpeedSound.Measure(left, right, 44100);
        Like(Measured, result, 0.01);
        Assert.Equal(0, result.Gaps);
    }

    [Fact]
    public void LongGap_InTheMiddle_BreaksTheSignalOnly()
    {
        var (left, right) = Clean.Samples();
        Fade(6 * 44100, 2 * 44100, 0, left, right);
        var result = SpeedSound.Measure(left, right, 44100);
        Like(Measured, result, 0.12);
        Assert.Equal(1, result.Gaps);
    }

    [Fact]
    public void LateStartAndEarlyEnd_AreLeftOut()
    {
        var (left, right) = Clean.Samples();
        float[] Padded(float[] x) => [.. Hiss(5.3, 3), .. x, .. Hiss(2.1, 4)];
        var result = SpeedSound.Measure(Padded(left), Padded(right), 44100);
        Like(Measured, result, 0.03);
        Assert.Equal(5.3, result.StartSeconds, 0.1);
        Assert.InRange(result.Seconds, 15.5, 16.01);
    }

    [Fact]
    public void Announcement_BeforeTheTone_IsLeftOut()
    {
        var speech = Speech(4, 8);
        var (left, right) = Clean.Samples();
        var result = SpeedSound.Measure([.. speech, .. left], [.. speech, .. right], 44100);
        Like(Measured, result, 0.03);
    }

    [Fact]
    public void Clicks_InTheTone_HardlyReachTheFigures()
    {
        var (left, right) = Clean.Samples();
        var random = new Random(6);
        for (var c = 0; c < 20; c++)
        {
            var at = random.Next(left.Length - 10);
            for (var i = 0; i < 4; i++)
            {
                left[at + i] = i % 2 == 0 ? 0.95f : -0.95f;
                right[at + i] = i % 2 == 0 ? 0.9f : -0.9f;
            }
        }

        Like(Measured, SpeedSound.Measure(left, right, 44100), 0.03);
    }

    [Theory]
    [InlineData(0.5, 0.0)]
    [InlineData(0.0, 0.5)]
    public void DeadChannel_IsNotAskedFor(double levelLeft, double levelRight)
    {
        var result = (Clean with { Left = levelLeft, Right = levelRight }).Measured();
        Like(Measured, result, 0.01);
        Assert.Equal(levelLeft > 0 ? 1 : 0, result.WeightLeft, 3);
    }

    [Fact]
    public void Channels_AtDifferentLevels_AreWeighed()
    {
        var result = (Clean with { Left = 0.5, Right = 0.02 }).Measured();
        Like(Measured, result, 0.01);
        Assert.InRange(result.WeightLeft, 0.3, 0.7); // as good in signal to noise, so as good in speed
    }

    [Fact]
    public void Hum_UnderTheTone_DoesNotMoveTheFigures()
    {
        // 50 Hz and its harmonics 20 dB under the tone on both channels, far from the carrier's flutter band.
        var (left, right) = Clean.Samples();
        for (var i = 0; i < left.Length; i++)
        {
            var hum = (float)Enumerable.Range(1, 4).Sum(h => 0.05 / h * Math.Sin((2 * Math.PI * 50 * h * i / 44100) + h));
            left[i] += hum;
            right[i] += hum;
        }

        Like(Measured, SpeedSound.Measure(left, right, 44100), 0.01);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(61)]
    [InlineData(5003)]
    [InlineData(1_000_000)]
    public void Readings_DoNotDependOnTheBlocks(int block)
    {
        var sound = Clean with { Seconds = 7 };
        var (left, right) = sound.Samples();
        float[] Late(float[] x) => [.. Hiss(1.234, 3), .. x];
        var expected = SpeedSound.Measure(Late(left), Late(right), 44100);
        var found = SpeedSound.Measure(Late(left), Late(right), 44100, block: block);
        Assert.Equal(Figures(expected), Figures(found));
        Assert.Equal(expected.Lines, found.Lines);
        Assert.Equal(expected.Spectrum.PeakPercent, found.Spectrum.PeakPercent);
    }

    [Fact]
    public void Add_OverManyBlocks_AllocatesNothing()
    {
        var meter = new FlutterMeter(Standards.FlutterPractice.Settings(null), 44100, 2, 60);
        var (left, right) = (Clean with { Seconds = 4 }).Samples();
        void Play(int times)
        {
            for (var t = 0; t < times; t++)
            {
                for (var i = 0; i + 2048 <= left.Length; i += 2048)
                {
                    meter.Add(left.AsSpan(i, 2048), right.AsSpan(i, 2048));
                }
            }
        }

        Play(4);
        Assert.Equal(0, Allocated.Bytes(() => Play(3)));
    }

    internal static double[] Figures(FlutterResult r) =>
        [
            r.MeanHz.Value,
            r.MeanHz.Noise,
            r.MeanHz.Method,
            r.Drift.Value,
            r.Drift.Noise,
            r.Drift.Method,
            r.WeightedRms.Value,
            r.WeightedRms.Noise,
            r.WeightedRms.Method,
            r.UnweightedRms.Value,
            r.UnweightedRms.Expanded,
            r.WowRms.Value,
            r.WowRms.Expanded,
            r.FlutterRms.Value,
            r.FlutterRms.Expanded,
            r.ScrapeRms?.Value ?? 0,
            r.ScrapeRms?.Expanded ?? 0,
            r.TwoSigma?.Value ?? 0,
            r.TwoSigma?.Expanded ?? 0,
            r.QuasiPeak?.Value ?? 0,
            r.QuasiPeak?.Expanded ?? 0,
            r.QuasiPeakMaximum?.Value ?? 0,
            r.Seconds,
            r.StartSeconds,
            r.LostSeconds,
            r.Gaps,
            r.SnrDb,
            r.WeightLeft,
        ];

    internal static float[] Hiss(double seconds, int seed)
    {
        var random = new Gaussian(seed);
        return [.. Enumerable.Range(0, (int)(seconds * 44100)).Select(_ => (float)(3e-4 * random.Next()))];
    }

    // Voiced syllables of gliding pitch with three broad resonances, and hissing ones, four a second.
    internal static float[] Speech(double seconds, int seed)
    {
        var random = new Random(seed);
        var x = new float[(int)(seconds * 44100)];
        double phase = 0, pitch = 110;
        for (var i = 0; i < x.Length; i++)
        {
            var t = i / 44100.0;
            var syllable = (int)(t * 4);
            pitch = 100 + (40 * Math.Sin((2 * Math.PI * 0.7 * t) + (syllable * syllable))) + (15 * Math.Sin(2 * Math.PI * 4 * t));
            phase += 2 * Math.PI * pitch / 44100;
            double voice = 0;
            for (var h = 1; h < 40; h++)
            {
                var f = h * pitch;
                voice +=
                    Math.Sin(h * phase)
                    * (
                        (1 / (1 + Math.Pow((f - 500) / 120, 2)))
                        + (0.5 / (1 + Math.Pow((f - 1500 - (400 * Math.Sin(syllable))) / 150, 2)))
                        + (0.25 / (1 + Math.Pow((f - 2600) / 200, 2)))
                    );
            }

            var hiss = syllable % 3 == 2;
            x[i] = (float)(Math.Pow(Math.Sin(Math.PI * ((t * 4) % 1)), 2) * (hiss ? 0.1 * ((2 * random.NextDouble()) - 1) : 0.15 * voice));
        }

        return x;
    }

    private static FlutterResult Measured { get; } = Clean.Measured();

    private static void Like(FlutterResult expected, FlutterResult found, double within)
    {
        Assert.Equal(expected.MeanHz.Value, found.MeanHz.Value, Math.Max(2 * (expected.MeanHz.Expanded + found.MeanHz.Expanded), 0.003));
        void Near(Estimate a, Estimate b, string what) =>
            Assert.True(
                Math.Abs(a.Value - b.Value) <= within * a.Value,
                FormattableString.Invariant(
                    $"{what}: {b.Value:0.00000} (noise {b.Noise:0.0e0}) instead of {a.Value:0.00000} % (noise {a.Noise:0.0e0}); SNR {found.SnrDb:0.0}, {expected.SnrDb:0.0}"
                )
            );
        Near(expected.WeightedRms, found.WeightedRms, "weighted");
        Near(expected.UnweightedRms, found.UnweightedRms, "unweighted");
        Near(expected.FlutterRms, found.FlutterRms, "flutter");
        Near(expected.TwoSigma!.Value, found.TwoSigma!.Value, "two-sigma");
        Near(expected.QuasiPeak!.Value, found.QuasiPeak!.Value, "quasi-peak");
    }

    private static void Fade(int at, int frames, float gain, params float[][] channels)
    {
        foreach (var x in channels)
        {
            for (var i = at; i < Math.Min(x.Length, at + frames); i++)
            {
                var edge = Math.Min(1f, Math.Min(i - at, at + frames - 1 - i) / 50f);
                x[i] *= 1 + ((gain - 1) * edge);
            }
        }
    }
}
