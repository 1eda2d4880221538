using System.Numerics;

namespace Spoolwright.Practice.Waves;

/// <summary>Sines of phases counted in turns, many at a time. The error is a few roundings of a double, beside that of the phase
/// itself.</summary>
internal static class TurnSine
{
    // Series of sin(2πy) about 0 for |y| up to a quarter turn; the first term left out is below 2e-16.
    private static readonly double[] Series = MakeSeries(10);

    /// <summary>Adds amplitude·sin(2π·turns) to the target, element by element.</summary>
    public static void AddScaled(ReadOnlySpan<double> turns, ReadOnlySpan<double> amplitude, Span<double> target)
    {
        var i = 0;
        for (; i <= target.Length - Vector<double>.Count; i += Vector<double>.Count)
        {
            var sine = Sine(new Vector<double>(turns[i..]));
            (new Vector<double>(target[i..]) + (sine * new Vector<double>(amplitude[i..]))).CopyTo(target[i..]);
        }

        for (; i < target.Length; i++)
            target[i] += amplitude[i] * Math.Sin(2 * Math.PI * (turns[i] - Math.Round(turns[i])));
    }

    /// <summary>sin(2π·turns) of every lane.</summary>
    public static Vector<double> Sine(Vector<double> turns)
    {
        var quarter = new Vector<double>(0.25);
        var x = turns - Vector.Round(turns);
        var size = Vector.Abs(x);
        var folded = Vector.ConditionalSelect(Vector.GreaterThan(size, quarter), new Vector<double>(0.5) - size, size);
        var y = Vector.CopySign(folded, x);
        var square = y * y;
        var sum = new Vector<double>(Series[^1]);
        for (var k = Series.Length - 2; k >= 0; k--)
            sum = Vector.FusedMultiplyAdd(sum, square, new Vector<double>(Series[k]));
        return sum * y;
    }

    private static double[] MakeSeries(int terms)
    {
        var series = new double[terms];
        var term = 2 * Math.PI;
        for (var k = 0; k < terms; k++)
        {
            series[k] = term;
            term *= -4 * Math.PI * Math.PI / (((2 * k) + 2) * ((2 * k) + 3));
        }

        return series;
    }
}
