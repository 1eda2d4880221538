namespace Spoolwright.Signal.Markers;

/// <summary>A marker found in one channel of a capture.</summary>
public sealed record FoundMarker
{
    /// <summary>What its sweeps say.</summary>
    public required MarkerWord Word { get; init; }

    /// <summary>0: the left (or only) channel of the capture; 1: the right one.</summary>
    public required int CaptureChannel { get; init; }

    /// <summary>Time in the capture at which the first sweep heard begins, s.</summary>
    public required double StartSeconds { get; init; }

    /// <summary>What of <see cref="StartSeconds"/> is left open by noise and flutter, k = 2, s.</summary>
    public required double UncertaintySeconds { get; init; }

    /// <summary>What of <see cref="MiddleSeconds"/> is left open by noise and flutter, k = 2, s: wow that the whole marker shares is none
    /// of it.</summary>
    public required double MiddleUncertaintySeconds { get; init; }

    /// <summary>Time it takes over what it took as sent: above 1 where the tape runs slow.</summary>
    public required double Stretch { get; init; }

    /// <summary>Standard deviation of the single sweeps about an even row, s: flutter and noise; some microseconds at most of a straight
    /// wire.</summary>
    public required double ScatterSeconds { get; init; }

    /// <summary>Level, dB: a full-scale sweep is 0.</summary>
    public required double LevelDb { get; init; }

    /// <summary>Sweeps heard, of <see cref="MarkerCode.Length"/>.</summary>
    public required int Sweeps { get; init; }

    /// <summary>Whether the sweeps of the other side stand in the same channel nearly as strong: the sides were summed.</summary>
    public required bool IsMixed { get; init; }

    /// <summary>Time in the capture at which its middle lies, the mean of its wow counted in, s: the instant known best.</summary>
    public required double MiddleSeconds { get; init; }

    /// <summary>Tape speed over the speed at which it was recorded.</summary>
    public double Speed => 1 / Stretch;

    /// <summary>Time in the capture at which a time of the program is heard.</summary>
    /// <param name="secondsFromMarker">From the marker's start in the program, s.</param>
    public double TimeOf(double secondsFromMarker) => Word.IsBackwards
        ? StartSeconds + (Stretch * (MarkerSweep.MarkerSeconds - secondsFromMarker))
        : StartSeconds + (Stretch * secondsFromMarker);
}
