namespace Spoolwright.Bench.Tape;

/// <summary>
/// Level lost because the depth of the coating lies away from the head. [SPACING-1951]: (1 − e^−x)/x with x = 2πδ/λ, for magnetization even
/// through the depth. It is part of tape and equalization standards, never a fault of the deck.
/// </summary>
public static class ThicknessLoss
{
    /// <summary>Level change in dB, 0 or below.</summary>
    /// <param name="coatingMicrometres">Depth of the coating, µm, above 0.</param>
    /// <param name="frequencyHz">Frequency, Hz.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s.</param>
    public static double Db(double coatingMicrometres, double frequencyHz, double speedCmPerS)
    {
        var x = 2 * Math.PI * Wavelength.Positive(coatingMicrometres) / Wavelength.Micrometres(frequencyHz, speedCmPerS);
        // 1 − e^−x loses its digits at long wavelengths; there the series 1 − x/2 holds to better than 1e-12.
        return Decibels.Of(x < 1e-6 ? 1 - x / 2 : (1 - Math.Exp(-x)) / x);
    }
}
