using Spoolwright.Bench.Limits;
using Spoolwright.Signal;

namespace Spoolwright.Bench.Live;

/// <summary>What the input is like now.</summary>
/// <param name="SampleRateHz">Frames per second.</param>
/// <param name="Seconds">Heard since it was opened, s.</param>
/// <param name="PeakLeftDb">Highest peak of about half a second, dBFS.</param>
/// <param name="PeakRightDb">The same, right.</param>
/// <param name="Notes">What is wrong, and what to do.</param>
public sealed record LiveInputState(int SampleRateHz, double Seconds, double PeakLeftDb, double PeakRightDb, IReadOnlyList<Note> Notes);

/// <summary>A tone that stands in the sound, or stood there a while ago.</summary>
/// <param name="NominalHz">Nominal frequency it is taken for, Hz.</param>
/// <param name="FrequencyHz">Frequency seen, Hz.</param>
/// <param name="LeftDb">Level, dBFS.</param>
/// <param name="RightDb">Level, dBFS.</param>
/// <param name="LeftUncertaintyDb">k = 2, dB.</param>
/// <param name="RightUncertaintyDb">k = 2, dB.</param>
/// <param name="PhaseDegrees">Right minus left, within ±180°.</param>
/// <param name="PhaseUncertaintyDegrees">k = 2.</param>
/// <param name="TicksMicroseconds">Every delay within reach that this phase allows, µs, rising; one for each whole cycle.</param>
/// <param name="AgeSeconds">Since it was last heard; 0: it stands now.</param>
public sealed record LiveToneState(
    double NominalHz, double FrequencyHz, double LeftDb, double RightDb, double LeftUncertaintyDb, double RightUncertaintyDb,
    double PhaseDegrees, double PhaseUncertaintyDegrees, IReadOnlyList<double> TicksMicroseconds, double AgeSeconds)
{
    /// <summary>Level against the reference tone last heard, less what the test tape holds of it, dB; null where no reference tone was
    /// heard.</summary>
    public double? LeftResponseDb { get; init; }

    /// <summary>The same, right.</summary>
    public double? RightResponseDb { get; init; }
}

/// <summary>How the cycle of the skew was chosen.</summary>
public enum CycleChoice
{
    /// <summary>The tones that stand now allow one only.</summary>
    Resolved,

    /// <summary>They allow several; the one was taken that goes on from where it was resolved before.</summary>
    Followed,

    /// <summary>They allow several, and none was resolved before: the one nearest to no skew.</summary>
    Nearest,
}

/// <summary>The skew that all tones agree on now.</summary>
/// <param name="Microseconds">Positive: right later.</param>
/// <param name="Uncertainty">k = 2, µs.</param>
/// <param name="Cycle">How its cycle was chosen.</param>
/// <param name="RivalMicroseconds">The next best, µs; null: none in reach.</param>
/// <param name="PolarityReversed">Whether the right channel is turned over.</param>
public sealed record LiveSkew(double Microseconds, double Uncertainty, CycleChoice Cycle, double? RivalMicroseconds, bool PolarityReversed);

/// <summary>One turn of a part as a ring.</summary>
/// <param name="Part">The part's name in the profile.</param>
/// <param name="RateHz">Turns per second as followed.</param>
/// <param name="Turns">Turns it rests on so far.</param>
/// <param name="PeakPercent">Once-a-turn part, % peak: how far the ring is off its centre.</param>
/// <param name="Degrees">Angle of highest speed.</param>
/// <param name="Percent">Deviation by angle, % of the mean speed.</param>
public sealed record LiveRing(string Part, double RateHz, double Turns, double PeakPercent, double Degrees, IReadOnlyList<double> Percent);

/// <summary>Speed beside its detectors.</summary>
/// <param name="NominalHz">Nominal frequency of the tone, Hz.</param>
/// <param name="NowPercent">Speed error over the last second, %.</param>
/// <param name="Seconds">What the flutter figures rest on, s; 0 while the filters settle.</param>
public sealed record LiveSpeedState(double NominalHz, double NowPercent, double Seconds);

/// <summary>A live reading with the limit it is held to.</summary>
/// <param name="Reading">The figure.</param>
/// <param name="Judgement">Its verdict; null: there is no limit.</param>
public sealed record LiveReading(Reading Reading, Judgement? Judgement)
{
    /// <summary>The limit's lower end for this reading; null: open, or none.</summary>
    public double? Min => Judgement is { } j ? Judge.Interval(Reading, j.Limit).Min : null;

    /// <summary>The limit's upper end; null: open, or none.</summary>
    public double? Max => Judgement is { } j ? Judge.Interval(Reading, j.Limit).Max : null;
}

/// <summary>Everything a screen shows at one moment.</summary>
public sealed record LivePicture(
    LiveInputState Input,
    IReadOnlyList<LiveToneState> Tones,
    LiveSkew? Skew,
    LiveSpeedState? Speed,
    IReadOnlyList<LiveReading> Readings,
    IReadOnlyList<LiveRing> Rings)
{
    /// <summary>Where each channel stands on the hill of level over bias; empty while no bias tone is sent.</summary>
    public IReadOnlyList<LiveHill> Hills { get; init; } = [];
}
