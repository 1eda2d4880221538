using System.Runtime.CompilerServices;

namespace Spoolwright.Signal.Spectra;

/// <summary>
/// Discrete Fourier transform of a real signal of a power-of-two length N, no scaling, by a complex one of half the length: even samples as
/// its real parts, odd ones as its imaginary parts, parted by their symmetry afterwards. One instance serves one thread and allocates
/// nothing per call.
/// </summary>
public sealed class RealFft
{
    private readonly Fft _half;
    private readonly double[] _even;
    private readonly double[] _odd;
    private readonly double[] _cos;
    private readonly double[] _sin;

    /// <param name="length">Transform length: a power of two from 4 to 2^24.</param>
    public RealFft(int length)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(length, 4);
        _half = new Fft(length / 2);
        _even = new double[length / 2];
        _odd = new double[length / 2];
        _cos = new double[length / 2];
        _sin = new double[length / 2];
        for (var k = 0; k < length / 2; k++)
        {
            (_sin[k], _cos[k]) = Math.SinCos(-2 * Math.PI * k / length);
        }
    }

    /// <summary>The transform's length N.</summary>
    public int Length => 2 * _half.Length;

    /// <summary>Transforms a signal times a window.</summary>
    /// <param name="signal">N samples.</param>
    /// <param name="window">N weights.</param>
    /// <param name="re">Real parts of bins 0 to N/2: N/2 + 1 of them at least.</param>
    /// <param name="im">Imaginary parts.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Forward(ReadOnlySpan<double> signal, ReadOnlySpan<double> window, Span<double> re, Span<double> im)
    {
        var half = _half.Length;
        if (signal.Length != Length || window.Length != Length || re.Length <= half || im.Length <= half)
        {
            throw new ArgumentException(
                $"A transform of {Length} needs as many samples and weights and {half + 1} bins, not {signal.Length}, {window.Length} and {re.Length}.",
                nameof(signal)
            );
        }

        double[] a = _even, b = _odd;
        for (var i = 0; i < a.Length; i++)
        {
            a[i] = signal[2 * i] * window[2 * i];
            b[i] = signal[(2 * i) + 1] * window[(2 * i) + 1];
        }

        _half.Forward(a, b);
        (re[0], im[0], re[half], im[half]) = (a[0] + b[0], 0, a[0] - b[0], 0);
        for (int k = 1, m = half - 1; k < half; k++, m--)
        {
            // Even part E = (Z[k] + Z*[M−k])/2, odd part O = (Z[k] − Z*[M−k])/2j; X = E + w·O.
            double er = 0.5 * (a[k] + a[m]), ei = 0.5 * (b[k] - b[m]), or = 0.5 * (b[k] + b[m]), oi = 0.5 * (a[m] - a[k]);
            re[k] = er + (_cos[k] * or) - (_sin[k] * oi);
            im[k] = ei + (_cos[k] * oi) + (_sin[k] * or);
        }
    }
}
