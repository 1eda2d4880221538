using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Playing;

/// <summary>What is true of one capture. For tests and for marking practice, never for measuring code.</summary>
public sealed record PracticeTruth
{
    /// <summary>Mean over the capture of what the tones' frequency shows, % fast: deck, tape and clock together.</summary>
    public required double SpeedErrorPercent { get; init; }

    /// <summary>Mean speed of the deck alone, % fast.</summary>
    public required double DeckSpeedErrorPercent { get; init; }

    /// <summary>Straight line fitted to what the tones show: its change from start to end, %.</summary>
    public required double DriftPercent { get; init; }

    /// <summary>What the tones show, speed over nominal, mean of each ms since the tape ran.</summary>
    public required IReadOnlyList<double> SpeedRatios { get; init; }

    /// <summary>Second of the capture at which the tape began to run.</summary>
    public required double RunsFromSeconds { get; init; }

    /// <summary>The waves that turning parts put on the speed.</summary>
    public required IReadOnlyList<TrueLine> Lines { get; init; }

    /// <summary>The tones heard, in the order of the capture.</summary>
    public required IReadOnlyList<TrueTone> Tones { get; init; }

    /// <summary>The dropouts met, in the order of the capture.</summary>
    public required IReadOnlyList<TrueDropout> Dropouts { get; init; }

    /// <summary>Tilt of head against recorded lines, arc minutes, without the gaps' stagger.</summary>
    public required double AskewArcmin { get; init; }

    /// <summary>The tilt that skew between the channels shows: stagger in it, weave and electronics not.</summary>
    public required double ApparentAzimuthArcmin { get; init; }

    /// <summary>How much later the right gap hears than the left, µs, at mean speed, without weave and electronics.</summary>
    public required double GapSkewMicroseconds { get; init; }
}

/// <summary>One wave of the speed.</summary>
/// <param name="Part">Name of the part that makes it.</param>
/// <param name="Harmonic">Waves a turn.</param>
/// <param name="FromHz">Its frequency at the start of the capture.</param>
/// <param name="ToHz">Its frequency at the end.</param>
/// <param name="MeanHz">Its mean frequency.</param>
/// <param name="PercentPeak">Its height, % of speed, peak.</param>
public sealed record TrueLine(string Part, int Harmonic, double FromHz, double ToHz, double MeanHz, double PercentPeak);

/// <summary>One tone as it stands in the capture, its swells at both ends left out of every mean.</summary>
/// <param name="Tone">What the tape holds.</param>
/// <param name="StartSeconds">Where it begins in the capture, s; 0 or the tape's start when it is cut.</param>
/// <param name="EndSeconds">Where it ends in the capture, s.</param>
/// <param name="Whole">Whether the whole tone is in the capture.</param>
/// <param name="FrequencyHz">Its mean frequency as heard, Hz.</param>
/// <param name="LeftDbfs">Level by rms in the left channel, a full-scale sine being 0; moments in a dropout left out.</param>
/// <param name="RightDbfs">The same in the right channel.</param>
/// <param name="PhaseDegrees">Right minus left, −180 to 180.</param>
/// <param name="TimeSkewMicroseconds">How much later the right channel comes, µs, by the phase with its cycles: everything in it that the
/// capture holds.</param>
/// <param name="SkewWanderMicroseconds">Rms of the wander of that skew, µs.</param>
/// <param name="LeftFringingDb">What the left head track gathers over a track just covered, dB.</param>
/// <param name="RightFringingDb">The same for the right.</param>
public sealed record TrueTone(
    PracticeTone Tone,
    double StartSeconds,
    double EndSeconds,
    bool Whole,
    double FrequencyHz,
    double LeftDbfs,
    double RightDbfs,
    double PhaseDegrees,
    double TimeSkewMicroseconds,
    double SkewWanderMicroseconds,
    double LeftFringingDb,
    double RightFringingDb);

/// <summary>One dropout as it stands in the capture.</summary>
/// <param name="StartSeconds">Where it begins, s.</param>
/// <param name="Milliseconds">Its length from edge to edge, ms.</param>
/// <param name="DepthDb">Its depth, dB.</param>
/// <param name="Left">Whether the left channel has it.</param>
/// <param name="Right">Whether the right channel has it.</param>
public sealed record TrueDropout(double StartSeconds, double Milliseconds, double DepthDb, bool Left, bool Right);
