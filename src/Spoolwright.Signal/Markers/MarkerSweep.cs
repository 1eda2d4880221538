namespace Spoolwright.Signal.Markers;

/// <summary>
/// One sweep of a marker, whose period (not its frequency) changes evenly: played faster or slower it is the same sweep a little earlier or
/// later, so a matched filter finds it at any speed. An upward one is displaced other than a downward one, and the two give speed and time.
/// Derived: x(a·t) of a sweep with 1/f = 1/f₀ + k·t has 1/f = 1/(a·f₀) + k·t.
/// </summary>
public static class MarkerSweep
{
    /// <summary>Lower end, Hz: above hum, and above what a head bump bends.</summary>
    public const double LowestHz = 900;

    /// <summary>Upper end, Hz: a worn head at a slow speed still has it.</summary>
    public const double HighestHz = 5400;

    /// <summary>Length, s.</summary>
    public const double Seconds = 0.072;

    /// <summary>From the start of one sweep to that of the next, s.</summary>
    public const double EverySeconds = 0.08;

    /// <summary>Length of a whole marker, s.</summary>
    public const double MarkerSeconds = ((MarkerCode.Length - 1) * EverySeconds) + Seconds;

    private const double EdgeShare = 0.06;

    /// <summary>Displacement of the upward sweep's peak at a stretch s in time: this times (s − 1), s.</summary>
    public const double UpwardShift = Seconds / (1 - (LowestHz / HighestHz));

    /// <summary>The same of the downward sweep.</summary>
    public const double DownwardShift = Seconds - UpwardShift;

    /// <summary>Displacement of a sweep's peak at a stretch s in time: this times (s − 1), s.</summary>
    /// <param name="upward">Whether it goes up.</param>
    public static double Shift(bool upward) => upward ? UpwardShift : DownwardShift;

    /// <summary>Value at a time from the sweep's start, −1 to 1; 0 outside.</summary>
    /// <param name="seconds">Time, s.</param>
    /// <param name="upward">Whether it goes up.</param>
    public static double Value(double seconds, bool upward)
    {
        if (seconds <= 0 || seconds >= Seconds)
        {
            return 0;
        }

        // The downward sweep is the upward one from its end.
        var t = upward ? seconds : Seconds - seconds;
        var slope = ((1 / HighestHz) - (1 / LowestHz)) / Seconds;
        var phase = 2 * Math.PI / slope * Math.Log(1 + (slope * LowestHz * t));
        return Window(seconds) * Math.Sin(phase);
    }

    /// <summary>Amplitude at a time from the sweep's start, 0 to 1.</summary>
    internal static double Window(double seconds)
    {
        var edge = EdgeShare * Seconds;
        var beside = Math.Min(seconds, Seconds - seconds);
        return beside < edge ? 0.5 - (0.5 * Math.Cos(Math.PI * Math.Max(0, beside) / edge)) : 1;
    }

    /// <summary>Frequency at a time from the sweep's start, Hz.</summary>
    internal static double Frequency(double seconds, bool upward) =>
        1 / ((1 / LowestHz) + (((1 / HighestHz) - (1 / LowestHz)) * (upward ? seconds : Seconds - seconds) / Seconds));

    /// <summary>Value of a whole marker at a time from its start, −1 to 1; 0 outside.</summary>
    /// <param name="seconds">Time, s.</param>
    /// <param name="sweeps">Its row of sweeps.</param>
    /// <param name="turned">Whether each goes the other way (the right side).</param>
    public static double MarkerValue(double seconds, bool[] sweeps, bool turned)
    {
        ArgumentNullException.ThrowIfNull(sweeps);
        var index = (int)Math.Floor(seconds / EverySeconds);
        return index < 0 || index >= sweeps.Length ? 0 : Value(seconds - (index * EverySeconds), sweeps[index] ^ turned);
    }
}
