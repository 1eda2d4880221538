namespace Spoolwright.Bench.Tape;

/// <summary>
/// Geometry of a wound reel [WINDING]: L = π(R² − r²)/t. Radii in mm, tape thickness in µm, lengths in m. Air between the turns makes the
/// effective thickness up to 4 % larger than the tape's own: <see cref="ThicknessMicrometres"/> of a known reel is better than a
/// micrometer.
/// </summary>
public static class Winding
{
    /// <summary>Length on the reel, m.</summary>
    public static double LengthM(double hubRadiusMm, double radiusMm, double thicknessMicrometres) =>
        Math.PI * Squares(hubRadiusMm, radiusMm) / Wavelength.Positive(thicknessMicrometres);

    /// <summary>Outer radius of a length of tape, mm.</summary>
    public static double RadiusMm(double hubRadiusMm, double lengthM, double thicknessMicrometres) =>
        Math.Sqrt(
            Wavelength.Positive(hubRadiusMm) * hubRadiusMm
                + Wavelength.NotNegative(lengthM) * Wavelength.Positive(thicknessMicrometres) / Math.PI
        );

    /// <summary>Effective thickness of one turn, µm, from a reel of known length.</summary>
    public static double ThicknessMicrometres(double hubRadiusMm, double radiusMm, double lengthM) =>
        Math.PI * Squares(hubRadiusMm, radiusMm) / Wavelength.Positive(lengthM);

    /// <summary>Turns on the reel.</summary>
    public static double Turns(double hubRadiusMm, double radiusMm, double thicknessMicrometres)
    {
        Squares(hubRadiusMm, radiusMm);
        return (radiusMm - hubRadiusMm) * 1e3 / Wavelength.Positive(thicknessMicrometres);
    }

    /// <summary>Seconds until the reel is empty at a tape speed.</summary>
    public static double RemainingSeconds(double hubRadiusMm, double radiusMm, double thicknessMicrometres, double speedCmPerS) =>
        LengthM(hubRadiusMm, radiusMm, thicknessMicrometres) * 100 / Wavelength.Positive(speedCmPerS);

    /// <summary>Turns per second of a reel at its present radius.</summary>
    public static double RateHz(double radiusMm, double speedCmPerS) =>
        Wavelength.Positive(speedCmPerS) * 10 / (2 * Math.PI * Wavelength.Positive(radiusMm));

    /// <summary>Radius at which two like reels hold the same length, mm.</summary>
    public static double EqualPacksRadiusMm(double hubRadiusMm, double fullRadiusMm)
    {
        Squares(hubRadiusMm, fullRadiusMm);
        return Math.Sqrt((fullRadiusMm * fullRadiusMm + hubRadiusMm * hubRadiusMm) / 2);
    }

    // R² − r² in mm²; with µm below it gives metres, since mm²/µm is 1e-6/1e-6 m.
    private static double Squares(double hubRadiusMm, double radiusMm)
    {
        Wavelength.Positive(hubRadiusMm);
        if (!double.IsFinite(radiusMm) || radiusMm < hubRadiusMm)
            throw new ArgumentOutOfRangeException(nameof(radiusMm), radiusMm, $"expected at least the hub's radius, {hubRadiusMm} mm");
        return radiusMm * radiusMm - hubRadiusMm * hubRadiusMm;
    }
}
