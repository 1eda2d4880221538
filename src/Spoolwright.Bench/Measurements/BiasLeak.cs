using Spoolwright.Signal;
using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// What of the bias itself stands in the deck's output, where the capture's rate shows it. Bias oscillators lie from some 60 kHz to 160 kHz
/// (common practice, no source), so a rate of 176.4 kHz or more is needed; one that lies above half the rate is stopped by the interface
/// and not seen.
/// </summary>
internal static class BiasLeak
{
    /// <summary>Lowest rate at which it is looked for, Hz.</summary>
    public const int LeastRateHz = 176_400;

    /// <summary>Lower end of the band looked at, Hz: above what tape and heads put out.</summary>
    public const double LowestHz = 40_000;

    // Half the rate less what an interface's own filter takes, as a share of the rate.
    private const double HighestShare = 0.45;

    // The last seconds: as the bias stood when the hand was done.
    private const double LastSeconds = 2;
    private const double MethodDb = 0.02;
    private static readonly double DbPerShare = 10 / Math.Log(10);

    /// <summary>Upper end of the band at a rate, Hz.</summary>
    public static double HighestHz(int rateHz) => HighestShare * rateHz;

    /// <summary>The strongest line in the band, or null.</summary>
    public static SteadyLine? Of(IReadOnlyList<SteadyLine> lines, int rateHz) => rateHz < LeastRateHz ? null
        : lines.Where(l => l.FrequencyHz >= LowestHz && l.FrequencyHz <= HighestHz(rateHz)).Select(l => (SteadyLine?)l).FirstOrDefault();

    /// <summary>Says where nothing was looked for, or nothing found.</summary>
    public static Note? Told(SteadyLine? line, int rateHz) =>
        rateHz < LeastRateHz
            ? Note.Hint(
                "bias-leak-not-measured",
                FormattableString.Invariant(
                    $"How much bias stands in the output is not measured: at {rateHz} Hz a capture ends at {rateHz / 2000.0:0} kHz, and bias lies higher. Capture at {LeastRateHz} Hz or more, with an input that goes so far."
                )
            )
        : line is null
            ? Note.Hint(
                "no-bias-leak",
                FormattableString.Invariant(
                    $"No line stands out of the noise from {LowestHz / 1000:0} to {HighestHz(rateHz) / 1000:0} kHz: no bias is seen in the output. One that lies higher would not be."
                )
            )
        : null;

    /// <summary>The reading of one channel, by the course of the line up to where the tone ends; null where the channel does not hold
    /// it.</summary>
    public static Reading? Reading(LevelCourse course, int to, SteadyLine line, Channel channel, int rateHz)
    {
        var n = (int)(LastSeconds * LevelCourse.PerSecond);
        to = Math.Min(to, course.Power.Count);
        if (to < n)
        {
            return null;
        }

        var points = course.Power.Skip(to - n).Take(n).ToArray();
        double noise = line.NoiseDensity * course.NoiseBandwidthHz, mean = points.Average(), power = mean - noise;
        var sigma = Math.Sqrt(points.Sum(p => (p - mean) * (p - mean)) / (n - 1) / n);
        return power < Math.Max(3 * sigma, noise / 3)
            ? null
            : Uncertain.Reading(
                Quantity.BiasLeak,
                10 * Math.Log10(power),
                [new("noise", 2 * DbPerShare * sigma / power), new("method", MethodDb), new("interface-response", null)],
                FormattableString.Invariant(
                    $"strongest line from {LowestHz / 1000:0} to {HighestHz(rateHz) / 1000:0} kHz by its rms over the last {LastSeconds:0} s, noise taken off; what the interface's input does up there is unknown"
                ),
                channel,
                10 * Math.Round(line.FrequencyHz / 10)
            );
    }
}
