using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;

namespace Spoolwright.Bench.Measurements;

/// <summary>What a person says beside the capture; each kind is a bit, so that a catalogue entry can list what it takes.</summary>
[Flags]
public enum SettingKinds
{
    /// <summary>Nothing beside the capture.</summary>
    None = 0,

    /// <summary>The tone's nominal frequency: <see cref="MeasurementSettings.NominalHz"/>.</summary>
    Nominal = 1,

    /// <summary>The test tape: <see cref="MeasurementSettings.TestTape"/>.</summary>
    TestTape = 2,

    /// <summary>The deck and what it was set to: <see cref="MeasurementSettings.Profile"/>,
    /// <see cref="MeasurementSettings.Condition"/>.</summary>
    Deck = 4,

    /// <summary>How full the reels are: <see cref="MeasurementSettings.SupplyRadiusMm"/>,
    /// <see cref="MeasurementSettings.TakeUpRadiusMm"/>.</summary>
    ReelRadii = 8,

    /// <summary>How far the interface's clock may be off: <see cref="MeasurementSettings.ClockUncertaintyPpm"/>.</summary>
    Clock = 16,

    /// <summary>What full scale is worth in volts: <see cref="MeasurementSettings.FullScaleVoltsLeft"/> and right.</summary>
    FullScaleVolts = 32,

    /// <summary>What a ratio is held against: <see cref="MeasurementSettings.ReferenceLevelLeftDb"/> and right.</summary>
    ReferenceLevel = 1 << 20,

    /// <summary>How the tone stood before it was erased: <see cref="MeasurementSettings.RecordedLevelDb"/>,
    /// <see cref="MeasurementSettings.OpenRecorded"/>.</summary>
    Recorded = 1 << 21,

    /// <summary>What counts as a dropout: <see cref="MeasurementSettings.DropoutDepthDb"/>,
    /// <see cref="MeasurementSettings.DropoutMilliseconds"/>.</summary>
    Dropout = 1 << 22,

    /// <summary>The interface's own figures, taken out: <see cref="MeasurementSettings.Loopback"/>,
    /// <see cref="MeasurementSettings.LoopbackMaxAgeDays"/>.</summary>
    Loopback = 1 << 24,

    /// <summary>The figures become an instrument's calibration: <see cref="MeasurementSettings.InterfaceName"/> and the capture's
    /// date.</summary>
    Calibration = 1 << 25,

    /// <summary>The drop wanted past the bias peak, and the monitor delay: <see cref="MeasurementSettings.WantedDropDb"/>,
    /// <see cref="MeasurementSettings.MonitorDelayMs"/>.</summary>
    WantedDrop = 1 << 10,

    /// <summary>Readings of the same condition taken before, of playback or azimuth:
    /// <see cref="MeasurementSettings.PlaybackReadings"/>.</summary>
    PlaybackReadings = 1 << 11,

    /// <summary>A list of the tones recorded, where they are none of ours: <see cref="MeasurementSettings.RecordedTones"/>.</summary>
    RecordedTones = 1 << 12,
}

/// <summary>What is known beside the capture; null everywhere means not stated, and no figure is made up for it.</summary>
public sealed record MeasurementSettings
{
    /// <summary>Nothing stated.</summary>
    public static readonly MeasurementSettings None = new();

    /// <summary>Nominal frequency of the steady tone, Hz; null: the program finds which of the usual ones it is.</summary>
    public double? NominalHz { get; init; }

    /// <summary>The test tape that was played.</summary>
    public TestTape? TestTape { get; init; }

    /// <summary>The kind of deck that played it.</summary>
    public DeckProfile? Profile { get; init; }

    /// <summary>Direction, speed and tape setting of the pass.</summary>
    public Condition? Condition { get; init; }

    /// <summary>Radius of the tape on the supply reel in the middle of the capture, mm.</summary>
    public double? SupplyRadiusMm { get; init; }

    /// <summary>Radius of the tape on the take-up reel in the middle of the capture, mm.</summary>
    public double? TakeUpRadiusMm { get; init; }

    /// <summary>Expanded uncertainty (k = 2) of the interface's sample clock, parts per million.</summary>
    public double? ClockUncertaintyPpm { get; init; }

    /// <summary>Volts rms of a full-scale sine at the left input.</summary>
    public double? FullScaleVoltsLeft { get; init; }

    /// <summary>Volts rms of a full-scale sine at the right input.</summary>
    public double? FullScaleVoltsRight { get; init; }

    /// <summary>Level of the deck's reference level at the interface, left channel, dBFS.</summary>
    public double? ReferenceLevelLeftDb { get; init; }

    /// <summary>The same, right channel.</summary>
    public double? ReferenceLevelRightDb { get; init; }

    /// <summary>Level of the tone before it was erased, dBFS.</summary>
    public double? RecordedLevelDb { get; init; }

    /// <summary>Opens the sound of the tone before it was erased.</summary>
    public Func<Spoolwright.Signal.Sound.SoundSource>? OpenRecorded { get; init; }

    /// <summary>Least depth of a dropout, dB.</summary>
    public double DropoutDepthDb { get; init; } = 6;

    /// <summary>Least length of a dropout, ms.</summary>
    public double DropoutMilliseconds { get; init; } = 5;

    /// <summary>The interface's own response, skew and phase, taken out of the figures.</summary>
    public LoopbackCalibration? Loopback { get; init; }

    /// <summary>Most days that may lie between the calibration and the capture; null: any.</summary>
    public double? LoopbackMaxAgeDays { get; init; }

    /// <summary>The interface that made the capture, as its owner calls it.</summary>
    public string? InterfaceName { get; init; }

    /// <summary>Day the capture was made.</summary>
    public DateOnly? CapturedOn { get; init; }

    /// <summary>Drop wanted past the bias peak, dB.</summary>
    public double? WantedDropDb { get; init; }

    /// <summary>Delay from the record head to the playback head, ms.</summary>
    public double? MonitorDelayMs { get; init; }

    /// <summary>Readings of <c>playback</c> and <c>azimuth</c> of the same condition.</summary>
    public IReadOnlyList<Reading> PlaybackReadings { get; init; } = [];

    /// <summary>Tones that were recorded, where they are none of our programs; null: not stated.</summary>
    public IReadOnlyList<TestTone>? RecordedTones { get; init; }

    /// <summary>Nominal tape speed of the pass, cm/s: the condition's, else the test tape's; null: not stated.</summary>
    public double? SpeedCmPerS => Condition?.SpeedCmPerS ?? TestTape?.SpeedCmPerS;
}
