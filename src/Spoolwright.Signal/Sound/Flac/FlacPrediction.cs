using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Spoolwright.Signal.Sound.Flac;

/// <summary>
/// Turns residuals back into samples in place [RFC9639:2024] 9.2.5, 9.2.6. Sums are 64 bits wide: 32 products of 32 by 15 bits fit.
/// Broken files may overflow; their samples are then some wrong integer, which the frame's checksum has refused before anyone sees it.
/// </summary>
internal static class FlacPrediction
{
    /// <summary>A fixed predictor written as a linear one: the latest sample's weight first.</summary>
    public static ReadOnlySpan<int> FixedCoefficients(int order) => order switch
    {
        0 => [],
        1 => [1],
        2 => [2, -1],
        3 => [3, -3, 1],
        _ => [4, -6, 4, -1],
    };

    /// <summary>Restores a block coded by a fixed predictor: order-fold running sums.</summary>
    public static void RestoreFixed(int order, Span<int> block)
    {
        switch (order)
        {
            case 1:
                for (var i = 1; i < block.Length; i++)
                    block[i] += block[i - 1];
                break;
            case 2:
                for (int i = 2, a = block[1], slope = block[1] - block[0]; i < block.Length; i++)
                {
                    slope += block[i];
                    block[i] = a += slope;
                }

                break;
            case 3:
                for (int i = 3, a = block[2], slope = a - block[1], bend = slope - (block[1] - block[0]); i < block.Length; i++)
                {
                    bend += block[i];
                    slope += bend;
                    block[i] = a += slope;
                }

                break;
            case 4:
                int last = block[3], first = last - block[2], second = first - (block[2] - block[1]);
                var third = second - (block[2] - (2 * block[1]) + block[0]);
                for (var i = 4; i < block.Length; i++)
                {
                    third += block[i];
                    second += third;
                    first += second;
                    block[i] = last += first;
                }

                break;
        }
    }

    /// <summary>Restores a block coded by a linear predictor.</summary>
    /// <param name="coefficients">Weight of the latest sample first; 1 to 32 of them.</param>
    /// <param name="shift">Places that the sum is shifted down by.</param>
    /// <param name="samples"><see cref="FlacSubframe.History"/> zeros, then the block: as many samples as coefficients, then
    /// residuals.</param>
    public static void Restore(ReadOnlySpan<int> coefficients, int shift, Span<int> samples)
    {
        // Padded with zero weights to a multiple of four; the history before the block makes room for them.
        Span<long> weights = stackalloc long[FlacSubframe.History];
        weights.Clear();
        for (var j = 0; j < coefficients.Length; j++)
            weights[j] = coefficients[j];
        var start = FlacSubframe.History + coefficients.Length;
        var count = samples.Length - start;
        ref var first = ref samples[start - 1];
        switch ((coefficients.Length + 3) / 4)
        {
            case 1:
                RestoreFour(weights, shift, ref first, count);
                break;
            case 2:
                RestoreEight(weights, shift, ref first, count);
                break;
            case 3:
                RestoreTwelve(weights, shift, ref first, count);
                break;
            default:
                RestoreAny(weights[..((coefficients.Length + 3) & ~3)], shift, ref first, count);
                break;
        }
    }

    /// <summary>Restores samples of 33 bits from residuals.</summary>
    public static void RestoreWide(ReadOnlySpan<int> coefficients, int shift, ReadOnlySpan<int> residuals, Span<long> samples)
    {
        for (var i = coefficients.Length; i < samples.Length; i++)
        {
            long sum = 0;
            for (var j = 0; j < coefficients.Length; j++)
                sum += coefficients[j] * samples[i - 1 - j];
            samples[i] = residuals[i] + (sum >> shift);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void RestoreFour(ReadOnlySpan<long> w, int shift, ref int s, int count)
    {
        long w0 = w[0], w1 = w[1], w2 = w[2], w3 = w[3];
        long a = s, b = Unsafe.Add(ref s, -1), c = Unsafe.Add(ref s, -2), d = Unsafe.Add(ref s, -3);
        for (var i = 1; i <= count; i++)
        {
            // The latest sample's product comes last: the rest need not wait for it.
            var sum = (d * w3) + (c * w2) + (b * w1) + (a * w0);
            d = c;
            c = b;
            b = a;
            ref var at = ref Unsafe.Add(ref s, i);
            at += (int)(sum >> shift);
            a = at;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void RestoreEight(ReadOnlySpan<long> w, int shift, ref int s, int count)
    {
        long w0 = w[0], w1 = w[1], w2 = w[2], w3 = w[3], w4 = w[4], w5 = w[5], w6 = w[6], w7 = w[7];
        long a = s;
        for (var i = 1; i <= count; i++)
        {
            ref var at = ref Unsafe.Add(ref s, i);
            var sum =
                (w7 * Unsafe.Add(ref at, -8))
                + (w6 * Unsafe.Add(ref at, -7))
                + (w5 * Unsafe.Add(ref at, -6))
                + (w4 * Unsafe.Add(ref at, -5));
            sum += (w3 * Unsafe.Add(ref at, -4)) + (w2 * Unsafe.Add(ref at, -3)) + (w1 * Unsafe.Add(ref at, -2));
            at += (int)((sum + (w0 * a)) >> shift);
            a = at;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void RestoreTwelve(ReadOnlySpan<long> w, int shift, ref int s, int count)
    {
        long w0 = w[0],
            w1 = w[1],
            w2 = w[2],
            w3 = w[3],
            w4 = w[4],
            w5 = w[5],
            w6 = w[6],
            w7 = w[7],
            w8 = w[8],
            w9 = w[9],
            w10 = w[10],
            w11 = w[11];
        long a = s;
        for (var i = 1; i <= count; i++)
        {
            ref var at = ref Unsafe.Add(ref s, i);
            var sum =
                (w11 * Unsafe.Add(ref at, -12))
                + (w10 * Unsafe.Add(ref at, -11))
                + (w9 * Unsafe.Add(ref at, -10))
                + (w8 * Unsafe.Add(ref at, -9));
            sum +=
                (w7 * Unsafe.Add(ref at, -8))
                + (w6 * Unsafe.Add(ref at, -7))
                + (w5 * Unsafe.Add(ref at, -6))
                + (w4 * Unsafe.Add(ref at, -5));
            sum += (w3 * Unsafe.Add(ref at, -4)) + (w2 * Unsafe.Add(ref at, -3)) + (w1 * Unsafe.Add(ref at, -2));
            at += (int)((sum + (w0 * a)) >> shift);
            a = at;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void RestoreAny(ReadOnlySpan<long> weights, int shift, ref int s, int count)
    {
        ref var w = ref MemoryMarshal.GetReference(weights);
        for (var i = 1; i <= count; i++)
        {
            ref var at = ref Unsafe.Add(ref s, i);
            long sum = 0;
            for (nint j = weights.Length - 4; j >= 0; j -= 4)
            {
                sum += (Unsafe.Add(ref w, j + 3) * Unsafe.Add(ref at, -j - 4)) + (Unsafe.Add(ref w, j + 2) * Unsafe.Add(ref at, -j - 3))
                    + (Unsafe.Add(ref w, j + 1) * Unsafe.Add(ref at, -j - 2)) + (Unsafe.Add(ref w, j) * Unsafe.Add(ref at, -j - 1));
            }

            at += (int)(sum >> shift);
        }
    }
}
