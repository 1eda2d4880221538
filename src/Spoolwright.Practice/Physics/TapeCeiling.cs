using System.Numerics;

namespace Spoolwright.Practice.Physics;

/// <summary>How the coating saturates: x/√(1 + x²), x being the field against the ceiling. Its cubic part makes the third harmonic grow
/// with the square of the level.</summary>
internal static class TapeCeiling
{
    private const int Points = 512;

    /// <summary>Field, against the ceiling, at which the third harmonic is 3 % of the fundamental.</summary>
    public static double FieldAtThreePercent { get; } = Solve(0.03);

    /// <summary>Bends samples in place.</summary>
    public static void Bend(Span<float> samples, float ceiling)
    {
        var inverse = new Vector<float>(1 / (ceiling * ceiling));
        var i = 0;
        for (; i <= samples.Length - Vector<float>.Count; i += Vector<float>.Count)
        {
            var x = new Vector<float>(samples[i..]);
            (x / Vector.SquareRoot(Vector<float>.One + (x * x * inverse))).CopyTo(samples[i..]);
        }

        for (; i < samples.Length; i++)
            samples[i] /= MathF.Sqrt(1 + (samples[i] * samples[i] * (1 / (ceiling * ceiling))));
    }

    /// <summary>Peak amplitude of one odd harmonic of a sine with a peak of so many ceilings, sign in it; in ceilings.</summary>
    public static double Harmonic(double field, int number)
    {
        var sum = 0.0;
        for (var i = 0; i < Points; i++)
        {
            var angle = (i + 0.5) * Math.PI / (2 * Points);
            var x = field * Math.Sin(angle);
            sum += x / Math.Sqrt(1 + (x * x)) * Math.Sin(number * angle);
        }

        return 2 * sum / Points;
    }

    private static double Solve(double share)
    {
        var (low, high) = (0.0, 10.0);
        for (var i = 0; i < 60; i++)
        {
            var middle = 0.5 * (low + high);
            if (Math.Abs(Harmonic(middle, 3)) < share * Harmonic(middle, 1))
                low = middle;
            else
                high = middle;
        }

        return low;
    }
}
