namespace Spoolwright.Signal.Spectra;

/// <summary>
/// Averaged power spectra of a real signal fed block by block: Hann segments that overlap by half, each with its straight line taken out.
/// One-sided density, in (unit of the signal)²/Hz. Memory is flat with length.
/// </summary>
public sealed class WelchSpectrum
{
    private readonly Fft _fft;
    private readonly double[] _window;
    private readonly double[] _segment;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly double[] _sum;
    private int _filled;

    /// <param name="segmentLength">Samples a segment, a power of two.</param>
    /// <param name="sampleRateHz">Rate of the signal, Hz.</param>
    public WelchSpectrum(int segmentLength, double sampleRateHz)
    {
        _fft = new Fft(segmentLength);
        SampleRateHz = sampleRateHz;
        _window = HannWindow.Periodic(segmentLength);
        _segment = new double[segmentLength];
        _re = new double[segmentLength];
        _im = new double[segmentLength];
        _sum = new double[(segmentLength / 2) + 1];
    }

    /// <summary>Rate of the signal, Hz.</summary>
    public double SampleRateHz { get; }

    /// <summary>Segments averaged so far.</summary>
    public int Segments { get; private set; }

    /// <summary>Distance of the bins, Hz.</summary>
    public double BinHz => SampleRateHz / _segment.Length;

    /// <summary>Number of bins, from 0 Hz to half the rate.</summary>
    public int Bins => _sum.Length;

    /// <summary>Takes the next samples.</summary>
    public void Add(ReadOnlySpan<double> samples)
    {
        while (samples.Length > 0)
        {
            var take = Math.Min(samples.Length, _segment.Length - _filled);
            samples[..take].CopyTo(_segment.AsSpan(_filled));
            samples = samples[take..];
            _filled += take;
            if (_filled == _segment.Length)
            {
                Accumulate(_filled);
                _segment.AsSpan(_filled / 2).CopyTo(_segment);
                _filled /= 2;
            }
        }
    }

    /// <summary>Starts a new run of samples that does not continue the last one; sums so far are kept.</summary>
    public void Break() => _filled = 0;

    /// <summary>
    /// Density per bin. Where no segment was ever whole, what there is is taken as one, filled with zeros; empty when nothing was given.
    /// </summary>
    public double[] Density()
    {
        if (Segments == 0 && _filled >= 16)
        {
            Accumulate(_filled);
        }

        var density = new double[_sum.Length];
        for (var k = 0; k < density.Length && Segments > 0; k++)
        {
            density[k] = _sum[k] / Segments;
        }

        return density;
    }

    private void Accumulate(int length)
    {
        // Straight line out, by its least-squares fit, so that drift does not leak into the wow band.
        double sx = 0, sxt = 0;
        var centre = (length - 1) / 2.0;
        for (var i = 0; i < length; i++)
        {
            sx += _segment[i];
            sxt += _segment[i] * (i - centre);
        }

        var mean = sx / length;
        var slope = sxt * 12 / ((double)length * (((double)length * length) - 1));
        var whole = length == _segment.Length;
        double power = 0;
        for (var i = 0; i < length; i++)
        {
            var w = whole ? _window[i] : 0.5 - (0.5 * Math.Cos(2 * Math.PI * i / length));
            _re[i] = (_segment[i] - mean - (slope * (i - centre))) * w;
            power += w * w;
        }

        _re.AsSpan(length).Clear();
        _im.AsSpan().Clear();
        _fft.Forward(_re, _im);
        var scale = 2 / (power * SampleRateHz);
        for (var k = 0; k < _sum.Length; k++)
        {
            _sum[k] += scale * ((_re[k] * _re[k]) + (_im[k] * _im[k]));
        }

        Segments++;
    }
}
