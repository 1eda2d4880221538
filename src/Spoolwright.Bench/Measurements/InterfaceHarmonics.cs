using Spoolwright.Bench.Instruments;
using Spoolwright.Signal.Distortion;

namespace Spoolwright.Bench.Measurements;

/// <summary>What the interface does to a tone's harmonics: its response between fundamental and harmonic is taken out, its own distortion
/// is a bound.</summary>
internal sealed class InterfaceHarmonics(LoopbackCalibration? loopback, Channel channel)
{
    private static readonly double SharePerDb = Math.Log(10) / 20;

    /// <summary>The calibration whose figures are used, if any.</summary>
    public LoopbackCalibration? Loopback => loopback;

    /// <summary>The harmonics without the interface's response from the fundamental to each; as they were from the first one on that the
    /// calibration does not reach.</summary>
    public HarmonicFigures Taken(HarmonicFigures figures)
    {
        var gains = new double[figures.Orders];
        for (var n = 1; n <= figures.Orders; n++)
        {
            gains[n - 1] = Math.Pow(10, (Own(figures, n)?.Db ?? 0) / 20);
        }

        return figures.Without(gains);
    }

    /// <summary>What the response leaves uncertain of a ratio of such harmonics (in the ratio's unit), and the interface's own distortion,
    /// which adds with a phase nobody knows.</summary>
    /// <param name="figures">The harmonics.</param>
    /// <param name="from">First harmonic of the ratio.</param>
    /// <param name="to">Last one.</param>
    /// <param name="ratio">The ratio.</param>
    /// <param name="percent">100 for percent.</param>
    public IEnumerable<UncertaintyPart> Parts(HarmonicFigures figures, int from, int to, double ratio, double percent)
    {
        if (loopback is not null)
        {
            var own = Enumerable.Range(from, Math.Max(0, Math.Min(to, figures.Orders) - from + 1)).Select(n => Own(figures, n)).ToArray();
            yield return own.All(o => o is not null)
                ? new("interface", percent * ratio * SharePerDb * own.Max(o => o!.Value.Uncertainty))
                : new("interface-response", null);
        }

        yield return new(
            "interface-distortion",
            loopback?.MostDistortion(figures.FrequencyHz, channel) is { } most ? percent * most : null
        );
    }

    private (double Db, double Uncertainty)? Own(HarmonicFigures figures, int n) =>
        loopback?.ResponseBetween(n * figures.FrequencyHz, figures.FrequencyHz, channel);
}
