namespace Spoolwright.Bench.Measurements;

/// <summary>Every measurement there is, each declared once.</summary>
public static class Catalogue
{
    /// <summary>The entries, in the order the work is done.</summary>
    public static IReadOnlyList<MeasurementEntry> Entries { get; } =
    [
        new(
            "speed",
            "Speed and flutter",
            "Reads speed error, drift, wow and flutter by every usual detector, and the lines that rotating parts leave.",
            "Play the steady tone of a speed and flutter test tape (3150 or 3000 Hz, or any other tone given by its nominal frequency) for 30 seconds "
            + "or more, and capture both channels. A longer capture shows slower parts: two turns of a full reel take 5 to 20 seconds.",
            [
                Quantity.SpeedError, Quantity.Drift, Quantity.QuasiPeak, Quantity.QuasiPeakMaximum, Quantity.TwoSigma, Quantity.WeightedRms,
                Quantity.UnweightedRms, Quantity.WowRms, Quantity.FlutterRms, Quantity.ScrapeRms, Quantity.FlutterLine,
            ],
            "[IEC60386:1972] [AES6:2008]",
            SpeedMeasurement.Measure)
        {
            Takes = SettingKinds.Nominal | SettingKinds.TestTape | SettingKinds.Deck | SettingKinds.ReelRadii | SettingKinds.Clock,
        },
        new(
            "playback",
            "Playback level and response",
            "Finds the tones of a level and response test tape by itself and reads level, response and balance of both channels.",
            "Play the level and response test tape from its reference tone to its last tone in one pass, and capture both channels without touching "
            + "any level. Announcements and gaps may stay in; the capture may start late and end early.",
            [
                Quantity.ToneLevel, Quantity.Response, Quantity.ResponseMax, Quantity.ResponseMin, Quantity.ChannelBalance, Quantity.PlaybackLevel,
                Quantity.OutputLevel, Quantity.TrebleTilt, Quantity.BassTilt,
            ],
            "computed",
            PlaybackMeasurement.Measure)
        {
            Takes = SettingKinds.TestTape | SettingKinds.Deck | SettingKinds.FullScaleVolts,
            Needs = SettingKinds.TestTape,
        },
        new(
            "azimuth",
            "Azimuth",
            "Reads the time skew between the channels with the right cycle chosen from all tones together, the angle of the gap and its wander.",
            "Play the same tones as for playback, or the azimuth tones alone, and capture both channels. Tones of several frequencies are needed to tell "
            + "one cycle from the next: a low one beside the high ones.",
            [Quantity.TimeSkew, Quantity.Phase, Quantity.AzimuthAngle, Quantity.AzimuthWander, Quantity.MonoSumLoss],
            "computed",
            AzimuthMeasurement.Measure)
        {
            Takes = SettingKinds.TestTape | SettingKinds.Deck,
        },
        .. Typed.GaugeEntries.All,
    ];

    /// <summary>The entry of that id, or null.</summary>
    public static MeasurementEntry? Find(string id) => Entries.FirstOrDefault(e => string.Equals(e.Id, id, StringComparison.Ordinal));
}
