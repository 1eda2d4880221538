using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Spoolwright.Signal.Filters;

/// <summary>A symmetric filter on a double-precision signal that keeps every n-th output. Feed it blocks; it allocates nothing per
/// block.</summary>
public sealed class DecimatingFilter
{
    private const int BlockFrames = 1 << 12;
    private readonly double[] _taps;
    private readonly double[] _buffer;
    private int _held;
    private int _next;

    /// <param name="taps">Symmetric taps.</param>
    /// <param name="decimation">Inputs for one output, 1 for all.</param>
    public DecimatingFilter(double[] taps, int decimation)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(decimation);
        var padded = (taps.Length + 7) / 8 * 8;
        _taps = new double[padded];
        taps.CopyTo(_taps, 0);
        Length = taps.Length;
        Decimation = decimation;
        _buffer = new double[(2 * padded) + BlockFrames + decimation];
    }

    /// <summary>Number of taps; the first output speaks of input (Length − 1)/2.</summary>
    public int Length { get; }

    /// <summary>Inputs for one output.</summary>
    public int Decimation { get; }

    /// <summary>Takes the next samples; returns how many outputs were written, at most samples/<see cref="Decimation"/> + 1.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public int Add(ReadOnlySpan<double> samples, Span<double> output)
    {
        var written = 0;
        while (samples.Length > 0)
        {
            var take = Math.Min(samples.Length, BlockFrames);
            samples[..take].CopyTo(_buffer.AsSpan(_held));
            samples = samples[take..];
            _held += take;
            var pos = _next;
            for (; pos + (3 * Decimation) + Length <= _held; pos += 4 * Decimation, written += 4)
            {
                FourOutputs(pos, output.Slice(written, 4));
            }

            for (; pos + Length <= _held; pos += Decimation)
            {
                output[written++] = OneOutput(pos);
            }

            var drop = Math.Min(pos, _held);
            _buffer.AsSpan(drop, _held - drop).CopyTo(_buffer);
            _held -= drop;
            _next = pos - drop;
        }

        return written;
    }

    /// <summary>Forgets the past.</summary>
    public void Reset()
    {
        _held = 0;
        _next = 0;
    }

    // Four outputs share the loads of the taps. Each is summed in the order that one alone is, so that blocks do not matter.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void FourOutputs(int pos, Span<double> output)
    {
        ref var h = ref MemoryMarshal.GetArrayDataReference(_taps);
        ref var x = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_buffer), pos);
        nuint d = (nuint)Decimation, n = (nuint)_taps.Length;
        if (Vector512.IsHardwareAccelerated)
        {
            Vector512<double> a = default, b = default, c = default, e = default;
            for (nuint k = 0; k < n; k += 8)
            {
                var tap = Vector512.LoadUnsafe(ref h, k);
                a = Vector512.FusedMultiplyAdd(tap, Vector512.LoadUnsafe(ref x, k), a);
                b = Vector512.FusedMultiplyAdd(tap, Vector512.LoadUnsafe(ref x, k + d), b);
                c = Vector512.FusedMultiplyAdd(tap, Vector512.LoadUnsafe(ref x, k + d + d), c);
                e = Vector512.FusedMultiplyAdd(tap, Vector512.LoadUnsafe(ref x, k + d + d + d), e);
            }

            (output[0], output[1], output[2], output[3]) = (Vector512.Sum(a), Vector512.Sum(b), Vector512.Sum(c), Vector512.Sum(e));
            return;
        }

        Vector256<double> a1 = default, b1 = default, c1 = default, e1 = default;
        for (nuint k = 0; k < n; k += 4)
        {
            var tap = Vector256.LoadUnsafe(ref h, k);
            a1 = Vector256.FusedMultiplyAdd(tap, Vector256.LoadUnsafe(ref x, k), a1);
            b1 = Vector256.FusedMultiplyAdd(tap, Vector256.LoadUnsafe(ref x, k + d), b1);
            c1 = Vector256.FusedMultiplyAdd(tap, Vector256.LoadUnsafe(ref x, k + d + d), c1);
            e1 = Vector256.FusedMultiplyAdd(tap, Vector256.LoadUnsafe(ref x, k + d + d + d), e1);
        }

        (output[0], output[1], output[2], output[3]) = (Vector256.Sum(a1), Vector256.Sum(b1), Vector256.Sum(c1), Vector256.Sum(e1));
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private double OneOutput(int pos)
    {
        ref var h = ref MemoryMarshal.GetArrayDataReference(_taps);
        ref var x = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_buffer), pos);
        if (Vector512.IsHardwareAccelerated)
        {
            Vector512<double> a = default;
            for (nuint k = 0; k < (nuint)_taps.Length; k += 8)
            {
                a = Vector512.FusedMultiplyAdd(Vector512.LoadUnsafe(ref h, k), Vector512.LoadUnsafe(ref x, k), a);
            }

            return Vector512.Sum(a);
        }

        Vector256<double> b = default;
        for (nuint k = 0; k < (nuint)_taps.Length; k += 4)
        {
            b = Vector256.FusedMultiplyAdd(Vector256.LoadUnsafe(ref h, k), Vector256.LoadUnsafe(ref x, k), b);
        }

        return Vector256.Sum(b);
    }
}
