using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Live;

/// <summary>
/// Fits the skew to the tones that stand, and keeps to the cycle once it was resolved: a screw moves the skew steadily, so from one picture
/// to the next the nearest cycle is the right one as long as the sound goes on.
/// </summary>
internal sealed class SkewFollower
{
    /// <summary>Largest skew considered, µs: half a degree on tracks 4 mm apart at 9.53 cm/s is 366.</summary>
    public const double ReachMicroseconds = 600;

    private const double LongestPauseSeconds = 30;
    private double? _last;
    private double _lastAt;

    /// <summary>The skew now, or null without a tone in both channels.</summary>
    /// <param name="phases">Tones that stand.</param>
    /// <param name="seconds">Time heard so far, s.</param>
    public LiveSkew? Next(IReadOnlyList<TonePhase> phases, double seconds)
    {
        if (phases.Count == 0)
        {
            return null;
        }

        var fit = SkewFit.Of(phases, ReachMicroseconds);
        var (value, cycle) = (fit.Microseconds, fit.Resolved ? CycleChoice.Resolved : CycleChoice.Nearest);
        if (!fit.Resolved && _last is { } last && seconds - _lastAt < LongestPauseSeconds)
        {
            // The best known tone alone allows a delay each period; the one next to where it was.
            var period = 1e6 / phases[fit.Weights.Select((w, i) => (w, i)).MaxBy(p => p.w).i].FrequencyHz;
            value += period * Math.Round((last - value) / period);
            cycle = CycleChoice.Followed;
        }

        if (cycle != CycleChoice.Nearest)
        {
            (_last, _lastAt) = (value, seconds);
        }

        return new LiveSkew(value, fit.UncertaintyMicroseconds, cycle, fit.RivalMicroseconds, fit.PolarityReversed);
    }

    /// <summary>Forgets where the cycle was resolved.</summary>
    public void Forget() => _last = null;

    /// <summary>Every delay within reach that a phase allows, rising, µs. phase = −360·f·τ.</summary>
    public static IReadOnlyList<double> Ticks(double frequencyHz, double phaseDegrees)
    {
        var period = 1e6 / frequencyHz;
        var first = -phaseDegrees / 360 * period;
        var lowest = (int)Math.Ceiling((-ReachMicroseconds - first) / period);
        var highest = (int)Math.Floor((ReachMicroseconds - first) / period);
        return [.. Enumerable.Range(lowest, Math.Max(0, highest - lowest + 1)).Select(k => first + (k * period))];
    }
}
