using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Spoolwright.Practice.Waves;

/// <summary>A symmetric filter of a few hundred taps over a stream of single-precision samples: it remembers what it needs of the past.
/// Taps may change from block to block.</summary>
internal sealed class ShortFilter(int taps)
{
    /// <summary>Most samples in one call.</summary>
    public const int MostSamples = 4096;

    private readonly float[] _line = new float[taps - 1 + MostSamples];

    /// <summary>Filters a block; output n stands for input n − (taps − 1)/2.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Run(ReadOnlySpan<float> input, ReadOnlySpan<float> weights, Span<float> output)
    {
        Take(input);
        Weigh(input.Length, weights, output);
        Keep(input.Length);
    }

    /// <summary>The same with weights that change over the block from one set to another, in a straight line.</summary>
    public void Run(ReadOnlySpan<float> input, ReadOnlySpan<float> from, ReadOnlySpan<float> to, Span<float> output, float[] work)
    {
        Take(input);
        Weigh(input.Length, from, output);
        Weigh(input.Length, to, work);
        for (var i = 0; i < input.Length; i++)
            output[i] += (work[i] - output[i]) * i / input.Length;
        Keep(input.Length);
    }

    private void Take(ReadOnlySpan<float> input) => input.CopyTo(_line.AsSpan(taps - 1));

    private void Keep(int count) => _line.AsSpan(count, taps - 1).CopyTo(_line);

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Weigh(int count, ReadOnlySpan<float> weights, Span<float> output)
    {
        ref var line = ref MemoryMarshal.GetArrayDataReference(_line);
        ref var result = ref MemoryMarshal.GetReference(output);
        var width = Vector<float>.Count;
        var i = 0;
        for (; i <= count - (4 * width); i += 4 * width)
        {
            Vector<float> a = default, b = default, c = default, d = default;
            for (var j = 0; j < weights.Length; j++)
            {
                var weight = new Vector<float>(weights[j]);
                ref var at = ref Unsafe.Add(ref line, i + j);
                a = Vector.FusedMultiplyAdd(weight, Vector.LoadUnsafe(ref at), a);
                b = Vector.FusedMultiplyAdd(weight, Vector.LoadUnsafe(ref at, (nuint)width), b);
                c = Vector.FusedMultiplyAdd(weight, Vector.LoadUnsafe(ref at, (nuint)(2 * width)), c);
                d = Vector.FusedMultiplyAdd(weight, Vector.LoadUnsafe(ref at, (nuint)(3 * width)), d);
            }

            ref var into = ref Unsafe.Add(ref result, i);
            a.StoreUnsafe(ref into);
            b.StoreUnsafe(ref into, (nuint)width);
            c.StoreUnsafe(ref into, (nuint)(2 * width));
            d.StoreUnsafe(ref into, (nuint)(3 * width));
        }

        for (; i < count; i++)
        {
            // One fused step a tap, in the same order, so that a sample does not hang on where a block ends.
            var sum = 0f;
            for (var j = 0; j < weights.Length; j++)
                sum = MathF.FusedMultiplyAdd(weights[j], _line[i + j], sum);
            output[i] = sum;
        }
    }
}

/// <summary>Makes symmetric filters to a wanted size of response.</summary>
internal static class SymmetricTaps
{
    private const int Points = 512;
    private static readonly double[] Cosines = [.. Enumerable.Range(0, 4 * Points).Select(i => Math.Cos(2 * Math.PI * i / (4 * Points)))];

    /// <summary>Taps whose response comes near to a wanted one, smoothed by a window as long as they are.</summary>
    /// <param name="gain">Wanted amplitude factor at a frequency in Hz, from 0 to half the rate.</param>
    /// <param name="count">How many taps; odd, or even for a response that is 0 at half the rate.</param>
    /// <param name="rateHz">Sample rate, Hz.</param>
    public static float[] Make(Func<double, double> gain, int count, double rateHz)
    {
        Span<double> wanted = stackalloc double[Points];
        for (var k = 0; k < Points; k++)
            wanted[k] = gain((k + 0.5) * rateHz / (2 * Points));
        var taps = new float[count];
        for (var n = 0; n < (count + 1) / 2; n++)
        {
            // Distance from the middle in half samples, so that even counts work as well.
            var halves = count - 1 - (2 * n);
            var sum = 0.0;
            for (var k = 0; k < Points; k++)
                sum += wanted[k] * Cosine(((2 * k) + 1) * halves);
            taps[n] = taps[count - 1 - n] = (float)(sum / Points * Window(halves / (double)(count + 1)));
        }

        return taps;
    }

    /// <summary>Response of symmetric taps at a frequency, delay left out.</summary>
    public static double Response(ReadOnlySpan<float> taps, double hertz, double rateHz)
    {
        var sum = 0.0;
        for (var n = 0; n < taps.Length; n++)
            sum += taps[n] * Math.Cos(2 * Math.PI * hertz / rateHz * (n - ((taps.Length - 1) / 2.0)));
        return sum;
    }

    // cos(π·(2k+1)·halves/(4·Points)); with a table of 4·Points to the turn it is read at half steps when that product is odd.
    private static double Cosine(int product)
    {
        var at = product & ((8 * Points) - 1);
        return (at & 1) == 0 ? Cosines[at / 2] : 0.5 * (Cosines[at / 2] + Cosines[((at / 2) + 1) & ((4 * Points) - 1)]) / HalfStep;
    }

    private static readonly double HalfStep = Math.Cos(Math.PI / (4 * Points));

    // Three cosines, -92 dB beside the main lobe; x from -1 to 1.
    private static double Window(double x) => 0.42323 + (0.49755 * Math.Cos(Math.PI * x)) + (0.07922 * Math.Cos(2 * Math.PI * x));
}
