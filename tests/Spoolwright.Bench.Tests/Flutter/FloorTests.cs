using Spoolwright.Signal.Flutter;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>What a perfect deck reads: at most 0.0001 % rms weighted (design 6), and nothing absurd beside it.</summary>
public class FloorTests
{
    private const double Floor = 0.0001;

    [Theory]
    [InlineData(44100, 3150)]
    [InlineData(48000, 3000)]
    [InlineData(96000, 3150)]
    [InlineData(192000, 3150)]
    [InlineData(44100, 1000)]
    [InlineData(48000, 10000)]
    public void Weighted_OfAPerfectTone_IsFarUnderTheFloor(double rateHz, double carrierHz)
    {
        foreach (var right in new double?[] { 0.5, 0.1, null })
        {
            var result = new SpeedSound { RateHz = rateHz, CarrierHz = carrierHz, Right = right }.Measured();
            Assert.InRange(result.WeightedRms.Value, 0, Floor / 10);
            Assert.InRange(result.WeightedRms.Expanded, 0, Floor);
            Assert.InRange(result.TwoSigma!.Value.Value, 0, Floor / 5);
            Assert.Equal(carrierHz, result.MeanHz.Value, carrierHz * 1e-8);
        }
    }

    [Theory]
    [InlineData(0.5)]
    [InlineData(null)]
    public void Weighted_At60DbSignalToNoise_IsUnderTheFloor(double? right)
    {
        for (var seed = 1; seed <= 10; seed++)
        {
            var result = new SpeedSound { RateHz = 44100, SnrDb = 60, Right = right, Seed = seed }.Measured();
            Assert.InRange(result.WeightedRms.Value, 0, Floor);
            Assert.InRange(result.WeightedRms.Value - result.WeightedRms.Expanded, double.NegativeInfinity, Floor / 10);
            Assert.InRange(result.WeightedRms.Expanded, 1e-7, Floor);
        }
    }

    [Theory]
    [InlineData(WavSamples.Integer16, 0.5)]
    [InlineData(WavSamples.Integer16, 0.05)]
    [InlineData(WavSamples.Integer24, 0.5)]
    [InlineData(WavSamples.Integer24, 0.005)]
    public void Weighted_FromRoundedSamples_IsUnderTheFloor(WavSamples samples, double amplitude)
    {
        foreach (var right in new double?[] { amplitude, null })
        {
            var sound = new SpeedSound { RateHz = 44100, Left = amplitude, Right = right, CarrierHz = 3151.3 };
            var (left, other) = sound.Samples();
            using var stream = new MemoryStream();
            using (var writer = new WavWriter(stream, 44100, right is null ? 1 : 2, samples, ditherSeed: 7, leaveOpen: true))
            {
                writer.Write(left, other);
            }

            stream.Position = 0;
            using var source = SoundFile.Open(stream);
            var meter = new FlutterMeter(Standards.FlutterPractice.Settings(3150), 44100, source.Channels, 8);
            SoundPump.Run(source, meter.Add, cancellation: TestContext.Current.CancellationToken);
            var result = meter.Finish();
            Assert.InRange(result.WeightedRms.Value, 0, Floor);
            Assert.InRange(Math.Abs(result.MeanHz.Value - 3151.3), 0, Math.Max(result.MeanHz.Expanded * 1.5, 1e-7));
        }
    }

    [Fact]
    public void Weighted_OfTwoChannelsWithTheSameNoise_KnowsThatTheyAreOne()
    {
        // One noisy source on both channels: their difference is nothing, and would say that there is no noise.
        var (left, _) = new SpeedSound { RateHz = 44100, SnrDb = 30, Right = null }.Samples();
        var mono = SpeedSound.Measure(left, [], 44100);
        var both = SpeedSound.Measure(left, (float[])left.Clone(), 44100);
        Assert.InRange(both.WeightedRms.Value - both.WeightedRms.Expanded, double.NegativeInfinity, 0.0002);
        Assert.Equal(mono.WeightedRms.Expanded, both.WeightedRms.Expanded, mono.WeightedRms.Expanded * 0.05);
        Assert.Equal(mono.MeanHz.Noise, both.MeanHz.Noise, mono.MeanHz.Noise * 0.05);
    }

    [Fact]
    public void Weighted_WithOneNoisyChannel_IsAsGoodAsTheQuietOne()
    {
        for (var seed = 0; seed < 5; seed++)
        {
            var result = new SpeedSound { RateHz = 44100, SnrDb = 60, SnrRightDb = 25, Seed = 40 + seed }.Measured();
            Assert.InRange(result.WeightedRms.Value, 0, Floor);
            Assert.True(result.WeightLeft > 0.98, $"the quiet channel has a weight of {result.WeightLeft}");
        }
    }
}
