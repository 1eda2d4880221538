using System.Runtime.Intrinsics;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Tests.Levels;

/// <summary>The weightings and the detector against the published tables of [IEC61672-1:2013] and [BS468-4].</summary>
public sealed class WeightingTests
{
    public static TheoryData<int> Rates => [44100, 48000, 96000, 192000];

    // [IEC61672-1:2013]: values quoted, limits [memory] but for 1 kHz. The table is of exact base-ten frequencies, rounded to 0.1 dB.
    [Theory]
    [MemberData(nameof(Rates))]
    public void AWeighting_EveryRowTo20KHz_LiesWithinAThirdOfClass1(int rate)
    {
        var filter = Designed(Iec61672Edition2013.WeightingFilter, rate);
        foreach (var row in Iec61672Edition2013.Weighting)
        {
            var exact = 1000 * Math.Pow(10, Math.Round(10 * Math.Log10(row.Hz / 1000)) / 10);
            var db = 20 * Math.Log10(filter.At(exact).Magnitude);
            Assert.InRange(db - row.Db, -row.MinusDb / 3, row.PlusDb / 3);
            Assert.Equal(20 * Math.Log10(Iec61672Edition2013.WeightingFilter.At(exact).Magnitude), db, 0.03);
        }
    }

    // [BS468-4] table 1, quoted.
    [Theory]
    [MemberData(nameof(Rates))]
    public void Weighting468_EveryRowTheRateHolds_LiesWithinAThirdOfItsTolerance(int rate)
    {
        var filter = Designed(Bs468Edition4.WeightingFilter, rate);
        foreach (var row in Bs468Edition4.Weighting.Where(r => r.Hz < 0.475 * rate))
        {
            var db = 20 * Math.Log10(filter.At(row.Hz).Magnitude);
            // The row at 6300 Hz has no tolerance: it is rounded to 0.1 dB. Others are rounded too.
            Assert.InRange(db - row.Db, -Math.Max(0.06, row.MinusDb / 3), Math.Max(0.06, row.PlusDb / 3));
        }
    }

    // [BS468-4] burst tables [memory].
    [Theory]
    [MemberData(nameof(Rates))]
    public void QuasiPeak_SingleBursts_ReadAsPublished(int rate)
    {
        var steady = Reading(rate, 3, _ => true);
        foreach (var row in Bs468Edition4.SingleBursts)
        {
            var percent = 100 * Reading(rate, 0.9, t => t < row.Value / 1000) / steady;
            Assert.InRange(percent, row.Percent - ((row.Percent - row.Low) / 3), row.Percent + ((row.High - row.Percent) / 3));
        }
    }

    [Theory]
    [MemberData(nameof(Rates))]
    public void QuasiPeak_RepeatedBursts_ReadAsPublished(int rate)
    {
        var steady = Reading(rate, 3, _ => true);
        foreach (var row in Bs468Edition4.RepeatedBursts)
        {
            var percent = 100 * Reading(rate, 4, t => t % (1 / row.Value) < 0.005) / steady;
            Assert.InRange(percent, row.Percent - ((row.Percent - row.Low) / 3), row.Percent + ((row.High - row.Percent) / 3));
        }
    }

    // Calibration: a steady 1 kHz sine reads its rms by both weightings, so −20 dBFS reads −20.
    [Theory]
    [MemberData(nameof(Rates))]
    public void Meter_OnASineOf1KHz_ReadsItsLevelByEveryWeighting(int rate)
    {
        var sound = new LevelSound(rate, 4, 1).Tone(1000, -20, -32);
        var meter = new NoiseMeter(NoisePractice.Settings, rate, 2, 4);
        meter.Add(sound.Left, sound.Right);
        var result = meter.Finish()!;
        foreach (var (noise, db) in new[] { (result.Channels[0], -20.0), (result.Channels[1], -32.0) })
        {
            Assert.Equal(db, noise.First.Db, 0.005);
            Assert.Equal(db, noise.Second!.Value.Db, 0.02);
            Assert.Equal(db, noise.Unweighted.Db, 0.005);
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(777)]
    [InlineData(4096)]
    [InlineData(100_000)]
    public void Meter_FedBlocksOfAnySize_ReadsTheSame(int block)
    {
        var sound = new LevelSound(48000, 4, 5).Noise(-50).Tone(50, -60, -70);
        NoiseResult Read(int size)
        {
            var meter = new NoiseMeter(NoisePractice.Settings, 48000, 2, 4);
            for (var i = 0; i < sound.Left.Length; i += size)
            {
                var n = Math.Min(size, sound.Left.Length - i);
                meter.Add(sound.Left.AsSpan(i, n), sound.Right.AsSpan(i, n));
            }

            return meter.Finish()!;
        }

        NoiseResult whole = Read(int.MaxValue), parts = Read(block);
        for (var c = 0; c < 2; c++)
        {
            Assert.Equal(whole.Channels[c].First, parts.Channels[c].First);
            Assert.Equal(whole.Channels[c].Second, parts.Channels[c].Second);
            Assert.Equal(whole.Channels[c].Unweighted, parts.Channels[c].Unweighted);
            Assert.Equal(whole.Channels[c].Lines, parts.Channels[c].Lines);
        }
    }

    [Fact]
    public void Meter_FedBlocks_AllocatesNothingForThem()
    {
        var sound = new LevelSound(48000, 1, 5).Noise(-50);
        var meter = new NoiseMeter(NoisePractice.Settings, 48000, 2, null);
        for (var i = 0; i < 30; i++)
        {
            meter.Add(sound.Left, sound.Right);
        }

        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 0; i < 100; i++)
        {
            meter.Add(sound.Left.AsSpan(0, 4800), sound.Right.AsSpan(0, 4800));
        }

        // Two lists of one figure a step may double once: no more.
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 20_000);
    }

    private static CorrectedFilter Designed(Signal.Filters.AnalogueFilter filter, int rate) =>
        CorrectedFilter.Design(filter, rate, 1000, NoiseSettings.HalfTaps);

    // Highest indication of bursts of 5 kHz through network and detector.
    private static double Reading(int rate, double seconds, Func<double, bool> on)
    {
        var filter = new FourLaneFilter(Designed(Iec61672Edition2013.WeightingFilter, rate), Designed(Bs468Edition4.WeightingFilter, rate));
        var detector = new PeakHoldMeter(Bs468Edition4.Detector, rate);
        var input = Enumerable
            .Range(0, (int)(seconds * rate))
            .Select(i => (float)(on(i / (double)rate) ? 0.1 * Math.Sin(2 * Math.PI * 5000 * i / rate) : 0))
            .ToArray();
        var output = new Vector256<double>[input.Length];
        filter.Run(input, [], output);
        return detector.Run(output).Highest[0];
    }
}
