namespace Spoolwright.Practice.Physics;

/// <summary>
/// What a replay head loses at one wavelength, as amplitude factors (1: nothing lost). These laws are the practice deck's own and are
/// shared with no measuring code; lengths are in µm, angles in arc minutes.
/// </summary>
internal static class HeadLosses
{
    /// <summary>Tape held off the gap: e^(−2πs/λ). [SPACING-1951]</summary>
    public static double Spacing(double spacingUm, double wavelengthUm) => Math.Exp(-2 * Math.PI * spacingUm / wavelengthUm);

    /// <summary>A gap that is not short against the wavelength, its magnetic length being the factor times the optical one.
    /// [GAP-1953]</summary>
    public static double Gap(double gapUm, double gapFactor, double wavelengthUm) => Sinc(gapFactor * gapUm / wavelengthUm);

    /// <summary>A gap that stands askew to the recorded lines, over a track of the given width. [AZIMUTH-2000]</summary>
    public static double Azimuth(double trackWidthUm, double arcmin, double wavelengthUm) =>
        Sinc(trackWidthUm * TangentOf(arcmin) / wavelengthUm);

    /// <summary>Tangent of an angle in arc minutes.</summary>
    public static double TangentOf(double arcmin) => Math.Tan(arcmin * Math.PI / (180 * 60));

    /// <summary>|sin(πu)/(πu)|.</summary>
    private static double Sinc(double u)
    {
        var x = Math.PI * u;
        return Math.Abs(x) < 1e-6 ? 1 - (x * x / 6) : Math.Abs(Math.Sin(x) / x);
    }
}
