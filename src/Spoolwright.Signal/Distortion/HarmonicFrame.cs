namespace Spoolwright.Signal.Distortion;

/// <summary>
/// A tone's harmonics over some cycles, against the fundamental's own phase. Amplitudes are peak, full scale 1; index 0 is the fundamental,
/// index n − 1 the n-th harmonic.
/// </summary>
public sealed class HarmonicFrame
{
    internal HarmonicFrame(int orders)
    {
        Re = new float[orders];
        Im = new float[orders];
        Noise = new float[orders];
    }

    /// <summary>Frame of sound, from the first one given, that its middle lies at.</summary>
    public double CentreFrame { get; internal set; }

    /// <summary>Mean frequency of the fundamental, Hz.</summary>
    public double FrequencyHz { get; internal set; }

    /// <summary>Amplitude of the fundamental.</summary>
    public double Fundamental { get; internal set; }

    /// <summary>Whether the fundamental stands so many times in power above the noise beside it.</summary>
    public bool HoldsTone(double times) => Fundamental * Fundamental > times * Noise[0];

    internal float[] Re { get; }

    internal float[] Im { get; }

    /// <summary>Mean square of what noise alone shows at each harmonic's place, from between the harmonics.</summary>
    internal float[] Noise { get; }

    /// <summary>The mean of two neighbours, harmonics with their phase.</summary>
    internal static HarmonicFrame Merge(HarmonicFrame a, HarmonicFrame b)
    {
        var merged = new HarmonicFrame(a.Re.Length)
        {
            CentreFrame = 0.5 * (a.CentreFrame + b.CentreFrame),
            FrequencyHz = 0.5 * (a.FrequencyHz + b.FrequencyHz),
            Fundamental = 0.5 * (a.Fundamental + b.Fundamental),
        };
        for (var i = 0; i < a.Re.Length; i++)
        {
            merged.Re[i] = 0.5f * (a.Re[i] + b.Re[i]);
            merged.Im[i] = 0.5f * (a.Im[i] + b.Im[i]);
            merged.Noise[i] = 0.5f * (a.Noise[i] + b.Noise[i]);
        }

        return merged;
    }
}
