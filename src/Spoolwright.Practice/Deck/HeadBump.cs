namespace Spoolwright.Practice.Deck;

/// <summary>Shapes of the swing in the bass where the wavelength nears the length of the head's face. The practice deck's own.</summary>
public enum HeadBumpShape
{
    /// <summary>One hump, and a shallow hollow an octave above it.</summary>
    Single,

    /// <summary>A hump and ripples that die away towards the treble.</summary>
    Rippled,

    /// <summary>Two humps of unequal height.</summary>
    Double,
}

/// <summary>The swing in the bass of one head.</summary>
/// <param name="HeightDb">Height of the highest hump, dB.</param>
/// <param name="FaceMm">Length of the head's face along the tape, mm; the hump lies where the wavelength is about as long.</param>
/// <param name="Shape">Its shape.</param>
public sealed record HeadBump(double HeightDb, double FaceMm, HeadBumpShape Shape)
{
    /// <summary>No swing at all.</summary>
    public static HeadBump None { get; } = new(0, 10, HeadBumpShape.Single);

    /// <summary>Gain in dB at a wavelength.</summary>
    public double GainDb(double wavelengthUm)
    {
        // Waves of the flux along the face; 1 is the first hump.
        var x = FaceMm * 1000 / wavelengthUm;
        var octaves = Math.Log2(x);
        return HeightDb
            * Shape switch
            {
                HeadBumpShape.Single => Hump(octaves, 0, 0.55) - (0.35 * Hump(octaves, 1.1, 0.45)) - Fall(octaves),
                HeadBumpShape.Rippled => (Math.Cos(2 * Math.PI * (x - 1)) * Math.Exp(-0.55 * Math.Abs(x - 1)) * (x < 0.5 ? 2 * x : 1))
                    - Fall(octaves),
                _ => Hump(octaves, 0, 0.4) + (0.6 * Hump(octaves, 1.25, 0.35)) - (0.4 * Hump(octaves, 0.65, 0.25)) - Fall(octaves),
            };
    }

    private static double Hump(double octaves, double at, double width) =>
        Math.Exp(-0.5 * (octaves - at) * (octaves - at) / (width * width));

    // Below the hump the face is too short to gather the wave.
    private static double Fall(double octaves) => octaves < -0.5 ? 1.5 * (octaves + 0.5) * (octaves + 0.5) : 0;

    internal void Check()
    {
        Faults.InRange(nameof(HeightDb), HeightDb, -6, 6);
        Faults.InRange(nameof(FaceMm), FaceMm, 1, 100);
    }
}
