namespace Spoolwright.Bench.Measurements;

/// <summary>The highest output level that a tone reaches while its input goes on rising, by a parabola through the top.</summary>
/// <param name="LevelDb">That level, dB re full scale.</param>
/// <param name="NoiseDb">Uncertainty by the scatter about the parabola, k = 2, dB.</param>
/// <param name="Slope">dB of output that the last dB of input before it brought, against one at low level.</param>
/// <param name="Falls">Whether the output falls again after it.</param>
internal readonly record struct SaturationFit(double LevelDb, double NoiseDb, double Slope, bool Falls)
{
    private const double TopDb = 0.3;
    private const double LinearDownDb = 8;
    private const double ReachedSlope = 0.15;

    // A round top has lost 0.15 to 0.2 dB one dB of input before it (computed: a cube's); the kink where a ramp merely turns has lost it all.
    private const double RoundTopSlope = 0.3;

    /// <summary>Whether the top was reached: the last dB of input brought hardly any output.</summary>
    public bool Reached => Slope < (Falls ? RoundTopSlope : ReachedSlope);

    /// <summary>Fits the top of a ramp (or of steps of equal size and length).</summary>
    /// <param name="points">Time in s and level in dB, in time.</param>
    /// <returns>Null where the levels hold no rise of 10 dB and more to reckon the input from.</returns>
    public static SaturationFit? Of(IReadOnlyList<(double Seconds, double LevelDb)> points)
    {
        if (points.Count < 6)
        {
            return null;
        }

        var top = Enumerable.Range(0, points.Count).MaxBy(i => points[i].LevelDb);

        // The input is not in the capture: where the tape is linear its level runs with time, at the rate the output shows there.
        var sides = new[] { points.Take(top).ToArray(), points.Skip(top + 1).ToArray() };
        var side = sides.MaxBy(s => s.Length == 0 ? 0 : points[top].LevelDb - s.Min(p => p.LevelDb))!;
        var linear = side.Where(p => p.LevelDb < points[top].LevelDb - LinearDownDb).ToArray();
        if (linear.Length < 3)
        {
            return null;
        }

        var rate = LineSlope(linear);
        if (rate == 0)
        {
            return null;
        }

        int from = top, to = top;
        while (from > 0 && points[from - 1].LevelDb > points[top].LevelDb - TopDb)
        {
            from--;
        }

        while (to < points.Count - 1 && points[to + 1].LevelDb > points[top].LevelDb - TopDb)
        {
            to++;
        }

        var near = points.Skip(from).Take(to - from + 1).ToArray();
        var (level, at, scatter, terms) = Top(near, points[top]);
        var before = at - (1 / rate);
        var then = side.OrderBy(p => Math.Abs(p.Seconds - before)).Take(2).ToArray();
        var there = then.Length == 2 && then[0].Seconds != then[1].Seconds
            ? then[0].LevelDb + ((before - then[0].Seconds) * (then[1].LevelDb - then[0].LevelDb) / (then[1].Seconds - then[0].Seconds))
            : then[0].LevelDb;
        // A parabola is known at its middle to 9/4 of a mean's variance, a line to 1.
        return new SaturationFit(level, 2 * scatter * Math.Sqrt((terms == 3 ? 2.25 : 1) / near.Length), Math.Max(0, level - there), at > near[0].Seconds && at < near[^1].Seconds);
    }

    private static double LineSlope((double Seconds, double LevelDb)[] points)
    {
        double x = points.Average(p => p.Seconds), y = points.Average(p => p.LevelDb);
        var spread = points.Sum(p => (p.Seconds - x) * (p.Seconds - x));
        return spread > 0 ? points.Sum(p => (p.Seconds - x) * (p.LevelDb - y)) / spread : 0;
    }

    private static (double Level, double At, double Scatter, int Terms) Top((double Seconds, double LevelDb)[] near, (double Seconds, double LevelDb) highest)
    {
        if (near.Length < 4)
        {
            return (highest.LevelDb, highest.Seconds, 0.05, 1);
        }

        double middle = near.Average(p => p.Seconds), width = Math.Max(near.Max(p => Math.Abs(p.Seconds - middle)), 1e-9);
        double s0 = near.Length, s1 = 0, s2 = 0, s3 = 0, s4 = 0, y0 = 0, y1 = 0, y2 = 0;
        foreach (var (seconds, db) in near)
        {
            double x = (seconds - middle) / width, y = db - highest.LevelDb;
            s1 += x;
            s2 += x * x;
            s3 += x * x * x;
            s4 += x * x * x * x;
            y0 += y;
            y1 += x * y;
            y2 += x * x * y;
        }

        double Det(double a, double b, double c, double d, double e, double f, double g, double h, double i) =>
            (a * ((e * i) - (f * h))) - (b * ((d * i) - (f * g))) + (c * ((d * h) - (e * g)));
        var whole = Det(s0, s1, s2, s1, s2, s3, s2, s3, s4);
        double c0 = Det(y0, s1, s2, y1, s2, s3, y2, s3, s4) / whole, c1 = Det(s0, y0, s2, s1, y1, s3, s2, y2, s4) / whole, c2 = Det(s0, s1, y0, s1, s2, y1, s2, s3, y2) / whole;
        double Curve(double x) => c0 + (c1 * x) + (c2 * x * x);
        var vertex = c2 < 0 ? Math.Clamp(-c1 / (2 * c2), -1, 1) : Curve(1) > Curve(-1) ? 1 : -1;
        var squares = near.Sum(p => Math.Pow(p.LevelDb - highest.LevelDb - Curve((p.Seconds - middle) / width), 2));
        return (highest.LevelDb + Curve(vertex), middle + (vertex * width), Math.Sqrt(squares / (near.Length - 3)), 3);
    }
}
