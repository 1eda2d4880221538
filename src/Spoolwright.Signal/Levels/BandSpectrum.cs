using Spoolwright.Signal.Spectra;

namespace Spoolwright.Signal.Levels;

/// <summary>A line's power with the noise beside it taken off.</summary>
/// <param name="Power">Power, a full-scale sine being 1; may be below 0 where there is nothing.</param>
/// <param name="Sigma">Its standard deviation.</param>
public readonly record struct LinePower(double Power, double Sigma)
{
    /// <summary>Whether it stands out of the noise by more than chance.</summary>
    public bool IsSeen => Power > 3 * Sigma;

    /// <summary>The most that may be there, at k = 2.</summary>
    public double Most => Math.Max(0, Power) + (2 * Sigma);
}

/// <summary>Two-sided averaged spectrum of a band at 0 Hz: Hann segments, usually of about two seconds, that overlap by half.</summary>
public sealed class BandSpectrum
{
    private readonly double[] _density; // from -rate/2 upwards
    private readonly double _pass;
    private readonly double _counted;

    private BandSpectrum(double[] density, double binHz, double seconds, double counted, double pass)
    {
        _counted = counted;
        _density = density;
        BinHz = binHz;
        Seconds = seconds;
        _pass = pass;
    }

    /// <summary>Distance of the bins, Hz.</summary>
    public double BinHz { get; }

    /// <summary>Length averaged over, s.</summary>
    public double Seconds { get; }

    /// <summary>Averages a record.</summary>
    internal static BandSpectrum Of(
        ReadOnlySpan<double> re,
        ReadOnlySpan<double> im,
        double rateHz,
        double passHz,
        double segmentSeconds = 2
    )
    {
        var segment = 1 << Math.Clamp((int)Math.Round(Math.Log2(Math.Min(segmentSeconds, re.Length / rateHz / 2.5) * rateHz)), 3, 20);
        var fft = new Fft(segment);
        var window = HannWindow.Periodic(segment);
        double[] a = new double[segment], b = new double[segment], sum = new double[segment];
        var count = 0;
        for (var start = 0; start + segment <= re.Length || count == 0; start += segment / 2, count++)
        {
            for (var i = 0; i < segment; i++)
            {
                var inside = start + i < re.Length;
                a[i] = inside ? re[start + i] * window[i] : 0;
                b[i] = inside ? im[start + i] * window[i] : 0;
            }

            fft.Forward(a, b);
            for (var k = 0; k < segment; k++)
            {
                sum[(k + (segment / 2)) % segment] += (a[k] * a[k]) + (b[k] * b[k]);
            }
        }

        var scale = 1 / (count * rateHz * segment * 0.375);
        return new BandSpectrum(
            [.. sum.Select(s => s * scale)],
            rateHz / segment,
            re.Length / rateHz,
            Math.Min(re.Length / rateHz, SpectrumPower.CountedSeconds(count, segment / rateHz)),
            passHz
        );
    }

    /// <summary>Power within so many Hz of a place, the noise beside it taken off.</summary>
    /// <param name="offsetHz">Place, Hz from the centre.</param>
    /// <param name="halfWidthHz">Half width in which the line's own power lies, Hz; the window's width is added.</param>
    public LinePower Line(double offsetHz, double halfWidthHz)
    {
        var (sum, inside, noise, count) = Beside(offsetHz, halfWidthHz);
        if (noise is null)
        {
            return new LinePower(Math.Max(0, sum) * BinHz, Math.Max(0, sum) * BinHz);
        }

        double band = inside * BinHz, bands = count * BinHz;
        var power = (sum * BinHz) - (noise.Value * band);
        var variance =
            1
            / _counted
            * (
                (noise.Value * noise.Value * band)
                + (noise.Value * noise.Value * band * band / bands)
                + (2 * Math.Max(0, power) * noise.Value)
            );
        return new LinePower(power, Math.Sqrt(variance));
    }

    /// <summary>Density of the noise beside a place, per Hz; null where the band is too narrow to say.</summary>
    /// <param name="offsetHz">Place, Hz from the centre.</param>
    /// <param name="halfWidthHz">Half width in which the line's own power lies, Hz; the window's width is added.</param>
    public double? NoiseBeside(double offsetHz, double halfWidthHz) => Beside(offsetHz, halfWidthHz).Noise;

    // What lies within and how many bins it is, and what lies beside it.
    private (double Sum, int Inside, double? Noise, int Count) Beside(double offsetHz, double halfWidthHz)
    {
        var half = halfWidthHz + (1.5 * BinHz);
        var gap = half + (2 * BinHz);
        double sum = 0;
        var inside = 0;
        var beside = new List<double>();
        for (var k = 0; k < _density.Length; k++)
        {
            var f = Frequency(k);
            var distance = Math.Abs(f - offsetHz);
            if (Math.Abs(f) > _pass)
            {
                continue;
            }

            if (distance <= half)
            {
                sum += _density[k];
                inside++;
            }
            else if (distance > gap)
            {
                beside.Add(_density[k]);
            }
        }

        if (beside.Count < 6 || inside == 0)
        {
            return (sum, inside, null, beside.Count);
        }

        // Lines of hum beside it are no noise: what stands far above the median is left out.
        beside.Sort();
        var median = beside[beside.Count / 2];
        return (sum, inside, beside.Where(d => d <= 6 * median).DefaultIfEmpty(median).Average(), beside.Count);
    }

    /// <summary>Half width, Hz, about a place within which nearly all of a strong line's power lies: its flutter's width.</summary>
    public double HalfWidth(double offsetHz, double share = 0.997)
    {
        var all = Line(offsetHz, 0.5 * _pass).Power;
        var half = 0.0;
        while (half < 0.5 * _pass && Line(offsetHz, half).Power < share * all)
        {
            half += BinHz;
        }

        return half;
    }

    /// <summary>Middle of the power within so many Hz of the centre, Hz from the centre.</summary>
    public double Middle(double withinHz)
    {
        double sum = 0, moment = 0;
        for (var k = 0; k < _density.Length; k++)
        {
            var f = Frequency(k);
            if (Math.Abs(f) <= withinHz)
            {
                sum += _density[k];
                moment += _density[k] * f;
            }
        }

        return sum > 0 ? moment / sum : 0;
    }

    /// <summary>Where within so many Hz of a place a line of that half width is strongest, Hz from the centre.</summary>
    public double Strongest(double offsetHz, double withinHz, double halfWidthHz)
    {
        var best = offsetHz;
        var most = double.NegativeInfinity;
        for (var f = offsetHz - withinHz; f <= offsetHz + withinHz; f += BinHz)
        {
            var power = Line(f, halfWidthHz).Power;
            if (power > most)
            {
                (most, best) = (power, f);
            }
        }

        return best;
    }

    private double Frequency(int k) => (k - (_density.Length / 2)) * BinHz;
}
