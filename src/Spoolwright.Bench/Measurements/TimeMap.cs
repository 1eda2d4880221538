using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;

namespace Spoolwright.Bench.Measurements;

/// <summary>From the time of a program to that of the capture, in one channel: by the marker heard, or by both for the speed between
/// them.</summary>
/// <param name="At0">Time in the capture of the program's first marker's start, s.</param>
/// <param name="Slope">Seconds of the capture for one of the program; below 0 backwards.</param>
internal readonly record struct TimeMap(double At0, double Slope)
{
    /// <summary>The map that a channel's markers give; null without one.</summary>
    public static TimeMap? Of(FoundMarker? begin, FoundMarker? end, double endMarkerSeconds)
    {
        double Sign(FoundMarker m) => m.Word.IsBackwards ? -1 : 1;
        if (begin is { } b && end is { } e && Sign(b).Equals(Sign(e)))
        {
            var slope = (e.MiddleSeconds - b.MiddleSeconds) / endMarkerSeconds;
            return new TimeMap(b.MiddleSeconds - (slope * MarkerSweep.MarkerSeconds / 2), slope);
        }

        return begin is { } only ? new TimeMap(only.TimeOf(0), Sign(only) * only.Stretch)
            : end is { } last ? new TimeMap(last.TimeOf(-endMarkerSeconds), Sign(last) * last.Stretch)
            : null;
    }

    /// <summary>Time in the capture, s.</summary>
    public double Of(double programSeconds) => At0 + (Slope * programSeconds);

    /// <summary>Whether a marker stands at a program's end.</summary>
    public static bool IsEnd(FoundMarker marker) => marker.Word.Variant >= SignalProgram.EndVariant;
}
