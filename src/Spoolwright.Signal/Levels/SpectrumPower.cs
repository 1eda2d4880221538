namespace Spoolwright.Signal.Levels;

/// <summary>Powers read from a one-sided density, per Hz.</summary>
public static class SpectrumPower
{
    /// <summary>
    /// Standard deviation of the mean quasi-peak indication of noise against that of its root mean square [computed: NoiseCoverageTests].
    /// </summary>
    public const double QuasiPeakLoss = 1.35;

    private const double Octave = 1.258925411794167; // 10^(1/10), a third of an octave after base ten

    /// <summary>
    /// Length that counts, s, of so many Hann segments that overlap by half: the outermost halves count little. From the mean of the
    /// squared window, 3/8, of its fourth power, 35/128, and of its product with the next one's, 3/128.
    /// </summary>
    public static double CountedSeconds(int segments, double segmentSeconds) =>
        segments * segments * (9.0 / 64) * segmentSeconds / ((segments * (35.0 / 128)) + ((segments - 1) * (3.0 / 128)));

    /// <summary>Mean square between two frequencies, Hz; a bin cut by an edge counts by its share.</summary>
    public static double InBand(double[] density, double binHz, double fromHz, double toHz)
    {
        ArgumentNullException.ThrowIfNull(density);
        double sum = 0;
        int first = Math.Max(0, (int)((fromHz / binHz) - 0.5)), last = Math.Min(density.Length - 1, (int)((toHz / binHz) + 1.5));
        for (var k = first; k <= last; k++)
        {
            // Bins at 0 Hz and half the rate are half as wide.
            double low = Math.Max(fromHz, (k - 0.5) * binHz), high = Math.Min(toHz, (k + 0.5) * binHz);
            high = Math.Min(high, (density.Length - 1) * binHz);
            sum += Math.Max(0, high - low) * density[k];
        }

        return sum;
    }

    /// <summary>
    /// Standard deviation of the power of normal noise of that density over so many seconds, as a share of it: √(∫S²W⁴df/T)/∫SW²df. The
    /// density is smoothed over tenths first, or its own scatter would count.
    /// </summary>
    public static double RelativeSigma(
        double[] density,
        double binHz,
        double seconds,
        double fromHz,
        double toHz,
        Func<double, double> weight,
        out double power
    )
    {
        ArgumentNullException.ThrowIfNull(density);
        ArgumentNullException.ThrowIfNull(weight);
        double squares = 0;
        power = 0;
        for (var low = fromHz; low < toHz;)
        {
            var high = Math.Min(toHz, Math.Max(low * 1.1, low + (8 * binHz)));
            var inBand = InBand(density, binHz, low, high);
            var w = weight(Math.Sqrt(low * high));
            power += inBand * w;
            squares += inBand * inBand * w * w / (high - low);
            low = high;
        }

        return power > 0 ? Math.Sqrt(squares / seconds) / power : 0;
    }

    /// <summary>Third-octave levels from 25 Hz to 20 kHz, dBFS of a sine of that power.</summary>
    public static (double[] Hz, double[] Db) ThirdOctaves(double[] density, double binHz)
    {
        ArgumentNullException.ThrowIfNull(density);
        var hz = new List<double>();
        var db = new List<double>();
        var edge = Math.Sqrt(Octave);
        for (var n = -16; n <= 13; n++)
        {
            var centre = 1000 * Math.Pow(Octave, n);
            if (centre * edge > (density.Length - 1) * binHz || centre * (edge - (1 / edge)) < 2 * binHz)
            {
                continue;
            }

            hz.Add(centre);
            db.Add(10 * Math.Log10(Math.Max(2 * InBand(density, binHz, centre / edge, centre * edge), 1e-20)));
        }

        return ([.. hz], [.. db]);
    }
}
