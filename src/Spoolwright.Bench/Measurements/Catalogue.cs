namespace Spoolwright.Bench.Measurements;

/// <summary>Every measurement there is, each declared once.</summary>
public static class Catalogue
{
    /// <summary>
    /// The entries, in the order the work is done: the gauges, since tensions come before flutter; the interface by itself; playback; and
    /// only then what is recorded.
    /// </summary>
    public static IReadOnlyList<MeasurementEntry> Entries { get; } =
    [
        .. Typed.GaugeEntries.All,
        LoopbackMeasurement.Entry,
        SpeedMeasurement.Entry,
        PlaybackMeasurement.Entry,
        AzimuthMeasurement.Entry,
        BiasMeasurement.Entry,
        RecordMeasurement.Entry,
        DistortionMeasurement.Entry,
        NoiseMeasurement.Entry,
        CrosstalkMeasurement.Entry,
        EraseMeasurement.Entry,
        DropoutMeasurement.Entry,
    ];

    /// <summary>The entry of that id, or null.</summary>
    public static MeasurementEntry? Find(string id) => Entries.FirstOrDefault(e => string.Equals(e.Id, id, StringComparison.Ordinal));
}
