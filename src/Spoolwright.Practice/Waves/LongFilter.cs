using System.Numerics;
using System.Runtime.CompilerServices;
using Spoolwright.Signal.Spectra;

namespace Spoolwright.Practice.Waves;

/// <summary>
/// Two channels through four long filters (each channel to each), of any complex response and without delay: it looks ahead. One transform
/// serves both channels.
/// </summary>
internal sealed class LongFilter
{
    private readonly Fft _fft;
    private readonly double[] _re;
    private readonly double[] _im;
    private readonly float[] _left;
    private readonly float[] _right;
    private readonly double[][] _re4;
    private readonly double[][] _im4;
    private readonly double[][] _kernels;
    private readonly double _rateHz;

    /// <param name="rateHz">Sample rate, Hz.</param>
    /// <param name="responses">Response at a frequency in Hz: left to left, right to left, left to right, right to right; the second and
    /// third may be null: none.</param>
    public LongFilter(double rateHz, params Func<double, Complex>?[] responses)
    {
        _rateHz = rateHz;
        Reach = rateHz > 64000 ? 4096 : 2048;
        Block = 2 * Reach;
        var length = 4 * Reach;
        _fft = new Fft(length);
        (_re, _im) = (new double[length], new double[length]);
        (_left, _right) = (new float[length], new float[length]);
        _kernels = [.. responses.Select(r => r is null ? [] : Kernel(r))];
        Complex[][] spectra = [.. _kernels.Select(Spectrum)];
        _re4 = [.. spectra.Select(s => s.Select(x => x.Real).ToArray())];
        _im4 = [.. spectra.Select(s => s.Select(x => x.Imaginary).ToArray())];
    }

    /// <summary>How many frames it looks ahead and back.</summary>
    public int Reach { get; }

    /// <summary>Frames of one call.</summary>
    public int Block { get; }

    /// <summary>Response that a path truly has, its kernel being of limited length.</summary>
    /// <param name="path">0: left to left, 1: right to left, 2: left to right, 3: right to right.</param>
    /// <param name="hertz">Frequency, Hz.</param>
    public Complex Response(int path, double hertz)
    {
        var kernel = _kernels[path];
        var step = Complex.FromPolarCoordinates(1, -2 * Math.PI * hertz / _rateHz);
        var turn = Complex.FromPolarCoordinates(1, 2 * Math.PI * hertz / _rateHz * (kernel.Length / 2));
        var sum = Complex.Zero;
        for (var i = 0; i < kernel.Length; i++)
        {
            sum += kernel[i] * turn;
            turn *= step;
        }

        return sum;
    }

    /// <summary>Takes the next block and gives the block that began <see cref="Reach"/> frames before it.</summary>
    public void Run(ReadOnlySpan<float> left, ReadOnlySpan<float> right, Span<double> outLeft, Span<double> outRight)
    {
        // The line holds the last 2·Reach frames and then the new block: as many outputs are whole as the block is long.
        _left.AsSpan(Block).CopyTo(_left);
        _right.AsSpan(Block).CopyTo(_right);
        left.CopyTo(_left.AsSpan(_left.Length - Block));
        right.CopyTo(_right.AsSpan(_right.Length - Block));
        for (var i = 0; i < _re.Length; i++)
            (_re[i], _im[i]) = (_left[i], _right[i]);
        _fft.Forward(_re, _im);
        Mix();

        // Backward transform by the forward one with the parts changed over.
        _fft.Forward(_im, _re);
        var scale = 1.0 / _re.Length;
        for (var i = 0; i < Block; i++)
            (outLeft[i], outRight[i]) = (_re[Reach + i] * scale, _im[Reach + i] * scale);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Mix()
    {
        var n = _re.Length;
        var (re, im) = (_re, _im);
        var (llRe, llIm, rrRe, rrIm) = (_re4[0], _im4[0], _re4[3], _im4[3]);
        var (rlRe, rlIm, lrRe, lrIm) = (_re4[1], _im4[1], _re4[2], _im4[2]);
        for (var k = 0; k <= n / 2; k++)
        {
            var m = (n - k) & (n - 1);
            var (ar, ai, br, bi) = (re[k], im[k], re[m], im[m]);

            // Spectrum of the left channel and of the right one.
            var (lr, li, rr, ri) = (0.5 * (ar + br), 0.5 * (ai - bi), 0.5 * (ai + bi), 0.5 * (br - ar));
            var toLeftRe = (llRe[k] * lr) - (llIm[k] * li);
            var toLeftIm = (llRe[k] * li) + (llIm[k] * lr);
            var toRightRe = (rrRe[k] * rr) - (rrIm[k] * ri);
            var toRightIm = (rrRe[k] * ri) + (rrIm[k] * rr);
            if (rlRe.Length > 0)
            {
                toLeftRe += (rlRe[k] * rr) - (rlIm[k] * ri);
                toLeftIm += (rlRe[k] * ri) + (rlIm[k] * rr);
            }

            if (lrRe.Length > 0)
            {
                toRightRe += (lrRe[k] * lr) - (lrIm[k] * li);
                toRightIm += (lrRe[k] * li) + (lrIm[k] * lr);
            }

            // Both are spectra of real signals: the other half is their mirror.
            re[k] = toLeftRe - toRightIm;
            im[k] = toLeftIm + toRightRe;
            if (m != k)
            {
                re[m] = toLeftRe + toRightIm;
                im[m] = toRightRe - toLeftIm;
            }
        }
    }

    private double[] Kernel(Func<double, Complex> response)
    {
        var n = _re.Length;
        for (var k = 0; k <= n / 2; k++)
        {
            var hertz = k * _rateHz / n;
            var value = k == n / 2 ? Complex.Zero : response(hertz) * Fade(hertz / _rateHz);
            if (k == 0)
                value = value.Real;
            (_re[k], _im[k]) = (value.Real, value.Imaginary);
            if (k > 0)
                (_re[n - k], _im[n - k]) = (value.Real, -value.Imaginary);
        }

        _fft.Forward(_im, _re);
        var kernel = new double[(2 * Reach) - 1];
        for (var i = 0; i < kernel.Length; i++)
        {
            var at = i - (Reach - 1);
            var x = Math.Abs(at) / (double)Reach;
            var window = x < 0.5 ? 1 : 0.5 * (1 + Math.Cos(2 * Math.PI * (x - 0.5)));
            kernel[i] = _re[(at + n) & (n - 1)] / n * window;
        }

        return kernel;
    }

    private Complex[] Spectrum(double[] kernel)
    {
        if (kernel.Length == 0)
            return [];
        Array.Clear(_re);
        Array.Clear(_im);
        for (var i = 0; i < kernel.Length; i++)
            _re[(i - (Reach - 1) + _re.Length) & (_re.Length - 1)] = kernel[i];
        _fft.Forward(_re, _im);
        return [.. Enumerable.Range(0, (_re.Length / 2) + 1).Select(k => new Complex(_re[k], _im[k]))];
    }

    // What lies near half the rate fades out, as in any interface.
    private static double Fade(double share) => share switch
    {
        < 0.456 => 1,
        > 0.498 => 0,
        _ => 0.5 * (1 + Math.Cos(Math.PI * (share - 0.456) / 0.042)),
    };
}
