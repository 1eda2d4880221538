using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Flutter;

/// <summary>One line of a flutter spectrum.</summary>
/// <param name="FrequencyHz">Rate of the modulation, Hz.</param>
/// <param name="FrequencyUncertaintyHz">k = 2, Hz.</param>
/// <param name="Peak">Peak deviation, in the unit of the spectrum's signal.</param>
/// <param name="PeakUncertainty">k = 2, from the density around the line.</param>
/// <param name="PeakMethod">k = 2, from the window and from lines beside it.</param>
public readonly record struct FlutterLine(
    double FrequencyHz,
    double FrequencyUncertaintyHz,
    double Peak,
    double PeakUncertainty,
    double PeakMethod
);

/// <summary>Finds lines that stand out of a density.</summary>
internal static class FlutterLines
{
    // Of a line between two bins the Hann window leaves 0.04 % of the power outside five bins, 0.02 % of the peak [computed]; and as much
    // again for bins that beat.
    private const double WindowShare = 0.0005;

    /// <summary>Lines between two frequencies, largest first, at most <paramref name="most"/>.</summary>
    public static IReadOnlyList<FlutterLine> Find(
        double[] density,
        WelchSpectrum spectrum,
        double fromHz,
        double toHz,
        double seconds,
        int most
    )
    {
        var bin = spectrum.BinHz;
        int from = Math.Max(2, (int)Math.Ceiling(fromHz / bin)), to = Math.Min(density.Length - 4, (int)(toHz / bin) + 2);
        var segments = Math.Max(1, spectrum.Segments);
        double threshold = Threshold(segments, to - from + 1), mean = MeanOverMedian(segments);
        var lines = new List<FlutterLine>();
        Span<double> around = stackalloc double[64];
        for (var k = from; k <= to; k++)
        {
            if (density[k] < density[k - 1] || density[k] < density[k + 1] || density[k] <= density[k - 2] || density[k] <= density[k + 2])
            {
                continue;
            }

            var median = Median(density, k, around);
            if (density[k] <= Math.Max(median, HigherSide(density, k, around)) * threshold)
            {
                continue;
            }

            double power = 0, floor = mean * median;
            for (var i = k - 2; i <= k + 2; i++)
            {
                power += (density[i] - floor) * bin;
            }

            if (power <= 0)
            {
                continue;
            }

            // A line between bin k and its larger neighbour: with amplitudes in the ratio r its distance from k is (2r − 1)/(r + 1), exact
            // for the Hann window. A sine of peak A in noise of one-sided density N, seen for T: var f = 6N/(π²A²T³), one window's worth
            // more.
            var side = density[k + 1] > density[k - 1] ? 1 : -1;
            var r = Math.Sqrt(Math.Max(0, density[k + side] - floor) / (density[k] - floor));
            var offset = Math.Clamp(((2 * r) - 1) / (r + 1), 0, 0.5);
            var peak = Math.Sqrt(2 * power);
            var spread = PeakSpread(floor * bin, peak, segments);
            var frequencyNoise = Math.Sqrt(6 * floor * 1.5 / (Math.PI * Math.PI * peak * peak * seconds)) / Math.Min(seconds, 1 / bin);
            var skirts = Skirts(density, k, bin) / peak;
            lines.Add(
                new FlutterLine(
                    (k + (side * offset)) * bin,
                    (2 * frequencyNoise) + (0.01 * bin) + (skirts * bin),
                    peak,
                    2 * spread,
                    peak * (WindowShare + skirts)
                )
            );
        }

        lines.Sort((a, b) => b.Peak.CompareTo(a.Peak));
        return lines.Count > most ? lines.GetRange(0, most) : lines;
    }

    // Other lines reach into this one's bins by the skirts of the Hann window, 2/(π·d³) of their peak at d bins [computed].
    private static double Skirts(double[] density, int k, double bin)
    {
        double sum = 0;
        for (var i = Math.Max(1, k - 40); i < Math.Min(density.Length, k + 41); i++)
        {
            var distance = Math.Abs(i - k);
            if (distance > 3)
            {
                sum += 2 * density[i] * bin * Math.Pow(2 / (Math.PI * Math.Pow(distance - 1, 3)), 2);
            }
        }

        return Math.Sqrt(sum);
    }

    // At the edge of a hump of noise one side lies far below the other: the higher one is what a line must stand out of.
    private static double HigherSide(double[] density, int k, Span<double> around)
    {
        var side = around.Length / 2;
        double higher = 0;
        foreach (var sign in (ReadOnlySpan<int>)[-1, 1])
        {
            var n = 0;
            for (var d = 4; d < 4 + side; d++)
            {
                var at = k + (sign * d);
                if (at >= 1 && at < density.Length)
                {
                    around[n++] = density[at];
                }
            }

            if (n >= side / 2)
            {
                var used = around[..n];
                used.Sort();
                higher = Math.Max(higher, used[n / 2]);
            }
        }

        return higher;
    }

    // Median of the bins around, the peak's own skirts left out.
    private static double Median(double[] density, int k, Span<double> around)
    {
        var n = 0;
        for (var d = 4; d < 4 + (around.Length / 2); d++)
        {
            if (k - d >= 1)
            {
                around[n++] = density[k - d];
            }

            if (k + d < density.Length)
            {
                around[n++] = density[k + d];
            }
        }

        var used = around[..n];
        used.Sort();
        return Math.Max(n == 0 ? 0 : used[n / 2], 1e-300);
    }

    // Mean over median of a chi-square law with two degrees for each independent segment, by the cube-root approximation [computed].
    private static double MeanOverMedian(int segments) => Math.Pow(1 - (1.056 / (9 * segments)), -3);

    // Standard deviation of a peak A over noise of power n per bin, from the sum of five bins [computed]. The line beats with the noise:
    // segments that overlap by half weigh time by Hann's w², so var A = n·(38S − 3)/(18S²). The noise of the five bins itself (neighbours
    // correlate by 2/3 and 1/6) and the scatter of the median around them: var A²/2 = 10.8·n²/S.
    private static double PeakSpread(double noise, double peak, int segments)
    {
        double s = segments, beat = noise * ((38 * s) - 3) / (18 * s * s), own = noise / peak;
        return Math.Sqrt(beat + (10.8 * own * own / s));
    }

    // What a bin must be over the median around: the upper quantile of a chi-square law by the cube-root approximation, for a chance of one
    // false line in ten thousand spectra, and a margin for floors that are not flat.
    private static double Threshold(int segments, int bins)
    {
        var degrees = 2.0 * Math.Max(1, segments * 0.75);
        var z = 4.2 + (0.3 * Math.Log10(Math.Max(10, bins)));
        var t = 2 / (9 * degrees);
        return 1.43 * Math.Pow(1 - t + (z * Math.Sqrt(t)), 3);
    }
}
