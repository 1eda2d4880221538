using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Filters;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>Weighting against the table of [IEC60386:1988] (from memory, marked so in the table), within a third of its
/// tolerance.</summary>
public class WeightingTests
{
    public static TheoryData<double> Rates => [.. Iec60386Edition1988.Weighting.Select(r => r.Hz)];

    private static double Decibel(double gain) => 20 * Math.Log10(gain);

    private static void WithinAThird(WeightingRow row, double db)
    {
        // The reference row has no tolerance of its own: 0.05 dB is a fortieth of its neighbours'.
        var deviation = db - row.Db;
        Assert.InRange(deviation, -Math.Max(row.MinusDb / 3, 0.05), Math.Max(row.PlusDb / 3, 0.05));
    }

    [Theory]
    [InlineData(2000)]
    [InlineData(2181.8)]
    [InlineData(2205)]
    [InlineData(3150)]
    public void Filter_AsItRuns_HoldsEveryPointOfTheTable(double rateHz)
    {
        var filter = SecondOrderSections.Matched(Iec60386Edition1988.WeightingFilter, rateHz, 4);
        foreach (var row in Iec60386Edition1988.Weighting)
        {
            WithinAThird(row, Decibel(filter.At(row.Hz, rateHz).Magnitude));

            // Against its own analogue form [computed].
            Assert.Equal(
                Decibel(Iec60386Edition1988.WeightingFilter.At(row.Hz).Magnitude),
                Decibel(filter.At(row.Hz, rateHz).Magnitude),
                0.005
            );
        }
    }

    [Theory]
    [MemberData(nameof(Rates))]
    public void Meter_OnAToneWithOneLine_HoldsThePointOfTheTable(double hz)
    {
        var row = Iec60386Edition1988.Weighting.Single(r => r.Hz == hz);
        Through(row, 44100, hz < 0.3 ? 40 : 12);
    }

    [Theory]
    [InlineData(48000, 0.8)]
    [InlineData(48000, 200)]
    [InlineData(96000, 0.4)]
    [InlineData(96000, 20)]
    [InlineData(96000, 100)]
    [InlineData(192000, 4)]
    [InlineData(192000, 63)]
    public void Meter_AtOtherSampleRates_HoldsThePointOfTheTable(double rateHz, double hz) =>
        Through(Iec60386Edition1988.Weighting.Single(r => r.Hz == hz), rateHz, 8 / Math.Min(1, hz));

    // Weighted rms of one line, over the rms that the line has unweighted [computed: peak/√2]. Whole cycles, so the mean square has no
    // remainder.
    private static void Through(WeightingRow row, double rateHz, double seconds)
    {
        seconds = Math.Max(1, Math.Round(seconds * row.Hz)) / row.Hz;
        const double peak = 0.1;
        var result = new SpeedSound
        {
            RateHz = rateHz,
            Seconds = seconds,
            Right = null,
            Lines = [new SpeedLine(row.Hz, peak, 0.7)],
        }.Measured();
        WithinAThird(row, Decibel(result.WeightedRms.Value / (peak / Math.Sqrt(2))));
    }
}
