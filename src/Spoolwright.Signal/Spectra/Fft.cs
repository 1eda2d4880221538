using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Spoolwright.Signal.Spectra;

/// <summary>
/// Discrete Fourier transform of a power-of-two length, split real and imaginary arrays, no scaling:
/// X[k] = Σ x[n]·exp(−j2πkn/N). Holds its twiddles and work space, so one instance serves one thread and allocates nothing per call.
/// </summary>
public sealed class Fft
{
    private readonly double[] _cos;
    private readonly double[] _sin;
    private readonly double[] _workRe;
    private readonly double[] _workIm;

    /// <param name="length">Transform length: a power of two from 2 to 2^24.</param>
    /// <exception cref="ArgumentOutOfRangeException">The length is no such power of two.</exception>
    public Fft(int length)
    {
        if (length is < 2 or > 1 << 24 || !BitOperations.IsPow2(length))
        {
            throw new ArgumentOutOfRangeException(nameof(length), length, "The transform's length must be a power of two from 2 to 2^24.");
        }

        Length = length;
        _cos = new double[length];
        _sin = new double[length];
        for (var i = 0; i < length; i++)
        {
            (_sin[i], _cos[i]) = Math.SinCos(-2 * Math.PI * i / length);
        }

        _workRe = new double[length];
        _workIm = new double[length];
    }

    /// <summary>The transform's length N.</summary>
    public int Length { get; }

    /// <summary>Transforms in place.</summary>
    /// <param name="re">Real parts, N of them.</param>
    /// <param name="im">Imaginary parts, N of them.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Forward(Span<double> re, Span<double> im)
    {
        if (re.Length != Length || im.Length != Length)
        {
            throw new ArgumentException($"Both arrays must hold {Length} values, not {re.Length} and {im.Length}.", nameof(re));
        }

        // Stockham's self-sorting form, radix 4 with one radix-2 stage where the power is odd: every stage reads and writes in
        // runs of `stride` neighbours, so all stages vectorise but the first, which has a form of its own.
        var n = Length;
        var stride = 1;
        Span<double> xr = re, xi = im, yr = _workRe, yi = _workIm;
        while (n >= 4)
        {
            if (stride == 1 && n >= 16 && Avx.IsSupported)
            {
                First4(xr, xi, yr, yi);
            }
            else
            {
                Radix4(xr, xi, yr, yi, n, stride);
            }

            var swap = xr;
            xr = yr;
            yr = swap;
            swap = xi;
            xi = yi;
            yi = swap;
            n >>= 2;
            stride <<= 2;
        }

        if (n == 2)
        {
            Radix2(xr, xi, yr, yi, stride);
            xr = yr;
            xi = yi;
        }

        if (!xr.Overlaps(re))
        {
            xr.CopyTo(re);
            xi.CopyTo(im);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Radix4(Span<double> xr, Span<double> xi, Span<double> yr, Span<double> yi, int n, int stride)
    {
        var quarter = n / 4;
        var width = Vector<double>.Count;
        for (var p = 0; p < quarter; p++)
        {
            var t = p * stride;
            double w1r = _cos[t], w1i = _sin[t], w2r = _cos[2 * t], w2i = _sin[2 * t], w3r = _cos[3 * t], w3i = _sin[3 * t];
            var a = stride * p;
            var b = a + (stride * quarter);
            var c = b + (stride * quarter);
            var d = c + (stride * quarter);
            var o = stride * 4 * p;
            var q = 0;
            if (stride >= width)
            {
                Vector<double> v1r = new(w1r), v1i = new(w1i), v2r = new(w2r), v2i = new(w2i), v3r = new(w3r), v3i = new(w3i);
                for (; q <= stride - width; q += width)
                {
                    Vector<double> ar = new(xr[(a + q)..]), ai = new(xi[(a + q)..]), br = new(xr[(b + q)..]), bi = new(xi[(b + q)..]);
                    Vector<double> cr = new(xr[(c + q)..]), ci = new(xi[(c + q)..]), dr = new(xr[(d + q)..]), di = new(xi[(d + q)..]);
                    var apcR = ar + cr;
                    var apcI = ai + ci;
                    var amcR = ar - cr;
                    var amcI = ai - ci;
                    var bpdR = br + dr;
                    var bpdI = bi + di;
                    var bmdR = br - dr;
                    var bmdI = bi - di;
                    (apcR + bpdR).CopyTo(yr[(o + q)..]);
                    (apcI + bpdI).CopyTo(yi[(o + q)..]);
                    var s1r = amcR + bmdI;
                    var s1i = amcI - bmdR;
                    ((s1r * v1r) - (s1i * v1i)).CopyTo(yr[(o + stride + q)..]);
                    ((s1r * v1i) + (s1i * v1r)).CopyTo(yi[(o + stride + q)..]);
                    var s2r = apcR - bpdR;
                    var s2i = apcI - bpdI;
                    ((s2r * v2r) - (s2i * v2i)).CopyTo(yr[(o + (2 * stride) + q)..]);
                    ((s2r * v2i) + (s2i * v2r)).CopyTo(yi[(o + (2 * stride) + q)..]);
                    var s3r = amcR - bmdI;
                    var s3i = amcI + bmdR;
                    ((s3r * v3r) - (s3i * v3i)).CopyTo(yr[(o + (3 * stride) + q)..]);
                    ((s3r * v3i) + (s3i * v3r)).CopyTo(yi[(o + (3 * stride) + q)..]);
                }
            }

            for (; q < stride; q++)
            {
                double ar = xr[a + q], ai = xi[a + q], br = xr[b + q], bi = xi[b + q];
                double cr = xr[c + q], ci = xi[c + q], dr = xr[d + q], di = xi[d + q];
                double apcR = ar + cr, apcI = ai + ci, amcR = ar - cr, amcI = ai - ci;
                double bpdR = br + dr, bpdI = bi + di, bmdR = br - dr, bmdI = bi - di;
                yr[o + q] = apcR + bpdR;
                yi[o + q] = apcI + bpdI;
                double s1r = amcR + bmdI, s1i = amcI - bmdR;
                yr[o + stride + q] = (s1r * w1r) - (s1i * w1i);
                yi[o + stride + q] = (s1r * w1i) + (s1i * w1r);
                double s2r = apcR - bpdR, s2i = apcI - bpdI;
                yr[o + (2 * stride) + q] = (s2r * w2r) - (s2i * w2i);
                yi[o + (2 * stride) + q] = (s2r * w2i) + (s2i * w2r);
                double s3r = amcR - bmdI, s3i = amcI + bmdR;
                yr[o + (3 * stride) + q] = (s3r * w3r) - (s3i * w3i);
                yi[o + (3 * stride) + q] = (s3r * w3i) + (s3i * w3r);
            }
        }
    }

    // The stage of stride 1: four butterflies side by side in the lanes of a vector, their results turned by a 4 × 4 transpose.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void First4(Span<double> xr, Span<double> xi, Span<double> yr, Span<double> yi)
    {
        var quarter = (nuint)(Length / 4);
        ref double inR = ref MemoryMarshal.GetReference(xr), inI = ref MemoryMarshal.GetReference(xi);
        ref double outR = ref MemoryMarshal.GetReference(yr), outI = ref MemoryMarshal.GetReference(yi);
        ref double cos = ref MemoryMarshal.GetArrayDataReference(_cos), sin = ref MemoryMarshal.GetArrayDataReference(_sin);
        for (nuint p = 0; p < quarter; p += 4)
        {
            Vector256<double> ar = Vector256.LoadUnsafe(ref inR, p), ai = Vector256.LoadUnsafe(ref inI, p);
            Vector256<double> br = Vector256.LoadUnsafe(ref inR, p + quarter), bi = Vector256.LoadUnsafe(ref inI, p + quarter);
            Vector256<double> cr = Vector256.LoadUnsafe(ref inR, p + (2 * quarter)), ci = Vector256.LoadUnsafe(ref inI, p + (2 * quarter));
            Vector256<double> dr = Vector256.LoadUnsafe(ref inR, p + (3 * quarter)), di = Vector256.LoadUnsafe(ref inI, p + (3 * quarter));
            Vector256<double> w1r = Vector256.LoadUnsafe(ref cos, p), w1i = Vector256.LoadUnsafe(ref sin, p);

            // The second and third powers of the twiddle, gathered, not multiplied: exact as in the other stages.
            var w2r = Vector256.Create(
                Unsafe.Add(ref cos, 2 * p),
                Unsafe.Add(ref cos, (2 * p) + 2),
                Unsafe.Add(ref cos, (2 * p) + 4),
                Unsafe.Add(ref cos, (2 * p) + 6)
            );
            var w2i = Vector256.Create(
                Unsafe.Add(ref sin, 2 * p),
                Unsafe.Add(ref sin, (2 * p) + 2),
                Unsafe.Add(ref sin, (2 * p) + 4),
                Unsafe.Add(ref sin, (2 * p) + 6)
            );
            var w3r = Vector256.Create(
                Unsafe.Add(ref cos, 3 * p),
                Unsafe.Add(ref cos, (3 * p) + 3),
                Unsafe.Add(ref cos, (3 * p) + 6),
                Unsafe.Add(ref cos, (3 * p) + 9)
            );
            var w3i = Vector256.Create(
                Unsafe.Add(ref sin, 3 * p),
                Unsafe.Add(ref sin, (3 * p) + 3),
                Unsafe.Add(ref sin, (3 * p) + 6),
                Unsafe.Add(ref sin, (3 * p) + 9)
            );
            Vector256<double> apcR = ar + cr,
                apcI = ai + ci,
                amcR = ar - cr,
                amcI = ai - ci;
            Vector256<double> bpdR = br + dr,
                bpdI = bi + di,
                bmdR = br - dr,
                bmdI = bi - di;
            Vector256<double> s1r = amcR + bmdI,
                s1i = amcI - bmdR,
                s2r = apcR - bpdR,
                s2i = apcI - bpdI,
                s3r = amcR - bmdI,
                s3i = amcI + bmdR;
            Store(apcR + bpdR, (s1r * w1r) - (s1i * w1i), (s2r * w2r) - (s2i * w2i), (s3r * w3r) - (s3i * w3i), ref outR, 4 * p);
            Store(apcI + bpdI, (s1r * w1i) + (s1i * w1r), (s2r * w2i) + (s2i * w2r), (s3r * w3i) + (s3i * w3r), ref outI, 4 * p);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Store(Vector256<double> a, Vector256<double> b, Vector256<double> c, Vector256<double> d, ref double to, nuint at)
    {
        Vector256<double> ab0 = Avx.UnpackLow(a, b), ab1 = Avx.UnpackHigh(a, b), cd0 = Avx.UnpackLow(c, d), cd1 = Avx.UnpackHigh(c, d);
        Avx.Permute2x128(ab0, cd0, 0x20).StoreUnsafe(ref to, at);
        Avx.Permute2x128(ab1, cd1, 0x20).StoreUnsafe(ref to, at + 4);
        Avx.Permute2x128(ab0, cd0, 0x31).StoreUnsafe(ref to, at + 8);
        Avx.Permute2x128(ab1, cd1, 0x31).StoreUnsafe(ref to, at + 12);
    }

    private static void Radix2(Span<double> xr, Span<double> xi, Span<double> yr, Span<double> yi, int stride)
    {
        for (var q = 0; q < stride; q++)
        {
            double ar = xr[q], ai = xi[q], br = xr[stride + q], bi = xi[stride + q];
            yr[q] = ar + br;
            yi[q] = ai + bi;
            yr[stride + q] = ar - br;
            yi[stride + q] = ai - bi;
        }
    }
}
