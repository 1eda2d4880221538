namespace Spoolwright.Bench.Tape;

/// <summary>
/// Level lost in playback because the tape does not touch the head. [SPACING-1951]: the amplitude falls as exp(−2πs/λ), 54.6 dB for each
/// wavelength of spacing. Holds for a tone and a spacing small against the head's length.
/// </summary>
public static class SpacingLoss
{
    /// <summary>20·2π/ln 10: dB lost for a spacing of one wavelength.</summary>
    public const double DbPerWavelength = 54.575050913;

    /// <summary>Level change in dB, 0 or below.</summary>
    /// <param name="spacingMicrometres">Distance from the head to the coating, µm, 0 or more.</param>
    /// <param name="frequencyHz">Frequency, Hz.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s.</param>
    public static double Db(double spacingMicrometres, double frequencyHz, double speedCmPerS) =>
        -DbPerWavelength * Wavelength.NotNegative(spacingMicrometres) / Wavelength.Micrometres(frequencyHz, speedCmPerS);

    /// <summary>Spacing in µm that makes this level change: the inverse of <see cref="Db"/>.</summary>
    /// <param name="db">Level change, dB, 0 or below.</param>
    /// <param name="frequencyHz">Frequency, Hz.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s.</param>
    public static double SpacingMicrometres(double db, double frequencyHz, double speedCmPerS) =>
        Wavelength.NotNegative(-db, nameof(db)) * Wavelength.Micrometres(frequencyHz, speedCmPerS) / DbPerWavelength;
}
