using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The monitor delay, where a capture shows it: source in one channel and tape in the other, both in one channel, or a capture that goes
/// over from source to tape between the markers. Nowhere else: a delay of both channels alike is the interface's as well as the deck's.
/// </summary>
internal static class MonitorDelayFinder
{
    // 25 mm at 76 cm/s is 33 ms; no skew between the channels of a deck comes near a third of it.
    private const double LeastSeconds = 0.01;
    private const double MostSeconds = 3;

    // Sound that never was on tape keeps the row of sweeps even, and its speed to the clock's.
    private const double WireScatter = 8e-6;
    private const double WireSpeed = 5e-5;

    /// <summary>The delay, and which capture channels hold the tape; null where nothing shows it.</summary>
    public static (double Seconds, double Uncertainty, string How, int? SourceChannel)? Find(
        IReadOnlyList<FoundMarker> markers,
        SignalProgram program
    )
    {
        var begins = markers.Where(m => !TimeMap.IsEnd(m)).OrderBy(m => m.MiddleSeconds).ToArray();
        var first = begins.Where(m => m.CaptureChannel == 0).ToArray();
        var second = begins.Where(m => m.CaptureChannel == 1).ToArray();
        foreach (var own in (FoundMarker[][])[first, second])
        {
            if (own.Length == 2 && own[0].Word == own[1].Word && Apart(own[0], own[1]) is { } both)
            {
                return (both, Uncertainty(own[0], own[1]), "source and tape in one channel", null);
            }
        }

        if (first.Length > 0 && second.Length > 0)
        {
            var (early, late) = first[0].MiddleSeconds < second[0].MiddleSeconds ? (first[0], second[0]) : (second[0], first[0]);
            if (Apart(early, late) is { } seconds && IsWire(early))
            {
                return (
                    seconds,
                    Uncertainty(early, late),
                    $"source in the {(early.CaptureChannel == 0 ? "left" : "right")} channel, tape in the other",
                    early.CaptureChannel
                );
            }
        }

        foreach (var begin in begins)
        {
            var end = markers.FirstOrDefault(m =>
                TimeMap.IsEnd(m) && m.CaptureChannel == begin.CaptureChannel && m.MiddleSeconds > begin.MiddleSeconds
            );
            if (
                end is not null
                && IsWire(begin)
                && !IsWire(end)
                && end.MiddleSeconds - begin.MiddleSeconds - program.EndMarkerSeconds is > LeastSeconds and < MostSeconds and var late
            )
            {
                return (late, Uncertainty(begin, end), "source at the first marker, tape at the last", null);
            }
        }

        return null;
    }

    private static double? Apart(FoundMarker early, FoundMarker late) =>
        late.MiddleSeconds - early.MiddleSeconds is > LeastSeconds and < MostSeconds and var d ? d : null;

    private static bool IsWire(FoundMarker m) => m.ScatterSeconds < WireScatter && Math.Abs(m.Stretch - 1) < WireSpeed;

    private static double Uncertainty(FoundMarker a, FoundMarker b) => double.Hypot(a.MiddleUncertaintySeconds, b.MiddleUncertaintySeconds);
}
