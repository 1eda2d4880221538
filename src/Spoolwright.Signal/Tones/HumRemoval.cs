namespace Spoolwright.Signal.Tones;

/// <summary>
/// Takes steady lines out of a tone at 0 Hz: each multiple of 50 and 60 Hz in the band, no nearer to the tone than two periods of the whole
/// stretch; beside a low tone also what the filter leaves of offset and mirror. Flutter's sidebands stand across the tone, so lines are
/// fitted along it alone, to what they do to its level: flutter is not taken for hum.
/// </summary>
internal sealed class HumRemoval
{
    private const double HighestLineHz = 400;
    private const double HighestMirrorHz = 200;
    private const double DirectionSeconds = 0.05;
    private const int Rounds = 3;
    private readonly double _rate;
    private readonly double[] _offsets;

    /// <param name="carrierHz">Frequency that was brought to 0 Hz.</param>
    /// <param name="outputRateHz">Rate of the outputs, Hz.</param>
    /// <param name="withinHz">Half width of the band, Hz.</param>
    public HumRemoval(double carrierHz, double outputRateHz, double withinHz)
    {
        _rate = outputRateHz;
        _offsets = new[] { 50.0, 60.0 }
            .SelectMany(mains => Enumerable.Range(1, (int)(HighestLineHz / mains)).Select(k => k * mains))
            .Distinct()
            .Select(line => line - carrierHz)
            .Where(d => Math.Abs(d) < withinHz)
            .Concat(carrierHz < HighestMirrorHz ? [-carrierHz, -2 * carrierHz] : [])
            .Select(d => Math.IEEERemainder(d, outputRateHz))
            .Distinct()
            .ToArray();
    }

    /// <summary>The record's first n outputs without the lines.</summary>
    public BasebandRecord Clean(BasebandRecord record, int n)
    {
        var clean = record.Take(n);
        var seconds = n / _rate;
        var lines = Distinct(_offsets.Where(d => Math.Abs(d) >= 2 / seconds).OrderBy(Math.Abs), seconds);
        if (lines.Count == 0)
        {
            return clean;
        }

        // Short enough to follow the tone's flutter; what is left of it would look like level. Hum in it matters by its square alone.
        var reach = Math.Clamp((int)Math.Round(_rate * DirectionSeconds / 2), 1, Math.Max(1, n / 4));
        var fit = new LineFit(n, [.. lines.Select(d => 2 * Math.PI * d / _rate)]);
        for (var round = 0; round < Rounds; round++)
        {
            var (cos, sin) = Direction(clean, reach);
            fit.Subtract(record, clean, cos, sin);
        }

        return clean;
    }

    // Two lines equally far off on either side do the same to the level: one stands for both.
    private static List<double> Distinct(IEnumerable<double> offsets, double seconds)
    {
        var lines = new List<double>();
        foreach (var d in offsets)
        {
            if (lines.TrueForAll(other => Math.Abs(Math.Abs(other) - Math.Abs(d)) > 1.5 / seconds))
            {
                lines.Add(d);
            }
        }

        return lines;
    }

    // The tone's slow phase, from a moving mean.
    private static (double[] Cos, double[] Sin) Direction(BasebandRecord z, int reach)
    {
        int n = z.Count;
        Span<double> re = z.Re, im = z.Im;
        var sumRe = new double[n + 1];
        var sumIm = new double[n + 1];
        for (var i = 0; i < n; i++)
        {
            sumRe[i + 1] = sumRe[i] + re[i];
            sumIm[i + 1] = sumIm[i] + im[i];
        }

        var cos = new double[n];
        var sin = new double[n];
        for (var i = 0; i < n; i++)
        {
            var side = Math.Min(reach, Math.Min(i, n - 1 - i)); // even on both sides, or a tone beside the carrier would seem to bend
            int from = i - side, to = i + side + 1;
            double a = sumRe[to] - sumRe[from], b = sumIm[to] - sumIm[from];
            var length = Math.Max(Math.Sqrt((a * a) + (b * b)), 1e-300);
            (cos[i], sin[i]) = (a / length, b / length);
        }

        return (cos, sin);
    }
}
