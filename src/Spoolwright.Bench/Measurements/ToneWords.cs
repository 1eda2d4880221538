namespace Spoolwright.Bench.Measurements;

/// <summary>Nominal frequencies of tones as they are used in the trade.</summary>
internal static class ToneWords
{
    private const double Within = 0.03;

    // The usual tones of test tapes and programs (practice).
    private static readonly double[] Usual =
    [
        31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 333, 400, 500, 630, 700, 800, 1000, 1250, 1600, 2000, 2500, 3000, 3150, 4000,
        5000, 6300, 8000, 10000, 12500, 14000, 15000, 16000, 18000, 20000,
    ];

    /// <summary>The usual tone nearest to a frequency seen, within 3 %; else the frequency to the nearest hertz.</summary>
    public static double Nominal(double hz)
    {
        var nearest = Usual.MinBy(u => Math.Abs(Math.Log(hz / u)));
        return Math.Abs((hz / nearest) - 1) <= Within ? nearest : Math.Round(hz);
    }
}
