namespace Spoolwright.Practice.Physics;

/// <summary>
/// What bias does to a recording, the practice deck's own law. Bias is told in dB against the tape's working point. Two things work against
/// each other: too little bias leaves the coating half magnetized, at every wavelength; more bias moves the place of recording away and
/// rubs short wavelengths out again. The figures came from the indicative table of the reference notes (memory, ±1 to 2 dB): sensitivity at
/// 1 kHz −1.5, 0 and −1 dB at −4, 0 and +4 dB of bias.
/// </summary>
public static class BiasLaw
{
    /// <summary>Rubbing-out length at the working point with a record gap of 7 µm, µm: 4 dB past the peak at 10 kHz and 19.05 cm/s.
    /// [TAPE-SHEET-2006]</summary>
    public const double StandardErasureUm = 26.7;

    private const double HalfMagnetized = 0.0168;
    private const double Steepness = 6;

    /// <summary>Rubbing-out length with another record gap: a longer gap's field falls off less steeply.</summary>
    public static double ErasureUm(double tapeErasureUm, double gapUm) => tapeErasureUm * Math.Pow(Math.Max(gapUm, 0.5) / 7, 0.35);

    /// <summary>Amplitude recorded, against endless wavelength and well biased: 1.</summary>
    /// <param name="biasDb">Bias against the working point, dB.</param>
    /// <param name="erasureUm">Rubbing-out length at the working point, µm.</param>
    /// <param name="wavelengthUm">Recorded wavelength, µm.</param>
    public static double Sensitivity(double biasDb, double erasureUm, double wavelengthUm) =>
        Magnetized(biasDb) * Math.Exp(-erasureUm / wavelengthUm * Math.Pow(10, 1.5 * biasDb / 20));

    /// <summary>Greatest flux that the coating takes, against that at the working point.</summary>
    public static double Ceiling(double biasDb) => Math.Pow(10, 2 * (1 - Math.Exp(-Math.Max(biasDb, -14) / 4)) / 20);

    /// <summary>What bias adds to the hiss, dB.</summary>
    public static double HissDb(double biasDb) => Math.Clamp((0.02 * biasDb * biasDb) - (0.15 * biasDb), -0.5, 4);

    /// <summary>What bias adds to the noise that comes with the sound, dB.</summary>
    public static double ModulationDb(double biasDb) => 1.25 * (Math.Exp(-Math.Max(biasDb, -8) / 3) - 1);

    /// <summary>Bias at which a wavelength is recorded strongest, dB against the working point.</summary>
    public static double PeakDb(double erasureUm, double wavelengthUm)
    {
        // The curve has one top: golden section finds it.
        var (low, high) = (-20.0, 20.0);
        var share = (Math.Sqrt(5) - 1) / 2;
        while (high - low > 1e-7)
        {
            var (a, b) = (high - (share * (high - low)), low + (share * (high - low)));
            if (Sensitivity(a, erasureUm, wavelengthUm) > Sensitivity(b, erasureUm, wavelengthUm))
                high = b;
            else
                low = a;
        }

        return 0.5 * (low + high);
    }

    private static double Magnetized(double biasDb) =>
        (1 + HalfMagnetized) / (1 + (HalfMagnetized * Math.Pow(10, -Steepness * biasDb / 20)));
}
