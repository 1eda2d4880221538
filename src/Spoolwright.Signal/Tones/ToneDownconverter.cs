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
    /// <param name="decimation">Input frames for one output; output rate must exceed passHz + stopHz, so that nothing folds into the band.</param>
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
        _padded = (taps.Length + 15) / 16 * 16;
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
        _buffer = new float[(2 * _padded) + BlockFrames + (2 * decimation)];
    }

    /// <summary>f0, Hz.</summary>
    public double CentreHz { get; }

    /// <summary>Input frames for one output.</summary>
    public int Decimation { get; }

    /// <summary>Output rate, Hz.</summary>
    public double OutputRateHz { get; }

    /// <summary>Input frame (from the first one given) that the first output speaks of; the next follow every <see cref="Decimation"/> frames.</summary>
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
        // Two windows at once share the loads of the taps. The taps are padded with zeros, and the buffer has room for the overrun.
        while (pos + Decimation + _taps <= _held)
        {
            Dot2(pos, pos + Decimation, out var aRe, out var aIm, out var bRe, out var bIm);
            Emit(aRe, aIm, re, im, written++);
            Emit(bRe, bIm, re, im, written++);
            pos += 2 * Decimation;
        }

        if (pos + _taps <= _held)
        {
            Dot2(pos, pos, out var aRe, out var aIm, out _, out _);
            Emit(aRe, aIm, re, im, written++);
            pos += Decimation;
        }

        var drop = Math.Min(pos, _held);
        _buffer.AsSpan(drop, _held - drop).CopyTo(_buffer);
        _held -= drop;
        _next = pos - drop;
        return written;
    }

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

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Dot2(int first, int second, out double aRe, out double aIm, out double bRe, out double bIm)
    {
        ref var x = ref MemoryMarshal.GetArrayDataReference(_buffer);
        ref var hr = ref MemoryMarshal.GetArrayDataReference(_tapsRe);
        ref var hi = ref MemoryMarshal.GetArrayDataReference(_tapsIm);
        var n = _padded;
        if (Vector512.IsHardwareAccelerated)
        {
            Vector512<float> ar = default, ai = default, br = default, bi = default;
            for (nuint k = 0; k < (nuint)n; k += 16)
            {
                var tr = Vector512.LoadUnsafe(ref hr, k);
                var ti = Vector512.LoadUnsafe(ref hi, k);
                var xa = Vector512.LoadUnsafe(ref x, (nuint)first + k);
                var xb = Vector512.LoadUnsafe(ref x, (nuint)second + k);
                ar = Vector512.FusedMultiplyAdd(xa, tr, ar);
                ai = Vector512.FusedMultiplyAdd(xa, ti, ai);
                br = Vector512.FusedMultiplyAdd(xb, tr, br);
                bi = Vector512.FusedMultiplyAdd(xb, ti, bi);
            }

            (aRe, aIm, bRe, bIm) = (Vector512.Sum(ar), Vector512.Sum(ai), Vector512.Sum(br), Vector512.Sum(bi));
            return;
        }

        Vector256<float> ar1 = default, ai1 = default, br1 = default, bi1 = default;
        for (nuint k = 0; k < (nuint)n; k += 8)
        {
            var tr = Vector256.LoadUnsafe(ref hr, k);
            var ti = Vector256.LoadUnsafe(ref hi, k);
            var xa = Vector256.LoadUnsafe(ref x, (nuint)first + k);
            var xb = Vector256.LoadUnsafe(ref x, (nuint)second + k);
            ar1 = Vector256.FusedMultiplyAdd(xa, tr, ar1);
            ai1 = Vector256.FusedMultiplyAdd(xa, ti, ai1);
            br1 = Vector256.FusedMultiplyAdd(xb, tr, br1);
            bi1 = Vector256.FusedMultiplyAdd(xb, ti, bi1);
        }

        (aRe, aIm, bRe, bIm) = (Vector256.Sum(ar1), Vector256.Sum(ai1), Vector256.Sum(br1), Vector256.Sum(bi1));
    }
}
