namespace Spoolwright.Bench.Standards;

/// <summary>What distortion figures are held against; each choice stands in the method line of its readings.</summary>
public static class DistortionPractice
{
    // [IEC60094-5:1988] output level where the third harmonic is 3 % [memory; 3 % quoted by tape sheets]
    /// <summary>Third harmonic at the maximum output level, as a ratio to the total.</summary>
    public const double MaximumThirdHarmonic = 0.03;

    // "never extrapolate more": this project's own rule.
    /// <summary>How far beyond the levels played a fitted law is followed, dB.</summary>
    public const double MostExtrapolatedDb = 1;

    // [IEC60094-5:1988] saturation output level is read at 10 kHz [memory]; 14 and 16 kHz are quoted too.
    /// <summary>From here on a ramp is read for saturation, Hz.</summary>
    public const double SaturationFromHz = 6000;

    /// <summary>Tones of test tapes and recorders' data sheets, Hz; a tone within 2 % of one is named by it (common practice, no
    /// source).</summary>
    public static IReadOnlyList<double> Nominals { get; } =
    [
        20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 333, 400, 500, 630, 700, 800, 1000, 1250, 1600, 2000, 2500, 3000, 3150,
        4000, 5000, 6300, 8000, 10000, 12500, 14000, 16000, 18000, 20000,
    ];

    /// <summary>The frequency a tone is named by: the one stated where it lies within 5 %, the nearest usual one within 2 %, else its own
    /// to four digits.</summary>
    public static double NominalOf(double frequencyHz, double? stated)
    {
        if (stated is { } own && Math.Abs((frequencyHz / own) - 1) < 0.05)
        {
            return own;
        }

        var nearest = Nominals.MinBy(n => Math.Abs(Math.Log(n / frequencyHz)));
        if (Math.Abs((frequencyHz / nearest) - 1) < 0.02)
        {
            return nearest;
        }

        var step = Math.Pow(10, Math.Floor(Math.Log10(frequencyHz)) - 3);
        return Math.Round(Math.Round(frequencyHz / step) * step, 3);
    }
}
