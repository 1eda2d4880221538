using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Spoolwright.Signal.Filters;

namespace Spoolwright.Signal.Tones;

/// <summary>
/// Brings the band around one frequency down to 0 Hz at a lower rate: z(t) = A(t)·exp(jφ(t)) for x(t) = A(t)·cos(2πf0·t + φ(t)).
/// The mixing is folded into the taps of a decimating filter (complex taps on the real signal), so each input sample is touched by
/// two fused multiplications per tap and output, and by nothing else. Single-precision products: rounding lies 130 dB under the tone.
/// </summary>
public sealed class ToneDownconverter
{
    private const int BlockFrames = 1 << 14;
    private const int Windows = 4;
    private readonly double[] _lowPass;
    private readonly float[] _tapsRe;
    private readonly float[] _tapsIm;
    private readonly float[] _buffer;
    private readonly int _taps;
    private readonly int _padded;
    private int _held;
    private int _next;
    private long _outputs;
    private Complex _rotor;
    private readonly Complex _step;
    private readonly double _omegaStep;
    private readonly double _omegaHalf;

    /// <param name="centreHz">f0, the frequency brought to 0 Hz.</param>
    /// <param name="passHz">Half width of the band kept flat, Hz.</param>
    /// <param name="stopHz">Distance from f0 beyond which everything is stopped, Hz.</param>
    /// <param name="decimation">Input frames for one output; output rate must exceed passHz + stopHz, so that nothing folds into the
    /// band.</param>
    /// <param name="sampleRateHz">Input rate, Hz.</param>
    /// <param name="attenuationDb">Depth of the stop band, dB.</param>
    public ToneDownconverter(double centreHz, double passHz, double stopHz, int decimation, double sampleRateHz, double attenuationDb = 100)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(centreHz);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(centreHz, sampleRateHz / 2);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(decimation);
        var taps = KaiserLowPass.Design(passHz, stopHz, attenuationDb, sampleRateHz);
        _lowPass = taps;
        CentreHz = centreHz;
        Decimation = decimation;
        OutputRateHz = sampleRateHz / decimation;
        _taps = taps.Length;
        _padded = (taps.Length + 7) / 8 * 8;
        _tapsRe = new float[_padded];
        _tapsIm = new float[_padded];
        var half = (taps.Length - 1) / 2;
        var omega = 2 * Math.PI * centreHz / sampleRateHz;
        for (var k = 0; k < taps.Length; k++)
        {
            var (sin, cos) = Math.SinCos(-omega * (k - half));
            _tapsRe[k] = (float)(2 * taps[k] * cos);
            _tapsIm[k] = (float)(2 * taps[k] * sin);
        }

        FirstOutputFrame = half;
        NoiseBandwidthHz = sampleRateHz * taps.Sum(t => t * t);
        _rotor = Complex.FromPolarCoordinates(1, -omega * half);
        _step = Complex.FromPolarCoordinates(1, -Math.IEEERemainder(omega * decimation, 2 * Math.PI));
        _omegaStep = Math.IEEERemainder(omega * decimation, 2 * Math.PI);
        _omegaHalf = omega * half;
        _buffer = new float[(2 * _padded) + BlockFrames + (Windows * decimation)];
    }

    /// <summary>f0, Hz.</summary>
    public double CentreHz { get; }

    /// <summary>Input frames for one output.</summary>
    public int Decimation { get; }

    /// <summary>Output rate, Hz.</summary>
    public double OutputRateHz { get; }

    /// <summary>Input frame (from the first one given) that the first output speaks of; the next follow every <see cref="Decimation"/>
    /// frames.</summary>
    public int FirstOutputFrame { get; }

    /// <summary>Width of the ideal band, both sides of f0 together, that lets through as much white noise, Hz.</summary>
    public double NoiseBandwidthHz { get; }

    /// <summary>Correlation of white noise between two outputs so many apart, −1 to 1.</summary>
    public double NoiseCorrelation(int outputs)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(outputs);
        double sum = 0, power = 0;
        for (var k = 0; k < _lowPass.Length; k++)
        {
            power += _lowPass[k] * _lowPass[k];
            var other = k + ((long)outputs * Decimation);
            sum += other < _lowPass.Length ? _lowPass[k] * _lowPass[other] : 0;
        }

        return sum / power;
    }

    /// <summary>Outputs that at most come of one call with so many frames.</summary>
    public int MaximumOutputs(int frames) => (frames / Decimation) + 2;

    /// <summary>Takes the next frames; returns how many outputs were written. |z| is the peak amplitude of the tone.</summary>
    public int Add(ReadOnlySpan<float> frames, Span<double> re, Span<double> im)
    {
        var written = 0;
        while (frames.Length > 0)
        {
            // What is held back is always shorter than one window, so there is always room.
            var take = Math.Min(frames.Length, BlockFrames);
            frames[..take].CopyTo(_buffer.AsSpan(_held));
            frames = frames[take..];
            _held += take;
            written += Run(re[written..], im[written..]);
        }

        return written;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private int Run(Span<double> re, Span<double> im)
    {
        var written = 0;
        var pos = _next;
        Span<float> sums = stackalloc float[2 * Windows];

        // Four windows at once share the loads of the taps. The taps are padded with zeros, and the buffer has room for windows that are
        // not ready.
        while (pos + _taps <= _held)
        {
            var ready = Math.Min(Windows, ((_held - _taps - pos) / Decimation) + 1);
            Dot(pos, sums);
            for (var w = 0; w < ready; w++)
            {
                Emit(sums[2 * w], sums[(2 * w) + 1], re, im, written++);
            }

            pos += ready * Decimation;
        }

        var drop = Math.Min(pos, _held);
        _buffer.AsSpan(drop, _held - drop).CopyTo(_buffer);
        _held -= drop;
        _next = pos - drop;
        return written;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Emit(double vRe, double vIm, Span<double> re, Span<double> im, int index)
    {
        if ((_outputs & 255) == 0)
        {
            // The recurrence is put right from the exact angle now and then.
            _rotor = Complex.FromPolarCoordinates(1, -Math.IEEERemainder((_omegaStep * _outputs) + _omegaHalf, 2 * Math.PI));
        }

        re[index] = (vRe * _rotor.Real) - (vIm * _rotor.Imaginary);
        im[index] = (vRe * _rotor.Imaginary) + (vIm * _rotor.Real);
        _rotor *= _step;
        _outputs++;
    }

    // Sums, real and imaginary in turn, of four windows, one output apart. 256 bits wide even where 512 would go: the windows lie as
    // they fall, and every load of 512 bits off its line costs two.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Dot(int first, Span<float> sums)
    {
        ref var a = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_buffer), first);
        ref var b = ref Unsafe.Add(ref a, Decimation);
        ref var c = ref Unsafe.Add(ref b, Decimation);
        ref var d = ref Unsafe.Add(ref c, Decimation);
        ref var hr = ref MemoryMarshal.GetArrayDataReference(_tapsRe);
        ref var hi = ref MemoryMarshal.GetArrayDataReference(_tapsIm);
        Vector256<float> ar = default, ai = default, br = default, bi = default, cr = default, ci = default, dr = default, di = default;
        for (nuint k = 0; k < (nuint)_padded; k += 8)
        {
            Vector256<float> tr = Vector256.LoadUnsafe(ref hr, k), ti = Vector256.LoadUnsafe(ref hi, k);
            var x = Vector256.LoadUnsafe(ref a, k);
            (ar, ai) = (Vector256.FusedMultiplyAdd(x, tr, ar), Vector256.FusedMultiplyAdd(x, ti, ai));
            x = Vector256.LoadUnsafe(ref b, k);
            (br, bi) = (Vector256.FusedMultiplyAdd(x, tr, br), Vector256.FusedMultiplyAdd(x, ti, bi));
            x = Vector256.LoadUnsafe(ref c, k);
            (cr, ci) = (Vector256.FusedMultiplyAdd(x, tr, cr), Vector256.FusedMultiplyAdd(x, ti, ci));
            x = Vector256.LoadUnsafe(ref d, k);
            (dr, di) = (Vector256.FusedMultiplyAdd(x, tr, dr), Vector256.FusedMultiplyAdd(x, ti, di));
        }

        (sums[0], sums[1], sums[2], sums[3]) = (Vector256.Sum(ar), Vector256.Sum(ai), Vector256.Sum(br), Vector256.Sum(bi));
        (sums[4], sums[5], sums[6], sums[7]) = (Vector256.Sum(cr), Vector256.Sum(ci), Vector256.Sum(dr), Vector256.Sum(di));
    }
}
