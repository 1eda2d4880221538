namespace Spoolwright.Bench.Tape;

/// <summary>
/// Level lost because the playback gap averages over its length: |sin(πg/λ)/(πg/λ)| with the magnetic gap g = k times the optical one.
/// [GAP-1953] has its null at k of about 1.136 (remembered), [GAP-1994] k = 1.11, [GAP-2012] 1.12: k is a setting.
/// </summary>
public static class GapLoss
{
    /// <summary>Magnetic against optical length of the gap, between the published 1.11 and 1.14.</summary>
    public const double UsualFactor = 1.12;

    /// <summary>Level change in dB, 0 or below; a null is −200.</summary>
    /// <param name="gapMicrometres">Optical length of the gap, µm, 0 or more.</param>
    /// <param name="frequencyHz">Frequency, Hz.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s.</param>
    /// <param name="factor">Magnetic against optical length.</param>
    public static double Db(double gapMicrometres, double frequencyHz, double speedCmPerS, double factor = UsualFactor) =>
        Decibels.Of(
            Decibels.Sinc(
                Wavelength.Positive(factor) * Wavelength.NotNegative(gapMicrometres) / Wavelength.Micrometres(frequencyHz, speedCmPerS)
            )
        );

    /// <summary>First frequency that the gap does not read at all, Hz.</summary>
    public static double NullHz(double gapMicrometres, double speedCmPerS, double factor = UsualFactor) =>
        Wavelength.Positive(speedCmPerS) * 1e4 / (Wavelength.Positive(factor) * Wavelength.Positive(gapMicrometres));

    /// <summary>Optical gap in µm that makes this level change below its first null: the inverse of <see cref="Db"/>.</summary>
    /// <param name="db">Level change, dB, 0 or below.</param>
    /// <param name="frequencyHz">Frequency, Hz.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s.</param>
    /// <param name="factor">Magnetic against optical length.</param>
    public static double GapMicrometres(double db, double frequencyHz, double speedCmPerS, double factor = UsualFactor)
    {
        var amplitude = Math.Pow(10, -Wavelength.NotNegative(-db, nameof(db)) / 20);
        var (low, high) = (0.0, 1.0);
        while (high - low > 1e-13)
        {
            var middle = (low + high) / 2;
            if (Decibels.Sinc(middle) > amplitude)
                low = middle;
            else
                high = middle;
        }

        return (low + high) / 2 * Wavelength.Micrometres(frequencyHz, speedCmPerS) / Wavelength.Positive(factor);
    }
}
