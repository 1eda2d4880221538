using Spoolwright.Signal.Markers;

namespace Spoolwright.Signal.Tests.Markers;

/// <summary>What a made-up deck does to a marker.</summary>
internal sealed record MarkerDeck
{
    public int RateHz { get; init; } = 48000;

    public double Speed { get; init; } = 1;

    /// <summary>Rms of the speed's movement, spread over 0.5 to 100 Hz.</summary>
    public double Flutter { get; init; }

    /// <summary>Noise in 20 kHz against the sweeps' level, dB.</summary>
    public double NoiseDb { get; init; } = -200;

    public double LevelDb { get; init; } = -20;

    /// <summary>A low-pass of two poles there, Hz; 0: none.</summary>
    public double FallsAboveHz { get; init; }

    public bool DeadLeft { get; init; }

    public bool DeadRight { get; init; }

    public bool Swapped { get; init; }

    public bool Backwards { get; init; }

    public bool Summed { get; init; }
}

/// <summary>A marker as a deck plays it, by plain evaluation at displaced times; seeded.</summary>
internal static class MarkerSound
{
    /// <summary>Sound of that length, the marker begins at <paramref name="start"/> s (backwards: that is where its end stands).</summary>
    public static (float[] Left, float[] Right, double TrueMiddle) Make(
        int program,
        int variant,
        double start,
        double seconds,
        MarkerDeck deck,
        int seed = 1
    )
    {
        var random = new Random(seed);
        var sweeps = MarkerCode.Encode(program, variant);
        var n = (int)(seconds * deck.RateHz);
        float[] left = new float[n],
            right = new float[n];
        var lines = Enumerable
            .Range(0, 12)
            .Select(i => (Hz: 0.5 * Math.Pow(200, i / 11.0), P: random.NextDouble() * 2 * Math.PI))
            .ToArray();
        var each = deck.Flutter * Math.Sqrt(2.0 / lines.Length);
        double Displaced(double t) => lines.Sum(l => each / (2 * Math.PI * l.Hz) * Math.Sin((2 * Math.PI * l.Hz * t) + l.P));
        double Program(double t) => (t - start + Displaced(t) - Displaced(start)) * deck.Speed;
        var amplitude = Math.Pow(10, deck.LevelDb / 20);
        double there = 0, step = 0;
        for (var i = 0; i < n; i++)
        {
            // Between every sixteenth sample the tape runs evenly.
            if (i % 16 == 0)
            {
                there = Program(i / (double)deck.RateHz);
                step = (Program((i + 16) / (double)deck.RateHz) - there) / 16;
            }

            var p = there + (step * (i % 16));
            if (deck.Backwards)
            {
                p = MarkerSweep.MarkerSeconds - p;
            }

            left[i] = (float)(amplitude * MarkerSweep.MarkerValue(p, sweeps, false));
            right[i] = (float)(amplitude * MarkerSweep.MarkerValue(p, sweeps, true));
        }

        if (deck.FallsAboveHz > 0)
        {
            LowPass(left, deck);
            LowPass(right, deck);
        }

        var noise = amplitude * Math.Pow(10, deck.NoiseDb / 20) / Math.Sqrt(2) * Math.Sqrt(deck.RateHz / 40000.0);
        for (var i = 0; i < n; i++)
        {
            var (a, b) = (deck.DeadLeft ? 0 : left[i], deck.DeadRight ? 0 : right[i]);
            (a, b) = deck.Summed ? ((a + b) / 2, (a + b) / 2) : deck.Swapped ? (b, a) : (a, b);
            left[i] = (float)(a + (noise * Normal(random)));
            right[i] = (float)(b + (noise * Normal(random)));
        }

        // The instant at which the marker's middle passes.
        double low = start, high = start + (1.2 * MarkerSweep.MarkerSeconds);
        for (var round = 0; round < 60; round++)
        {
            var middle = (low + high) / 2;
            (low, high) = Program(middle) < MarkerSweep.MarkerSeconds / 2 ? (middle, high) : (low, middle);
        }

        return (left, right, low);
    }

    public static IReadOnlyList<FoundMarker> Search(float[] left, float[] right, int rate, int block = 10_007)
    {
        var search = new MarkerSearch(rate, 2);
        for (var at = 0; at < left.Length; at += block)
        {
            var take = Math.Min(block, left.Length - at);
            search.Add(left.AsSpan(at, take), right.AsSpan(at, take));
        }

        return search.Finish();
    }

    public static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static void LowPass(float[] x, MarkerDeck deck)
    {
        var pole = Math.Exp(-2 * Math.PI * deck.FallsAboveHz / deck.RateHz);
        double a = 0, b = 0;
        for (var i = 0; i < x.Length; i++)
        {
            a = (pole * a) + ((1 - pole) * x[i]);
            b = (pole * b) + ((1 - pole) * a);
            x[i] = (float)b;
        }
    }
}
