namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>Speed error and drift: least variance on a steady tone, the time mean under flutter.</summary>
public class MeanSpeedTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(3150, 60.0, true, 100)]
    [InlineData(3150, 30.0, false, 100)]
    [InlineData(3000, 40.0, true, 60)]
    [InlineData(315, 50.0, true, 60)]
    [InlineData(10000, 40.0, false, 60)]
    public void MeanFrequency_OfASteadyToneInNoise_ReachesItsBound(double carrierHz, double snrDb, bool stereo, int seeds) =>
        HoldsItsBound(carrierHz, snrDb, stereo, seeds);

    [Theory]
    [InlineData(3150, 60.0, true, 600)]
    [InlineData(3000, 40.0, true, 600)]
    [Trait("Category", "Long")]
    public void MeanFrequency_OverManySeeds_ReachesItsBound(double carrierHz, double snrDb, bool stereo, int seeds) =>
        HoldsItsBound(carrierHz, snrDb, stereo, seeds);

    private void HoldsItsBound(double carrierHz, double snrDb, bool stereo, int seeds)
    {
        // Cramér–Rao [computed]: var f = 12·fs²/((2π)²·η·N³), η the signal to noise per sample, twice that for two channels.
        const double rate = 44100, seconds = 2.2;
        var eta = Math.Pow(10, snrDb / 10) * 20000 / (rate / 2) * (stereo ? 2 : 1);
        var n = rate * seconds;
        var bound = 12 * rate * rate / (4 * Math.PI * Math.PI * eta * n * n * n);
        double square = 0, stated = 0;
        for (var seed = 0; seed < seeds; seed++)
        {
            var sound = new SpeedSound
            {
                RateHz = rate,
                Seconds = seconds,
                CarrierHz = carrierHz,
                ErrorPercent = 0.7,
                SnrDb = snrDb,
                Right = stereo ? 0.3 : null,
                Seed = 100 + seed,
            };
            var result = sound.Measured();
            square += Math.Pow(result.MeanHz.Value - sound.TrueMeanHz, 2);
            stated += Math.Pow(result.MeanHz.Noise / 2, 2);
        }

        output.WriteLine(
            FormattableString.Invariant(
                $"{carrierHz} Hz, {snrDb} dB: variance {square / seeds / bound:0.00}, stated {stated / seeds / bound:0.00} times the bound"
            )
        );

        // 1.5 is the claim; a variance from n seeds scatters by √(2/n), of which twice is allowed for.
        Assert.InRange(square / seeds / bound, 0.6, 1.5 * (1 + (2 * Math.Sqrt(2.0 / seeds))));
        Assert.InRange(stated / seeds / bound, 0.85, 1.5);
    }

    [Theory]
    [InlineData(60.0)]
    [InlineData(30.0)]
    [InlineData(null)]
    public void MeanFrequency_UnderFlutter_IsTheTimeMean(double? snrDb)
    {
        for (var seed = 0; seed < 6; seed++)
        {
            var lines = CoverageTests.DrawnFlutter(new Random(300 + seed), 0.1);
            var sound = new SpeedSound { RateHz = 44100, Seconds = 6.3, ErrorPercent = -1.2, Lines = lines, SnrDb = snrDb, Seed = seed };
            var result = sound.Measured();
            Assert.InRange(Math.Abs(result.MeanHz.Value - sound.TrueMeanHz), 0, 1.5 * result.MeanHz.Expanded);
            Assert.InRange(100 * result.MeanHz.Expanded / 3150, 0, 0.0002);
        }
    }

    [Fact]
    public void Drift_OfASpeedThatChangesEvenly_IsItsChange()
    {
        foreach (var seconds in new[] { 4.0, 30.0 })
        {
            var result = new SpeedSound { RateHz = 44100, Seconds = seconds, DriftPercent = 0.4, SnrDb = 50 }.Measured();
            Assert.InRange(Math.Abs(result.Drift.Value - 0.4), 0, Math.Max(1.5 * result.Drift.Expanded, 1e-5));
            Assert.Equal(3150, result.MeanHz.Value, 2e-4);
        }
    }

    [Fact]
    public void Drift_OfASteadyTone_IsNone()
    {
        var result = new SpeedSound { RateHz = 44100, SnrDb = 40 }.Measured();
        Assert.InRange(Math.Abs(result.Drift.Value), 0, 2 * result.Drift.Expanded);
        Assert.InRange(result.Drift.Expanded, 0, 0.0001);
    }

    [Theory]
    [InlineData(25)]
    [InlineData(-25)]
    [InlineData(16.7)]
    [InlineData(-16.7)]
    public void MeanFrequency_FarFromTheNominalGiven_IsFound(double errorPercent)
    {
        var sound = new SpeedSound
        {
            RateHz = 44100,
            Seconds = 4,
            ErrorPercent = errorPercent,
            SnrDb = 50,
            Lines = [new SpeedLine(4, 0.1)],
        };
        var result = sound.Measured(3150);
        Assert.Equal(3150, result.NominalHz);
        Assert.InRange(Math.Abs(result.MeanHz.Value - sound.TrueMeanHz), 0, 1.5 * result.MeanHz.Expanded);
    }

    [Theory]
    [InlineData(315)]
    [InlineData(1000)]
    [InlineData(3000)]
    [InlineData(3150)]
    [InlineData(6300)]
    [InlineData(16000)]
    public void Carrier_OfAnyUsualFrequency_CarriesTheFlutter(double carrierHz)
    {
        var lines = new[] { new SpeedLine(2, 0.05, 0.3), new SpeedLine(11, 0.03, 1) };
        var sound = new SpeedSound { RateHz = 44100, CarrierHz = carrierHz, ErrorPercent = 1.1, Lines = lines, SnrDb = 60 };
        var result = sound.Measured();
        Assert.Equal(carrierHz, result.NominalHz);
        Assert.InRange(Math.Abs(result.MeanHz.Value - sound.TrueMeanHz), 0, 1.5 * result.MeanHz.Expanded);
        var exact = ExactSpeed.Rms(new ExactSpeed(lines).Weighted(8, 2000));
        Assert.InRange(Math.Abs(result.WeightedRms.Value - exact), 0, 1.5 * result.WeightedRms.Expanded);
    }
}
