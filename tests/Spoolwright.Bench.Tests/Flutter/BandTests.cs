using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tests.Tones;
using Spoolwright.Signal.Filters;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>Unweighted, wow, flutter and scrape bands, and the lines of the spectrum.</summary>
public class BandTests
{
    [Fact]
    public void WowAndFlutter_TogetherArePower_OfTheWhole()
    {
        // A Butterworth low-pass and high-pass of one edge add to unity in power [computed].
        var result = new SpeedSound
        {
            RateHz = 44100,
            Seconds = 12,
            Lines = [new(0.8, 0.03, 1), new(4, 0.05, 2), new(10, 0.04, 0.3), new(31, 0.02, 0.9), new(90, 0.03)],
        }.Measured();
        var sum = Math.Sqrt(Math.Pow(result.WowRms.Value, 2) + Math.Pow(result.FlutterRms.Value, 2));
        Assert.Equal(result.UnweightedRms.Value, sum, result.UnweightedRms.Value * 0.002);
    }

    [Theory]
    [InlineData(0.2, -3.0103)]
    [InlineData(0.4, -0.2633)]
    [InlineData(4, 0)]
    [InlineData(100, 0)]
    [InlineData(195, 0)]
    [InlineData(245, -80)]
    public void Unweighted_OverTheRates_PassesItsBandAndStopsAbove(double hz, double db)
    {
        var result = new SpeedSound
        {
            RateHz = 44100,
            Seconds = Math.Round(Math.Max(10, 8 / hz) * hz) / hz,
            Right = null,
            Lines = [new(hz, 0.1, 0.5)],
        }.Measured();
        var found = 20 * Math.Log10(result.UnweightedRms.Value / (0.1 / Math.Sqrt(2)));
        if (db <= -80)
        {
            // The filter stops by 80 dB; a few milliseconds at the mirrored ends let more through, 10 s long here.
            Assert.True(found < -40, $"{hz} Hz lies only {found:0.0} dB down");
        }
        else
        {
            Assert.Equal(db, found, hz < 1 ? 0.25 : 0.02);
        }
    }

    [Theory]
    [InlineData(44100, 3150, 300)]
    [InlineData(44100, 3150, 1100)]
    [InlineData(96000, 10000, 600)]
    [InlineData(96000, 10000, 3000)]
    [InlineData(192000, 10000, 3500)]
    public void Scrape_OnALineInItsBand_IsTheLine(double rateHz, double carrierHz, double hz)
    {
        // 0.02 % peak: rms 0.01414 % [computed].
        var result = new SpeedSound { RateHz = rateHz, CarrierHz = carrierHz, Seconds = 6, SnrDb = 60, Lines = [new(hz, 0.02)] }.Measured();
        var scrape = result.ScrapeRms!.Value;
        Assert.InRange(Math.Abs(scrape.Value - (0.02 / Math.Sqrt(2))), 0, Math.Max(1.5 * scrape.Expanded, 0.0002));
        Assert.InRange(result.ScrapeHighestHz, hz, carrierHz * 0.4);
        Assert.InRange(result.WeightedRms.Value, 0, 0.0001);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Scrape_ThatLooksLikeTheCarriersNoise_LiesWithinTheUncertaintyAlsoOfOneChannel(bool one)
    {
        // Lines every 2.3 Hz whose peaks grow with their rate: of one channel, white phase noise looks the same. Their rms is in closed
        // form.
        SpeedLine[] lines =
        [
            .. Enumerable.Range(0, 480).Select(i => 205 + (2.3 * i)).Select(hz => new SpeedLine(hz, 0.75e-6 * hz, 0.37 * hz * hz)),
        ];
        var sound = new SpeedSound
        {
            RateHz = 32000,
            Seconds = 4,
            SnrDb = 66,
            Right = one ? null : 0.5,
            Lines = lines,
        };
        var band = sound.Measured().ScrapeHighestHz;
        var truth = Math.Sqrt(lines.Where(l => l.Hz <= band).Sum(l => l.PeakPercent * l.PeakPercent / 2));
        var (left, right) = sound.Samples();
        var result = SpeedMeasurement.Measure(
            new MemorySound(left, right, 32000, one ? 1 : 2),
            MeasurementSettings.None with
            {
                NominalHz = 3150,
            },
            null
        );
        var scrape = result.Readings.Single(r => r.Quantity == "scrape-flutter-rms");
        // The band's upper end cuts a line or two in part.
        Assert.InRange(Math.Abs(scrape.Value - truth), 0, Math.Max(scrape.Uncertainty!.Value, 0.0002));
        var known = scrape.Parts.Where(p => p.Name != "scrape-or-noise").Sum(p => p.Expanded!.Value);
        Assert.Equal(one, Math.Abs(scrape.Value - truth) > Math.Max(2 * known, 0.001));
        Assert.Equal(one, result.Notes.Any(n => n.Code == "scrape-at-least" && n.Text.Contains("at least", StringComparison.Ordinal)));
        // And no note names a channel that nobody asked for.
        Assert.DoesNotContain(result.Notes, n => n.Code == "one-channel");
    }

    [Fact]
    public void Scrape_WithoutAny_IsNothingWithinItsUncertainty()
    {
        foreach (var right in new double?[] { 0.5, null })
        {
            var scrape = new SpeedSound { RateHz = 44100, SnrDb = 50, Right = right }.Measured().ScrapeRms!.Value;
            Assert.InRange(scrape.Value - scrape.Expanded, double.NegativeInfinity, 0.0005);
        }
    }

    [Theory]
    [InlineData(8)]
    [InlineData(40)]
    public void Lines_OfADeck_AreFoundWithRateAndPeak(double seconds)
    {
        SpeedLine[] lines = [new(0.8, 0.03, 1), new(3.37, 0.02, 2), new(9.91, 0.05, 0.3), new(31.4, 0.01, 0.9), new(97.3, 0.004)];
        var result = new SpeedSound { RateHz = 44100, Seconds = seconds, SnrDb = 50, Lines = lines }.Measured();
        Assert.Equal(lines.Length, result.Lines.Count);
        foreach (var line in lines)
        {
            var found = result.Lines.MinBy(l => Math.Abs(l.FrequencyHz - line.Hz));
            Assert.InRange(Math.Abs(found.FrequencyHz - line.Hz), 0, found.FrequencyUncertaintyHz);
            Assert.InRange(
                Math.Abs(found.Peak - line.PeakPercent),
                0,
                1.2 * Math.Sqrt(Math.Pow(found.PeakUncertainty, 2) + Math.Pow(found.PeakMethod, 2))
            );
        }
    }

    [Fact]
    public void Lines_OfNoiseAlone_AreNone()
    {
        // About one false line in ten thousand spectra is allowed for; 40 spectra show none.
        for (var seed = 0; seed < 40; seed++)
        {
            var result = new SpeedSound { RateHz = 44100, Seconds = 6, SnrDb = 30, Seed = seed }.Measured();
            Assert.Empty(result.Lines);
        }
    }

    [Fact]
    public void FlutterSplit_InTheAnaloguePrototypes_AddsToUnity()
    {
        foreach (var hz in new[] { 0.3, 3.0, 10, 30, 180 })
        {
            var low = Butterworth.LowPass(2, 10).At(hz).Magnitude;
            var high = Butterworth.HighPass(2, 10).At(hz).Magnitude;
            Assert.Equal(1, (low * low) + (high * high), 1e-12);
        }
    }
}
