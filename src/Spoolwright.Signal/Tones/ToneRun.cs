namespace Spoolwright.Signal.Tones;

/// <summary>A stretch of sound in which one tone stood steady.</summary>
/// <param name="Candidate">Index of the candidate frequency it was found near.</param>
/// <param name="FrequencyHz">Frequency seen, Hz, to about a tenth of a percent.</param>
/// <param name="FirstFrame">First frame that lies wholly in the tone.</param>
/// <param name="LastFrame">Frame after the last one that does.</param>
/// <param name="Power">Mean square of the tone, both channels added.</param>
/// <param name="BackgroundPower">Mean square of what lies around it in an equal width.</param>
public sealed record ToneRun(int Candidate, double FrequencyHz, long FirstFrame, long LastFrame, double Power, double BackgroundPower)
{
    /// <summary>
    /// Mean square of a line that stands at the nominal frequency while other tones play: hum, if anything; 0 where there is none, or
    /// no other tone to see it beside.
    /// </summary>
    public double HumPower { get; init; }

    /// <summary>Length in frames.</summary>
    public long Frames => LastFrame - FirstFrame;
}
