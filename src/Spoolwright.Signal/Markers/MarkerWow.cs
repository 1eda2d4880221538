namespace Spoolwright.Signal.Markers;

/// <summary>
/// What flutter and noise leave open of a marker's middle. A sweep's peak is that of its envelope, so it speaks of the sound's displacement
/// d(t) by the weight w²f(f − f₀) at each time (w its amplitude, f its frequency, f₀ the mean of it), over ∫w²(f − f₀)² [derived]: of slow
/// wow as it was some hundredths of a second before or after the sweep, of 10 Hz nearly twice over. How far the middle of a row then lies
/// off the true mean of d, against what goes from one sweep to the next in that row, is reckoned for the row at hand: between 0.7 and 0.9
/// of what sweeps each by itself would leave.
/// </summary>
internal static class MarkerWow
{
    private const double LowestHz = 0.5;
    private const double HighestHz = 100;
    private const int Rates = 120;
    private const int Points = 240;

    // Width of the band in which a sweep is held against the sound, as much noise as it lets through, Hz (SweepFilter).
    private const double BandHz = 4902;

    private static readonly double[] Hz =
    [
        .. Enumerable.Range(0, Rates).Select(i => LowestHz * Math.Pow(HighestHz / LowestHz, (i + 0.5) / Rates)),
    ];

    // Flutter of all rates, as strong in every octave or in every hertz: half of each. Displacement goes by the square of the period; the
    // grid is even in octaves.
    private static readonly double[] Power =
    [
        .. Hz.Select(f => ((1 / Math.Log(HighestHz / LowestHz)) + (f / (HighestHz - LowestHz))) / (f * f)),
    ];

    private static readonly (double Re, double Im)[][] Heard =
    [
        [.. Hz.Select(f => Response(f, false))],
        [.. Hz.Select(f => Response(f, true))],
    ];

    private static readonly System.Collections.Concurrent.ConcurrentDictionary<(int There, int Upward), double> Known = new();

    /// <summary>What flutter and noise leave open of a row's middle, the mean of what the marker's sound was displaced by, k = 2,
    /// s.</summary>
    /// <param name="row">The row as it was seen.</param>
    /// <param name="noiseSeconds">What noise makes of a single sweep's time, standard deviation, s.</param>
    public static double MiddleExpanded(SweepRow row, double noiseSeconds)
    {
        // Each sweep against its neighbours: n − 2 such differences hang together, and tell the scatter as (n − 2)/1.94 of their own would
        // [derived: correlations of −2/3 and 1/6]. Known from so few it is itself uncertain: Student's factor for 95 % instead of 2.
        var freedom = Math.Max(4, (row.Sweeps.Length - 2) / 1.94);
        double student = 1.96 + (2.7 / freedom),
            rough = row.Rough(),
            noise = Math.Min(noiseSeconds, rough);
        return student
            * row.MiddleShare
            * Math.Sqrt((Math.Pow(FlutterShare(row), 2) * ((rough * rough) - (noise * noise))) + (noise * noise));
    }

    /// <summary>Standard deviation of a single sweep's time in white noise, s.</summary>
    /// <param name="correlation">How much of the sound in the band the sweep is, 0 to 1.</param>
    public static double NoiseSeconds(double correlation)
    {
        var (_, variance) = Moments();
        var noise = Math.Max(0, (1 / Math.Max(correlation * correlation, 1e-6)) - 1);
        return Math.Sqrt(noise / (2 * BandHz * MarkerSweep.Seconds * variance)) / (2 * Math.PI);
    }

    /// <summary>Error of the middle against what is seen from sweep to sweep, under flutter; 1: as if each sweep were off by
    /// itself.</summary>
    public static double FlutterShare(SweepRow row)
    {
        int there = 0, upward = 0;
        foreach (var (slot, isUpward, _) in row.Sweeps)
        {
            there |= 1 << slot;
            upward |= isUpward ? 1 << slot : 0;
        }

        return Known.GetOrAdd((there, upward), _ => Share(row));
    }

    private static double Share(SweepRow row)
    {
        double errors = 0, seen = 0;
        for (var i = 0; i < Rates; i++)
        {
            double omega = 2 * Math.PI * Hz[i], end = omega * MarkerSweep.MarkerSeconds;
            foreach (var isSine in (ReadOnlySpan<bool>)[false, true])
            {
                var moved = SweepRow.Of([.. row.Sweeps.Select(s =>
                {
                    var (re, im) = Heard[s.IsUpward ? 1 : 0][i];
                    var (sin, cos) = Math.SinCos(omega * s.Slot * MarkerSweep.EverySeconds);
                    return (s.Slot, s.IsUpward, isSine ? (sin * re) + (cos * im) : (cos * re) - (sin * im));
                })])!;
                var truth = (isSine ? 1 - Math.Cos(end) : Math.Sin(end)) / end;
                errors += Power[i] * Math.Pow(moved.Middle - truth, 2);
                seen += Power[i] * Math.Pow(moved.Rough(), 2);
            }
        }

        return Math.Sqrt(errors / seen) / row.MiddleShare;
    }

    /// <summary>What a sweep that starts at 0 s says of a displacement exp(iωt).</summary>
    internal static (double Re, double Im) Response(double hz, bool upward)
    {
        var (mean, variance) = Moments();
        double re = 0, im = 0, weights = 0;
        for (var i = 0; i < Points; i++)
        {
            var t = (i + 0.5) / Points * MarkerSweep.Seconds;
            double w = MarkerSweep.Window(t), f = MarkerSweep.Frequency(t, upward);
            var (sin, cos) = Math.SinCos(2 * Math.PI * hz * t);
            re += w * w * f * (f - mean) * cos;
            im += w * w * f * (f - mean) * sin;
            weights += w * w;
        }

        return (re / weights / variance, im / weights / variance);
    }

    // Mean frequency of a sweep and its variance, Hz and Hz².
    private static (double Mean, double Variance) Moments()
    {
        double weights = 0, sum = 0, squares = 0;
        for (var i = 0; i < Points; i++)
        {
            var t = (i + 0.5) / Points * MarkerSweep.Seconds;
            double w = MarkerSweep.Window(t), f = MarkerSweep.Frequency(t, true);
            weights += w * w;
            sum += w * w * f;
            squares += w * w * f * f;
        }

        return (sum / weights, (squares / weights) - (sum / weights * (sum / weights)));
    }
}
