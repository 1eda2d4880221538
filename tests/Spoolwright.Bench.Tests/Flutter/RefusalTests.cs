using CsCheck;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal;
using Spoolwright.Signal.Flutter;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>What cannot be measured is refused with its reason; nonsense gives a refusal or finite figures.</summary>
public class RefusalTests
{
    private static string Refused(float[] left, float[]? right = null, double? nominalHz = null)
    {
        var refusal = Assert.Throws<CannotMeasureException>(() => SpeedSound.Measure(left, right ?? [], 44100, nominalHz));
        Assert.DoesNotContain('\n', refusal.Message);
        Assert.True(refusal.Message.Length > 30);
        return refusal.Code;
    }

    [Fact]
    public void Silence_IsRefused() => Assert.Equal("silence", Refused(new float[44100 * 5], new float[44100 * 5]));

    [Fact]
    public void Dither_WithNothingElse_IsSilence()
    {
        // One step of 16 bits, up, down or none: 2/3 of its square, −92 dB.
        var random = new Gaussian(4);
        float[] dither = [.. Enumerable.Range(0, 44100 * 5).Select(_ => (float)(Math.Clamp(Math.Round(random.Next()), -1, 1) / 32768))];
        Assert.Equal("silence", Refused(dither, [.. dither.Reverse()]));
    }

    [Fact]
    public void Noise_IsRefused()
    {
        var noise = RoughCaptureTests.Hiss(8, 12);
        Assert.Equal("no-tone", Refused([.. noise.Select(x => x * 300)]));
        Assert.Equal("no-tone", Refused(noise, RoughCaptureTests.Hiss(8, 13)));
    }

    [Fact]
    public void Speech_IsRefused()
    {
        var code = Refused(RoughCaptureTests.Speech(10, 9));
        Assert.Contains(code, new[] { "no-tone", "nominal-needed", "too-short" });
    }

    [Theory]
    [InlineData(0.0)]
    [InlineData(0.1)]
    [InlineData(0.9)]
    public void ShortTone_IsRefused(double seconds)
    {
        var (left, right) = new SpeedSound { RateHz = 44100, Seconds = seconds }.Samples();
        Assert.Equal("too-short", Refused(left, right));
    }

    [Theory]
    [InlineData(4.0)]
    [InlineData(2.4)]
    public void ToneFarFromTheNominalGiven_IsRefused(double ratio)
    {
        var (left, right) = new SpeedSound { RateHz = 44100, CarrierHz = 3150 * ratio }.Samples();
        Assert.Equal("nominal-needed", Refused(left, right, 3150));
    }

    [Fact]
    public void ToneNearNoUsualNominal_AsksForIt()
    {
        var (left, right) = new SpeedSound { RateHz = 44100, CarrierHz = 3400 }.Samples();
        Assert.Equal("nominal-needed", Refused(left, right));
    }

    [Fact]
    public void TwoTonesAtOnce_GiveNoFalseFlutter()
    {
        // 3150 and 3000 Hz together beat at 150 Hz: refused, or at least not called a good deck.
        var (one, _) = new SpeedSound { RateHz = 44100, Right = null }.Samples();
        var (other, _) = new SpeedSound { RateHz = 44100, CarrierHz = 3000, Left = 0.45, Right = null }.Samples();
        float[] both = [.. one.Zip(other, (a, b) => a + b)];
        Assert.Equal("two-tones", Refused(both));
        Assert.Equal("two-tones", Refused(both, both));
    }

    [Fact]
    public void Arguments_OutsideTheirRange_AreTheCallersMistake()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => new FlutterMeter(FlutterPractice.Settings(null), 44100, 3));
        Assert.Throws<ArgumentOutOfRangeException>(() => new FlutterMeter(FlutterPractice.Settings(null), 4000, 1));
    }

    [Fact]
    public void Nonsense_GivesARefusalOrFiniteFigures()
    {
        // Stretches of tone, noise, silence, full-scale squares, constant offset and single spikes in any order, at any level.
        var stretch = Gen.Select(Gen.Int[0, 6], Gen.Double[-6, 0.3], Gen.Double[0.02, 2.5], Gen.Double[30, 21000], Gen.Int);
        Gen.Select(stretch.Array[1, 7], Gen.Bool, Gen.Int[1, 60000]).Sample(
            (stretches, stereo, block) =>
            {
                var left = stretches.SelectMany(Stretch).ToArray();
                var right = stereo ? left.Reverse().ToArray() : [];
                try
                {
                    var result = SpeedSound.Measure(left, right, 44100, block: block);
                    Assert.All(RoughCaptureTests.Figures(result), f => Assert.True(double.IsFinite(f)));
                    Assert.All(result.Lines, l => Assert.True(double.IsFinite(l.FrequencyHz + l.FrequencyUncertaintyHz + l.Peak + l.PeakUncertainty + l.PeakMethod)));
                    Assert.All(result.Spectrum.PeakPercent, p => Assert.True(double.IsFinite(p)));
                    Assert.All(result.Speed.Percent, p => Assert.True(double.IsFinite(p)));
                }
                catch (CannotMeasureException refusal)
                {
                    Assert.NotEmpty(refusal.Code);
                }
            },
            iter: 60, threads: 1, seed: "0000KOIs9Bm3");
    }

    private static IEnumerable<float> Stretch((int Kind, double Level, double Seconds, double Hz, int Seed) s)
    {
        var random = new Random(s.Seed);
        var amplitude = (float)Math.Pow(10, s.Level);
        var hz = s.Kind == 6 ? 3150 : s.Hz;
        for (var i = 0; i < (int)(s.Seconds * 44100); i++)
        {
            yield return s.Kind switch
            {
                0 => 0,
                1 => amplitude * ((2 * random.NextSingle()) - 1),
                2 => Math.Sin(2 * Math.PI * hz * i / 44100) > 0 ? amplitude : -amplitude,
                3 => amplitude,
                4 => i % 5000 == 17 ? amplitude : 0,
                _ => amplitude * (float)Math.Sin(2 * Math.PI * hz * i / 44100),
            };
        }
    }
}
