namespace Spoolwright.Signal.Tones;

/// <summary>
/// Takes steady lines of the mains out of a tone at 0 Hz: each multiple of 50 and 60 Hz in the band, no nearer to the tone than two periods of
/// the whole stretch. The tone itself, with its slow flutter, is set aside first, so that it is not taken for a line. Least squares, line after line.
/// </summary>
internal sealed class HumRemoval
{
    private const double HighestLineHz = 400;
    private const int Rounds = 4;
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
            .ToArray();
    }

    /// <summary>The record's first n outputs without the lines.</summary>
    public BasebandRecord Clean(BasebandRecord record, int n)
    {
        var clean = record.Take(n);
        var seconds = n / _rate;
        var lines = _offsets.Where(d => Math.Abs(d) >= 2 / seconds).OrderBy(Math.Abs).ToArray();
        if (lines.Length == 0)
        {
            return clean;
        }

        // Over one period of the nearest line that line cancels, and what is left moves with the tone.
        var reach = Math.Clamp((int)Math.Round(_rate / Math.Abs(lines[0]) / 2), 1, Math.Max(1, n / 4));
        for (var round = 0; round < Rounds; round++)
        {
            var rest = Rest(clean, reach);
            foreach (var line in lines)
            {
                Subtract(clean, rest, line);
            }
        }

        return clean;
    }

    // What is left when the tone is taken off: its phase from a moving mean, its amplitude from the whole.
    private static BasebandRecord Rest(BasebandRecord z, int reach)
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
        double along = 0;
        for (var i = 0; i < n; i++)
        {
            int from = Math.Max(0, i - reach), to = Math.Min(n, i + reach + 1);
            double a = sumRe[to] - sumRe[from], b = sumIm[to] - sumIm[from];
            var length = Math.Max(Math.Sqrt((a * a) + (b * b)), 1e-300);
            (cos[i], sin[i]) = (a / length, b / length);
            along += (re[i] * cos[i]) + (im[i] * sin[i]);
        }

        along /= n;
        for (var i = 0; i < n; i++)
        {
            cos[i] = re[i] - (along * cos[i]);
            sin[i] = im[i] - (along * sin[i]);
        }

        var rest = new BasebandRecord();
        rest.Add(cos, sin);
        return rest;
    }

    private void Subtract(BasebandRecord clean, BasebandRecord rest, double offsetHz)
    {
        var n = clean.Count;
        var step = 2 * Math.PI * offsetHz / _rate;
        double a = 0, b = 0;
        for (var i = 0; i < n; i++)
        {
            var (s, c) = Math.SinCos(step * i);
            a += (rest.Re[i] * c) + (rest.Im[i] * s);
            b += (rest.Im[i] * c) - (rest.Re[i] * s);
        }

        a /= n;
        b /= n;
        for (var i = 0; i < n; i++)
        {
            var (s, c) = Math.SinCos(step * i);
            double x = (a * c) - (b * s), y = (a * s) + (b * c);
            clean.Re[i] -= x;
            clean.Im[i] -= y;
            rest.Re[i] -= x;
            rest.Im[i] -= y;
        }
    }
}
