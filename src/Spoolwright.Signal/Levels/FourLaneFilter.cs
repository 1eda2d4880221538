using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Spoolwright.Signal.Levels;

/// <summary>
/// Two weightings of two channels at once: four lanes of one vector run left and right through the first filter and left and right through the
/// second. Double precision throughout; allocates nothing per block.
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

        // Section by section, so that the compiler keeps five coefficients and two states in registers.
        for (int k = 0, j = 0; k < c.Length; k += 5, j += 2)
        {
            Vector256<double> b0 = c[k], b1 = c[k + 1], b2 = c[k + 2], a1 = c[k + 3], a2 = c[k + 4], s0 = s[j], s1 = s[j + 1];
            for (var i = 0; i < output.Length; i++)
            {
                var x = output[i];
                var y = Vector256.FusedMultiplyAdd(b0, x, s0);
                s0 = Vector256.FusedMultiplyAdd(b1, x, s1) - (a1 * y);
                s1 = (b2 * x) - (a2 * y);
                output[i] = y;
            }

            s[j] = s0;
            s[j + 1] = s1;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Correct(int count, Span<Vector256<double>> output)
    {
        Vector256<double>[] h = _history, taps = _taps;
        var half = _half;
        for (var i = 0; i < count; i++)
        {
            var middle = i + half;
            var sum = taps[0] * h[middle];
            for (var k = 1; k <= half; k++)
            {
                sum = Vector256.FusedMultiplyAdd(taps[k], h[middle - k] + h[middle + k], sum);
            }

            output[i] = sum;
        }
    }
}
