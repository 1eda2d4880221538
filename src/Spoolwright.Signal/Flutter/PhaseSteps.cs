using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// How far a phasor turns from one sample to the next, four steps at a time: a series where it turns little (error below 1e-12), the
/// library's function elsewhere. A step comes out the same to the last bit whether it is taken alone or among four.
/// </summary>
internal static class PhaseSteps
{
    // Where |im| < Short·re the series holds.
    private const double Short = 0.2;

    /// <summary>Steps of the phase, each times <paramref name="scale"/>.</summary>
    /// <param name="re">Real parts.</param>
    /// <param name="im">Imaginary parts, as many.</param>
    /// <param name="previous">The phasor before the first.</param>
    /// <param name="scale">1 for rad; rate/2π for Hz.</param>
    /// <param name="steps">Gets one step for each phasor, from −π to π times the scale.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Between(ReadOnlySpan<double> re, ReadOnlySpan<double> im, Complex previous, double scale, Span<double> steps)
    {
        if (im.Length < re.Length)
        {
            throw new ArgumentException($"{im.Length} imaginary parts for {re.Length} real ones.", nameof(im));
        }

        if (steps.Length < re.Length)
        {
            throw new ArgumentException($"Room for {steps.Length} steps of {re.Length}.", nameof(steps));
        }

        if (re.Length == 0)
        {
            return;
        }

        steps[0] = Step(re[0], im[0], previous.Real, previous.Imaginary) * scale;
        ref var r = ref MemoryMarshal.GetReference(re);
        ref var m = ref MemoryMarshal.GetReference(im);
        ref var y = ref MemoryMarshal.GetReference(steps);
        nuint i = 1;
        for (; i + 4 <= (nuint)re.Length; i += 4)
        {
            Vector256<double> a = Vector256.LoadUnsafe(ref r, i), b = Vector256.LoadUnsafe(ref m, i);
            Vector256<double> c = Vector256.LoadUnsafe(ref r, i - 1), d = Vector256.LoadUnsafe(ref m, i - 1);
            Vector256<double> along = (a * c) + (b * d), across = (b * c) - (a * d);
            if (Vector256.LessThanAll(Vector256.Abs(across), along * Short))
            {
                (Series(across / along) * scale).StoreUnsafe(ref y, i);
                continue;
            }

            // Rare: a phasor that turns far, in a dropout or where there is no tone.
            for (var k = 0; k < 4; k++)
            {
                steps[(int)i + k] = Angle(along[k], across[k]) * scale;
            }
        }

        for (; i < (nuint)re.Length; i++)
        {
            steps[(int)i] = Step(re[(int)i], im[(int)i], re[(int)i - 1], im[(int)i - 1]) * scale;
        }
    }

    private static double Step(double re, double im, double previousRe, double previousIm) =>
        Angle((re * previousRe) + (im * previousIm), (im * previousRe) - (re * previousIm));

    private static double Angle(double along, double across) =>
        Math.Abs(across) < Short * along ? Series(Vector256.CreateScalar(across / along))[0] : Math.Atan2(across, along);

    // atan x = x − x³/3 + x⁵/5 − …
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Series(Vector256<double> x)
    {
        var s = x * x;
        var p = Vector256.Create(1.0 / 13) - (s * (1.0 / 15));
        p = Vector256.Create(1.0 / 11) - (s * p);
        p = Vector256.Create(1.0 / 9) - (s * p);
        p = Vector256.Create(1.0 / 7) - (s * p);
        p = Vector256.Create(1.0 / 5) - (s * p);
        p = Vector256.Create(1.0 / 3) - (s * p);
        return x * (Vector256<double>.One - (s * p));
    }
}
