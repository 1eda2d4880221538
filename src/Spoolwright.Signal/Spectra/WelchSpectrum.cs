using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Spoolwright.Signal.Spectra;

/// <summary>
/// Averaged power spectra of a real signal fed block by block: Hann segments that overlap by half, each with its straight line taken out.
/// One-sided density, in (unit of the signal)²/Hz. Memory is flat with length.
/// </summary>
public sealed class WelchSpectrum
{
    private readonly Fft _fft;
    private readonly double[] _window;
    private readonly double _windowPower;
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
        _windowPower = _window.Sum(w => w * w);
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
            Keep(samples[..take]);
            samples = samples[take..];
            if (_filled == _segment.Length)
            {
                Accumulate(_filled);
                Shift();
            }
        }
    }

    /// <summary>
    /// Takes the next samples of two spectra that are fed in step, so that one transform serves both: the first signal as its real part,
    /// the second as its imaginary part.
    /// </summary>
    /// <exception cref="ArgumentException">The two are not alike, or were not fed in step.</exception>
    public static void AddPair(WelchSpectrum first, ReadOnlySpan<double> ofFirst, WelchSpectrum second, ReadOnlySpan<double> ofSecond)
    {
        if (first._segment.Length != second._segment.Length || first._filled != second._filled || ofFirst.Length != ofSecond.Length)
        {
            throw new ArgumentException("Two spectra of one length, fed in step, share a transform; these are not alike.", nameof(second));
        }

        while (ofFirst.Length > 0)
        {
            var take = Math.Min(ofFirst.Length, first._segment.Length - first._filled);
            first.Keep(ofFirst[..take]);
            second.Keep(ofSecond[..take]);
            ofFirst = ofFirst[take..];
            ofSecond = ofSecond[take..];
            if (first._filled == first._segment.Length)
            {
                AccumulatePair(first, second);
                first.Shift();
                second.Shift();
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

    private void Keep(ReadOnlySpan<double> samples)
    {
        samples.CopyTo(_segment.AsSpan(_filled));
        _filled += samples.Length;
    }

    private void Shift()
    {
        _segment.AsSpan(_filled / 2).CopyTo(_segment);
        _filled /= 2;
    }

    private void Accumulate(int length)
    {
        var power = Prepare(length, _re);
        _im.AsSpan().Clear();
        _fft.Forward(_re, _im);
        var scale = 2 / (power * SampleRateHz);
        for (var k = 0; k < _sum.Length; k++)
        {
            _sum[k] += scale * ((_re[k] * _re[k]) + (_im[k] * _im[k]));
        }

        Segments++;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void AccumulatePair(WelchSpectrum first, WelchSpectrum second)
    {
        var n = first._segment.Length;
        double[] re = first._re, im = first._im;
        var power = first.Prepare(n, re);
        second.Prepare(n, im);
        first._fft.Forward(re, im);
        double ofFirst = 0.5 / (power * first.SampleRateHz), ofSecond = 0.5 / (power * second.SampleRateHz);
        // A real signal's transform at −k is the conjugate of that at k: sums and differences part the two.
        Part(first._sum, second._sum, 0, re[0], re[0], im[0], im[0], ofFirst, ofSecond);
        var width = Vector<double>.Count;
        var k = 1;
        for (; k + width <= n / 2; k += width)
        {
            var from = n - k - width + 1;
            Vector<double> reK = new(re, k),
                imK = new(im, k),
                reM = Reversed(new Vector<double>(re, from)),
                imM = Reversed(new Vector<double>(im, from));
            Vector<double> a = reK + reM,
                b = imK - imM,
                c = imK + imM,
                d = reM - reK;
            (new Vector<double>(first._sum, k) + (ofFirst * ((a * a) + (b * b)))).CopyTo(first._sum, k);
            (new Vector<double>(second._sum, k) + (ofSecond * ((c * c) + (d * d)))).CopyTo(second._sum, k);
        }

        for (; k < first._sum.Length; k++)
        {
            Part(first._sum, second._sum, k, re[k], re[n - k], im[k], im[n - k], ofFirst, ofSecond);
        }

        first.Segments++;
        second.Segments++;
    }

    private static void Part(
        double[] first,
        double[] second,
        int k,
        double reK,
        double reM,
        double imK,
        double imM,
        double ofFirst,
        double ofSecond
    )
    {
        double a = reK + reM, b = imK - imM, c = imK + imM, d = reM - reK;
        first[k] += ofFirst * ((a * a) + (b * b));
        second[k] += ofSecond * ((c * c) + (d * d));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<double> Reversed(Vector<double> v) => Vector<double>.Count switch
    {
        2 => Vector128.Shuffle(v.AsVector128(), Vector128.Create(1L, 0)).AsVector(),
        4 => Vector256.Shuffle(v.AsVector256(), Vector256.Create(3L, 2, 1, 0)).AsVector(),
        _ => Vector512.Shuffle(v.AsVector512(), Vector512.Create(7L, 6, 5, 4, 3, 2, 1, 0)).AsVector(),
    };

    // Straight line out, by its least-squares fit, so that drift does not leak into the wow band; then the window, and its power.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private double Prepare(int length, double[] into)
    {
        var width = Vector<double>.Count;
        var whole = length == _segment.Length;
        var vectors = whole && length >= width ? length : 0;
        var centre = (length - 1) / 2.0;
        var ramp = Vector<double>.Indices - new Vector<double>(centre);
        Vector<double> sum = default, moment = default, t = ramp, step = new(width);
        for (var i = 0; i < vectors; i += width, t += step)
        {
            var x = new Vector<double>(_segment, i);
            sum += x;
            moment += x * t;
        }

        double sx = Vector.Sum(sum), sxt = Vector.Sum(moment);
        for (var i = vectors; i < length; i++)
        {
            sx += _segment[i];
            sxt += _segment[i] * (i - centre);
        }

        var mean = sx / length;
        var slope = sxt * 12 / ((double)length * (((double)length * length) - 1));
        t = ramp;
        for (var i = 0; i < vectors; i += width, t += step)
        {
            ((new Vector<double>(_segment, i) - new Vector<double>(mean) - (slope * t)) * new Vector<double>(_window, i)).CopyTo(into, i);
        }

        if (whole)
        {
            return _windowPower;
        }

        double power = 0;
        for (var i = 0; i < length; i++)
        {
            var w = 0.5 - (0.5 * Math.Cos(2 * Math.PI * i / length));
            into[i] = (_segment[i] - mean - (slope * (i - centre))) * w;
            power += w * w;
        }

        into.AsSpan(length).Clear();
        return power;
    }
}
