using System.Numerics;
using System.Runtime.CompilerServices;

namespace Spoolwright.Signal.Filters;

/// <summary>A symmetric filter on a double-precision signal that keeps every n-th output. Feed it blocks; it allocates nothing per block.</summary>
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
            for (; pos + Length <= _held; pos += Decimation)
            {
                output[written++] = Dot(pos);
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

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private double Dot(int pos)
    {
        var x = _buffer.AsSpan(pos, _taps.Length);
        var h = _taps.AsSpan();
        Vector<double> a = default, b = default;
        var w = Vector<double>.Count;
        for (var k = 0; k <= h.Length - (2 * w); k += 2 * w)
        {
            a += new Vector<double>(x[k..]) * new Vector<double>(h[k..]);
            b += new Vector<double>(x[(k + w)..]) * new Vector<double>(h[(k + w)..]);
        }

        return Vector.Sum(a + b);
    }
}
