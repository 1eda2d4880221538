namespace Spoolwright.Bench.Service;

/// <summary>Something that was turned or bent on a deck, and when.</summary>
/// <param name="What">The adjustment: <c>tension</c>, <c>speed</c>, <c>azimuth</c>, <c>level</c>, <c>equalization</c>,
/// <c>record-azimuth</c>, <c>bias</c>, <c>record-level</c>, <c>record-equalization</c>.</param>
/// <param name="Condition">What the deck was set to meanwhile.</param>
/// <param name="At">When, UTC.</param>
public sealed record Adjusted(string What, Condition Condition, DateTimeOffset At);

/// <summary>What an adjustment puts in doubt that was measured before it. Common practice, no source; the laws behind it are those of
/// <c>Tape/</c>.</summary>
/// <param name="Adjustment">What was turned.</param>
/// <param name="Measurements">Catalogue ids of what it may have changed.</param>
/// <param name="SameDirection">Whether only the direction it was turned in is touched.</param>
/// <param name="SameSetting">Whether only the tape setting it was turned in is touched.</param>
public sealed record Doubt(string Adjustment, IReadOnlyList<string> Measurements, bool SameDirection, bool SameSetting)
{
    /// <summary>The table, in the order of the trade.</summary>
    public static IReadOnlyList<Doubt> All { get; } =
    [
        // The reels' pull moves the tape's speed, its flutter, and how it lies on the heads; one reel brakes the one way and takes up the
        // other.
        new("tension", ["tension", "torque", "speed", "azimuth", "playback", "dropouts"], SameDirection: false, SameSetting: false),

        // One capstan for both ways; wavelengths go with the speed, and the response with them.
        new("speed", ["speed", "wind-time", "playback", "record"], SameDirection: false, SameSetting: false),

        // A tilted gap loses treble; the other direction has gaps of its own.
        new("azimuth", ["azimuth", "playback", "record", "crosstalk"], SameDirection: true, SameSetting: false),
        new("level", ["playback", "record", "distortion", "noise", "crosstalk"], SameDirection: true, SameSetting: false),
        new("equalization", ["playback", "record", "noise", "distortion"], SameDirection: true, SameSetting: false),

        // A tilted record gap writes its tilt into the tape; bias, level and hiss hang on the gap's field, not on its tilt.
        new("record-azimuth", ["record"], SameDirection: true, SameSetting: false),

        // Bias moves sensitivity, treble, distortion and hiss of what is recorded from then on.
        new("bias", ["bias", "record", "distortion", "noise", "erase", "dropouts"], SameDirection: true, SameSetting: true),
        new("record-level", ["record", "distortion"], SameDirection: true, SameSetting: true),
        new("record-equalization", ["record", "distortion"], SameDirection: true, SameSetting: true),
    ];

    /// <summary>The latest adjustment that puts a measurement in doubt; null: none does.</summary>
    /// <param name="measurement">Catalogue id.</param>
    /// <param name="condition">Its condition.</param>
    /// <param name="measuredAt">When it was taken.</param>
    /// <param name="adjusted">What was turned.</param>
    public static Adjusted? Of(string measurement, Condition condition, DateTimeOffset measuredAt, IReadOnlyList<Adjusted> adjusted)
    {
        ArgumentNullException.ThrowIfNull(condition);
        ArgumentNullException.ThrowIfNull(adjusted);
        return adjusted
            .Where(a =>
                a.At > measuredAt
                && All.Any(d =>
                    string.Equals(d.Adjustment, a.What, StringComparison.Ordinal)
                    && d.Measurements.Contains(measurement, StringComparer.Ordinal)
                    && (!d.SameDirection || a.Condition.Direction == condition.Direction)
                    && (
                        !d.SameSetting
                        || a.Condition.TapeSetting is null
                        || condition.TapeSetting is null
                        || string.Equals(a.Condition.TapeSetting, condition.TapeSetting, StringComparison.Ordinal)
                    )
                )
            )
            .MaxBy(a => a.At);
    }
}
