namespace Spoolwright.Practice.Waves;

/// <summary>
/// A seeded stream of random numbers. Every fault and every noise of the practice deck draws from a stream of its own,
/// derived from the seed and the fault's name, so that turning one fault up does not reshuffle the others.
/// </summary>
internal sealed class NoiseStream
{
    private static readonly double[] Edge = new double[Layers + 1];
    private static readonly double[] Height = new double[Layers + 1];
    private const int Layers = 256;

    // Where the tail of the bell starts when it is cut into 256 layers of equal area, and that area. Both follow from the layer count
    // alone.
    private const double TailStart = 3.6541528853610088;
    private const double LayerArea = 0.00492867323399;

    private ulong _a;
    private ulong _b;
    private ulong _c;
    private ulong _d;

    static NoiseStream()
    {
        Edge[0] = LayerArea / Bell(TailStart);
        Edge[1] = TailStart;
        for (var i = 2; i < Layers; i++)
            Edge[i] = Math.Sqrt(-2 * Math.Log((LayerArea / Edge[i - 1]) + Bell(Edge[i - 1])));
        Edge[Layers] = 0;
        for (var i = 0; i <= Layers; i++)
            Height[i] = Bell(Edge[i]);
    }

    /// <summary>A stream for one purpose under a seed.</summary>
    /// <param name="seed">Any number; equal seeds and purposes give equal streams.</param>
    /// <param name="purpose">What the numbers are for.</param>
    public NoiseStream(long seed, string purpose)
    {
        var state = unchecked((ulong)seed * 0x9E3779B97F4A7C15UL) ^ Digest(purpose);
        _a = Stir(ref state);
        _b = Stir(ref state);
        _c = Stir(ref state);
        _d = Stir(ref state);
    }

    /// <summary>The next number, evenly spread over 0 (in) to 1 (out).</summary>
    public double NextUniform() => (Next() >> 11) * (1.0 / (1UL << 53));

    /// <summary>The next number, evenly spread between two bounds.</summary>
    public double NextBetween(double from, double to) => from + ((to - from) * NextUniform());

    /// <summary>The next normally distributed number, mean 0, variance 1.</summary>
    public double NextGaussian()
    {
        while (true)
        {
            var bits = Next();
            var layer = (int)(bits & (Layers - 1));
            var x = ((long)bits >> 11) * (1.0 / (1UL << 52)) * Edge[layer];
            if (Math.Abs(x) < Edge[layer + 1])
                return x;
            if (layer == 0)
                return Math.CopySign(Tail(), x);
            if (Height[layer] + (NextUniform() * (Height[layer + 1] - Height[layer])) < Bell(x))
                return x;
        }
    }

    private double Tail()
    {
        while (true)
        {
            var beyond = -Math.Log(1 - NextUniform()) / TailStart;
            var y = -Math.Log(1 - NextUniform());
            if (y + y > beyond * beyond)
                return TailStart + beyond;
        }
    }

    private static double Bell(double x) => Math.Exp(-0.5 * x * x);

    private ulong Next()
    {
        var result = ulong.RotateLeft(_a + _d, 23) + _a;
        var t = _b << 17;
        _c ^= _a;
        _d ^= _b;
        _b ^= _c;
        _a ^= _d;
        _c ^= t;
        _d = ulong.RotateLeft(_d, 45);
        return result;
    }

    private static ulong Digest(string text)
    {
        var hash = 14695981039346656037UL;
        foreach (var c in text)
            hash = unchecked((hash ^ c) * 1099511628211UL);
        return hash;
    }

    private static ulong Stir(ref ulong state)
    {
        state = unchecked(state + 0x9E3779B97F4A7C15UL);
        var z = state;
        z = unchecked((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL);
        z = unchecked((z ^ (z >> 27)) * 0x94D049BB133111EBUL);
        return z ^ (z >> 31);
    }
}
