namespace Spoolwright.Bench.Tape;

/// <summary>How capstan, tape thickness and tension make the tape's speed [WINDING]; polyester tape's figures are remembered
/// ones.</summary>
public static class SpeedAndStretch
{
    /// <summary>Young's modulus of polyester tape by which the reference figures are worked, Pa.</summary>
    public const double TapeModulusPa = 4.0e9;

    /// <summary>Tape width by which the reference figures are worked, mm.</summary>
    public const double TapeWidthMm = 6.3;

    /// <summary>Tape speed in cm/s of a capstan: the neutral line lies in the middle of the tape, v = π(d + t)n.</summary>
    public static double SpeedCmPerS(double capstanMm, double thicknessMicrometres, double turnsPerSecond) =>
        Math.PI
        * (Wavelength.Positive(capstanMm) + Wavelength.NotNegative(thicknessMicrometres) / 1e3)
        * Wavelength.Positive(turnsPerSecond)
        / 10;

    /// <summary>Change of speed in percent when the tape's thickness changes.</summary>
    public static double ThicknessChangePercent(double capstanMm, double fromMicrometres, double toMicrometres) =>
        100 * (SpeedCmPerS(capstanMm, toMicrometres, 1) / SpeedCmPerS(capstanMm, fromMicrometres, 1) - 1);

    /// <summary>Strain of the tape under tension, percent: T/(E·A).</summary>
    public static double StrainPercent(double tensionNewtons, double thicknessMicrometres) =>
        100 * Wavelength.Finite(tensionNewtons) / (TapeModulusPa * TapeWidthMm * 1e-3 * Wavelength.Positive(thicknessMicrometres) * 1e-6);

    /// <summary>Pitch of a speed error, cents: 1200·lb(1 + e).</summary>
    public static double Cents(double speedErrorPercent) =>
        1200 * Math.Log2(Wavelength.Positive(100 + speedErrorPercent, nameof(speedErrorPercent)) / 100);
}
