using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Spoolwright.Signal.Levels;

/// <summary>
/// Two weightings of two channels at once: four lanes of one vector run left and right through the first filter and left and right through
/// the second. Double precision throughout; allocates nothing per block.
/// </summary>
public sealed class FourLaneFilter
{
    private const int BlockFrames = 1 << 10;
    private readonly Vector256<double>[] _coefficients;
    private readonly Vector256<double>[] _state;
    private readonly Vector256<double>[] _taps; // from the middle one outwards
    private readonly Vector256<double>[] _history;
    private readonly int _half;

    /// <param name="first">First weighting, lanes 0 (left) and 1 (right).</param>
    /// <param name="second">Second weighting, lanes 2 and 3; as many poles and taps as the first.</param>
    public FourLaneFilter(CorrectedFilter first, CorrectedFilter second)
    {
        ArgumentNullException.ThrowIfNull(first);
        ArgumentNullException.ThrowIfNull(second);
        ReadOnlySpan<double> a = first.Sections.Coefficients, b = second.Sections.Coefficients;
        if (a.Length != b.Length || first.Taps.Count != second.Taps.Count)
        {
            throw new ArgumentException("Filters that run side by side need as many sections and taps.", nameof(second));
        }

        _coefficients = new Vector256<double>[a.Length];
        for (var i = 0; i < a.Length; i++)
        {
            _coefficients[i] = Vector256.Create(a[i], a[i], b[i], b[i]);
        }

        _state = new Vector256<double>[a.Length / 5 * 2];
        _half = first.Taps.Count / 2;
        _taps = new Vector256<double>[_half + 1];
        for (var k = 0; k <= _half; k++)
        {
            double x = first.Taps[_half + k], y = second.Taps[_half + k];
            _taps[k] = Vector256.Create(x, x, y, y);
        }

        _history = new Vector256<double>[(2 * _half) + BlockFrames];
    }

    /// <summary>Filters a block; the right span may be empty, its lanes are then the left's. Output lags by half the taps.</summary>
    /// <param name="left">Left channel.</param>
    /// <param name="right">Right channel, or empty.</param>
    /// <param name="output">One vector a frame: first weighting of left and right, second weighting of left and right.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Run(ReadOnlySpan<float> left, ReadOnlySpan<float> right, Span<Vector256<double>> output)
    {
        if (right.IsEmpty)
        {
            right = left;
        }

        while (left.Length > 0)
        {
            var take = Math.Min(left.Length, BlockFrames);
            Recurse(left[..take], right[..take], _history.AsSpan(2 * _half, take));
            Correct(take, output);
            _history.AsSpan(take, 2 * _half).CopyTo(_history);
            left = left[take..];
            right = right[take..];
            output = output[take..];
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Recurse(ReadOnlySpan<float> left, ReadOnlySpan<float> right, Span<Vector256<double>> output)
    {
        Vector256<double>[] c = _coefficients, s = _state;
        for (var i = 0; i < left.Length; i++)
        {
            double l = left[i], r = right[i];
            output[i] = Vector256.Create(l, r, l, r);
        }

        // Two sections at a time: each waits for its own last output, so two side by side take hardly longer than one.
        var k = 0;
        for (; k + 10 <= c.Length; k += 10)
        {
            TwoSections(c.AsSpan(k, 10), s.AsSpan(k / 5 * 2, 4), output);
        }

        for (; k < c.Length; k += 5)
        {
            OneSection(c.AsSpan(k, 5), s.AsSpan(k / 5 * 2, 2), output);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void OneSection(ReadOnlySpan<Vector256<double>> c, Span<Vector256<double>> state, Span<Vector256<double>> output)
    {
        Vector256<double> b0 = c[0], b1 = c[1], b2 = c[2], a1 = c[3], a2 = c[4], s0 = state[0], s1 = state[1];
        for (var i = 0; i < output.Length; i++)
        {
            var x = output[i];
            var y = Vector256.FusedMultiplyAdd(b0, x, s0);
            s0 = Vector256.FusedMultiplyAdd(b1, x, s1) - (a1 * y);
            s1 = (b2 * x) - (a2 * y);
            output[i] = y;
        }

        (state[0], state[1]) = (s0, s1);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void TwoSections(ReadOnlySpan<Vector256<double>> c, Span<Vector256<double>> state, Span<Vector256<double>> output)
    {
        Vector256<double> b0 = c[0], b1 = c[1], b2 = c[2], a1 = c[3], a2 = c[4], s0 = state[0], s1 = state[1];
        Vector256<double> d0 = c[5], d1 = c[6], d2 = c[7], e1 = c[8], e2 = c[9], t0 = state[2], t1 = state[3];
        for (var i = 0; i < output.Length; i++)
        {
            var x = output[i];
            var y = Vector256.FusedMultiplyAdd(b0, x, s0);
            s0 = Vector256.FusedMultiplyAdd(b1, x, s1) - (a1 * y);
            s1 = (b2 * x) - (a2 * y);
            var z = Vector256.FusedMultiplyAdd(d0, y, t0);
            t0 = Vector256.FusedMultiplyAdd(d1, y, t1) - (e1 * z);
            t1 = (d2 * y) - (e2 * z);
            output[i] = z;
        }

        (state[0], state[1], state[2], state[3]) = (s0, s1, t0, t1);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Correct(int count, Span<Vector256<double>> output)
    {
        // Four outputs at once share a tap and do not wait for one another; each is summed in the same order as alone.
        ref var taps = ref MemoryMarshal.GetArrayDataReference(_taps);
        var half = _half;
        var i = 0;
        for (; i + 4 <= count; i += 4)
        {
            ref var middle = ref _history[i + half];
            Vector256<double> a = taps * middle,
                b = taps * Unsafe.Add(ref middle, 1),
                c = taps * Unsafe.Add(ref middle, 2),
                d = taps * Unsafe.Add(ref middle, 3);
            for (var k = 1; k <= half; k++)
            {
                var tap = Unsafe.Add(ref taps, k);
                ref Vector256<double> low = ref Unsafe.Subtract(ref middle, k), high = ref Unsafe.Add(ref middle, k);
                a = Vector256.FusedMultiplyAdd(tap, low + high, a);
                b = Vector256.FusedMultiplyAdd(tap, Unsafe.Add(ref low, 1) + Unsafe.Add(ref high, 1), b);
                c = Vector256.FusedMultiplyAdd(tap, Unsafe.Add(ref low, 2) + Unsafe.Add(ref high, 2), c);
                d = Vector256.FusedMultiplyAdd(tap, Unsafe.Add(ref low, 3) + Unsafe.Add(ref high, 3), d);
            }

            (output[i], output[i + 1], output[i + 2], output[i + 3]) = (a, b, c, d);
        }

        for (; i < count; i++)
        {
            var sum = taps * _history[i + half];
            for (var k = 1; k <= half; k++)
            {
                sum = Vector256.FusedMultiplyAdd(Unsafe.Add(ref taps, k), _history[i + half - k] + _history[i + half + k], sum);
            }

            output[i] = sum;
        }
    }
}
