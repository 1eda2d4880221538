namespace Spoolwright.Bench.Tape;

/// <summary>
/// Tension and torque of a reel [WINDING]: M = T·r. Tensions in gf, torques in gf·cm, radii in mm.
/// </summary>
public static class ReelTension
{
    /// <summary>Torque, gf·cm.</summary>
    public static double TorqueGfCm(double tensionGf, double radiusMm) => tensionGf * Wavelength.Positive(radiusMm) / 10;

    /// <summary>Tension, gf.</summary>
    public static double TensionGf(double torqueGfCm, double radiusMm) => torqueGfCm * 10 / Wavelength.Positive(radiusMm);

    /// <summary>How much higher the tension of a constant torque is at the smaller radius, gf.</summary>
    public static double ConstantTorqueSpreadGf(double torqueGfCm, double smallRadiusMm, double largeRadiusMm) =>
        TensionGf(torqueGfCm, smallRadiusMm) - TensionGf(torqueGfCm, largeRadiusMm);

    /// <summary>p in T ∝ 1/r^p between two places: 1 constant torque, 0 constant tension.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A figure is not above 0, or the radii are the same.</exception>
    public static double Exponent(double firstTensionGf, double firstRadiusMm, double secondTensionGf, double secondRadiusMm)
    {
        var radii = Math.Log(Wavelength.Positive(secondRadiusMm) / Wavelength.Positive(firstRadiusMm));
        if (radii == 0)
            throw new ArgumentOutOfRangeException(nameof(secondRadiusMm), secondRadiusMm, "expected another radius than the first");
        return Math.Log(Wavelength.Positive(firstTensionGf) / Wavelength.Positive(secondTensionGf)) / radii;
    }

    /// <summary>Seconds to wind a reel at a steady rate of the driven reel: its turns over the rate.</summary>
    public static double WindSecondsAtRate(double hubRadiusMm, double fullRadiusMm, double thicknessMicrometres, double rateHz) =>
        Winding.Turns(hubRadiusMm, fullRadiusMm, thicknessMicrometres) / Wavelength.Positive(rateHz);

    /// <summary>Seconds to wind a length at a steady speed.</summary>
    public static double WindSecondsAtSpeed(double lengthM, double speedMPerS) =>
        Wavelength.Positive(lengthM) / Wavelength.Positive(speedMPerS);
}
