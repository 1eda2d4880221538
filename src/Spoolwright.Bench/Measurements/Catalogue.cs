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
                Quantity.UnweightedRms, Quantity.WowRms, Quantity.FlutterRms, Quantity.ScrapeRms, Quantity.FlutterLine, Quantity.MainsFrequency,
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
            Takes = SettingKinds.TestTape | SettingKinds.Deck | SettingKinds.FullScaleVolts | SettingKinds.Loopback,
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
            Takes = SettingKinds.TestTape | SettingKinds.Deck | SettingKinds.Loopback,
        },
        new(
            "distortion",
            "Distortion",
            "Reads harmonics through flutter: total and third of a steady tone; from a ramp or steps of level the maximum output level and saturation.",
            "Play a steady tone of 20 Hz to 6 kHz recorded on the tape (for a home deck 333 or 1000 Hz at reference level) for two seconds or more. For the maximum "
            + "output level record the tone while its level rises slowly, or in steps of a second, until it distorts plainly; for saturation the same "
            + "at 10 kHz until it grows no louder. Set the interface so that its input never clips.",
            [Quantity.Thd, Quantity.ThirdHarmonic, Quantity.SecondHarmonic, Quantity.Mol, Quantity.MolRelative, Quantity.Saturation],
            "[IEC60268-3] [IEC60094-5:1988]",
            DistortionMeasurement.Measure)
        {
            Takes = SettingKinds.Nominal | SettingKinds.ReferenceLevel | SettingKinds.Deck,
        },
        new(
            "loopback",
            "Interface loopback",
            "Reads the interface wired to itself: level, response, skew and phase between its channels, noise, distortion; kept as its calibration.",
            "Connect the interface's outputs to its own inputs, play tones (one after the other for half a second and more, several at once, or one alone) "
            + "at the level and sample rate of later captures, and capture both channels. Nothing else may run through the interface meanwhile.",
            [
                Quantity.ToneLevel, Quantity.Response, Quantity.ChannelBalance, Quantity.TimeSkew, Quantity.Phase, Quantity.Thd, Quantity.ThirdHarmonic,
                Quantity.SecondHarmonic, Quantity.NoiseUnweighted,
            ],
            "computed",
            LoopbackMeasurement.Measure)
        {
            Takes = SettingKinds.Calibration,
        },
        new(
            "noise",
            "Noise and hum",
            "Reads noise A-weighted, 468-weighted and unweighted, its ratio to a reference level, and the lines of the mains apart from hiss.",
            "Play blank tape that was recorded with bias and no signal, or let the deck stand still, and capture both channels for 10 seconds or more at the "
            + "level setting used for the reference tone. Leave out what goes before and after, or leave it in: the program finds the steady part.",
            [
                Quantity.NoiseA, Quantity.Noise468, Quantity.NoiseUnweighted, Quantity.Hiss, Quantity.SignalToNoiseA, Quantity.SignalToNoise468,
                Quantity.SignalToNoiseUnweighted, Quantity.Hum, Quantity.MainsFrequency,
            ],
            "[IEC61672-1:2013] [BS468-4] [IEC60268-1]",
            NoiseMeasurement.Measure)
        {
            Takes = SettingKinds.Deck | SettingKinds.ReferenceLevel | SettingKinds.Clock,
        },
        new(
            "crosstalk",
            "Crosstalk",
            "Reads the separation of the channels from tones on one channel, and the leak of the other direction's tracks.",
            "Play a tone recorded on one channel only, then on the other, or different tones left and right at the same time, each for 5 seconds or more. For the "
            + "leak of the other direction: a tone on the tracks of the other direction, nothing on these, and --reference-level.",
            [Quantity.Separation, Quantity.ReverseLeak],
            "[IEC60094-3:1979]",
            CrosstalkMeasurement.Measure)
        {
            Takes = SettingKinds.Deck | SettingKinds.ReferenceLevel | SettingKinds.Nominal,
        },
        new(
            "erase",
            "Depth of erasure",
            "Reads how far what is left of an erased tone lies below the tone as it was recorded, at its own frequency.",
            "Record a 1 kHz tone at full level, erase a part of it by recording with no signal, and capture the tone and the erased part in one, in either order, 5 seconds "
            + "or more of each; 30 seconds see deeper. Or capture the erased part alone and say what the tone was: --recorded or --recorded-level.",
            [Quantity.EraseDepth],
            "[IEC60094-3:1979]",
            EraseMeasurement.Measure)
        {
            Takes = SettingKinds.Deck | SettingKinds.Nominal | SettingKinds.Recorded,
        },
        new(
            "dropouts",
            "Dropouts",
            "Counts the dropouts of a steady tone by depth and length, and reads how steady its level is.",
            "Record a steady tone (3 to 10 kHz shows most; 1 kHz will do) on the tape in question 10 dB under reference level, and play a minute or more of it.",
            [Quantity.DropoutCount, Quantity.DropoutRate, Quantity.DropoutClass, Quantity.LevelStability],
            "practice",
            DropoutMeasurement.Measure)
        {
            Takes = SettingKinds.Deck | SettingKinds.Nominal | SettingKinds.Dropout,
        },
        new(
            "bias",
            "Bias",
            "Fits the bias peak from a tone recorded while the bias is turned, and reads how far past it the level lies.",
            "On a deck with three heads record spoolwright signal bias (10 kHz with 1 kHz beside it, both 20 dB under reference; any steady tone will do), "
            + "listen to the tape and capture it while turning the bias slowly from too little, over the peak (15 seconds within half a decibel of it), "
            + "to the drop wanted, and hold it there for some seconds. With two heads record it in steps and capture it afterwards.",
            [Quantity.BiasPeak, Quantity.Overbias, Quantity.OverbiasWanted, Quantity.OverbiasError, Quantity.WantedDropTime],
            "[TAPE-HANDBOOK]",
            BiasMeasurement.Measure)
        {
            Takes = SettingKinds.Nominal | SettingKinds.Deck | SettingKinds.WantedDrop,
        },
        new(
            "record",
            "Record and playback together",
            "Reads the overall response of one's own recording, what of it is due to record, its skew, and the monitor delay where the capture shows it.",
            "Record spoolwright signal response (steps, any deck) or multitone (all tones at once) and capture it from tape, while it is recorded on a deck with "
            + "three heads or afterwards. For the monitor delay loop the sent signal to the other input, or mix it in. Stepped tones of equal level by anybody else are read too.",
            [
                Quantity.MonitorDelay, Quantity.ToneLevel, Quantity.Response, Quantity.ResponseMax, Quantity.ResponseMin, Quantity.RecordResponse,
                Quantity.Separation, Quantity.Intermodulation, Quantity.TimeSkew, Quantity.RecordTimeSkew,
            ],
            "[IEEE1057:2017]",
            RecordMeasurement.Measure)
        {
            Takes = SettingKinds.Deck | SettingKinds.PlaybackReadings | SettingKinds.RecordedTones,
        },
        .. Typed.GaugeEntries.All,
    ];

    /// <summary>The entry of that id, or null.</summary>
    public static MeasurementEntry? Find(string id) => Entries.FirstOrDefault(e => string.Equals(e.Id, id, StringComparison.Ordinal));
}
