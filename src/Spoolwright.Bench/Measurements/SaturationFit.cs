namespace Spoolwright.Bench.Measurements;

/// <summary>The highest output level that a tone reaches while its input goes on rising.</summary>
/// <param name="LevelDb">That level, dB re full scale.</param>
/// <param name="NoiseDb">Uncertainty by the scatter about the curve, k = 2, dB.</param>
/// <param name="MethodDb">Uncertainty by the curve chosen, k = 2, dB.</param>
/// <param name="Slope">dB of output that the last dB of input before it brought, against one at low level.</param>
/// <param name="Falls">Whether the output falls again after it.</param>
internal readonly record struct SaturationFit(double LevelDb, double NoiseDb, double MethodDb, double Slope, bool Falls)
{
    private const double LinearDownDb = 8;
    private const double ReachedSlope = 0.15;

    // A round top has lost 0.15 to 0.2 dB one dB of input before it (computed: a cube's); the kink where a ramp merely turns has lost it
    // all.
    private const double RoundTopSlope = 0.3;

    // A curve of sixth degree over 1 dB lies within 0.0001 dB of a smooth top (computed: a cube's, the sharpest of eight laws), k = 2.
    private const double RampMethodDb = 0.0003;

    // Noise makes the ratio of two small rises anything; no tape's falls so slowly where the last decibel brings so little.
    internal const double SlowestRatio = 0.85;

    // A fall of less after the top is none.
    internal const double ClearFallDb = 0.02;

    private const int EndPieces = 5;

    // It stands out of the noise of both levels by two standard deviations: so many times the top's own, k = 2.
    internal const double ClearlyBelow = 1.5;

    /// <summary>Whether the top was reached: the last dB of input brought hardly any output.</summary>
    public bool Reached => Slope < (Falls ? RoundTopSlope : ReachedSlope);

    /// <summary>Fits the top of a ramp (or of steps of equal size and length).</summary>
    /// <param name="points">Middle in s, level in dB and length in s of pieces in time, all of the same length.</param>
    /// <param name="pieces">What the pieces have in common.</param>
    /// <returns>Null where the levels hold no rise of 10 dB and more to reckon the input from.</returns>
    public static SaturationFit? Of(IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, WanderingLevel.Pieces pieces)
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

        // One wide step may be all that is linear: in time it says nothing, all of the rise does.
        if (SaturationSteps.Of(points, side, linear, LineSlope(side)) is { } steps)
        {
            return steps.Top(pieces);
        }

        var rate = LineSlope(linear);
        if (rate == 0)
        {
            return null;
        }

        var (near, found) = SaturationRamp.Top(points, rate, pieces);
        var (level, at, noise) = (found.LevelDb, found.At, found.NoiseDb);
        double There(double back)
        {
            var seconds = at - (back / rate);
            var then = side.OrderBy(p => Math.Abs(p.Seconds - seconds)).Take(2).ToArray();
            return then.Length == 2 && then[0].Seconds != then[1].Seconds
                ? then[0].LevelDb
                    + ((seconds - then[0].Seconds) * (then[1].LevelDb - then[0].LevelDb) / (then[1].Seconds - then[0].Seconds))
                : then[0].LevelDb;
        }

        var last = Math.Max(0, level - There(1));

        // Where the level played ends near the top, noise alone bends a curve down at its end.
        var end = (rate > 0 ? points.TakeLast(EndPieces) : points.Take(EndPieces)).Average(p => p.LevelDb);
        var falls = at > near.From && at < near.To && level - end > ClearFallDb + (ClearlyBelow * double.Hypot(noise, found.OpenDb));
        var (highest, open) = falls ? (level, RampMethodDb) : Beyond(level, last, last, There(1) - There(2));
        return new SaturationFit(highest, noise, double.Hypot(open, found.OpenDb), last, falls);
    }

    /// <summary>
    /// Where the output still rises at the last level played: what lies beyond is anything between nothing, as of a tape that falls again,
    /// and a quarter more than what the last two rises go on to as a geometric series, for a smooth law's rises fall ever more slowly
    /// (x/√(1 + x²) goes to 1.1 of it). The middle of that, and its width as of a rectangular law.
    /// </summary>
    /// <param name="levelDb">Highest level found, dB.</param>
    /// <param name="last">What the last step of input brought, dB.</param>
    /// <param name="slope">dB of output that the last dB of input brought: where it is too much, nothing is added.</param>
    /// <param name="before">What an equal one before it brought, dB.</param>
    public static (double LevelDb, double OpenDb) Beyond(double levelDb, double last, double slope, double before)
    {
        if (slope >= ReachedSlope)
        {
            return (levelDb, 0);
        }

        var ratio = before > 0 ? Math.Clamp(last / before, 0, SlowestRatio) : SlowestRatio;
        var beyond = 1.25 * Math.Max(0, last) * ratio / (1 - ratio);
        return (levelDb + (beyond / 2), double.Hypot(beyond / Math.Sqrt(3), RampMethodDb));
    }

    private static double LineSlope((double Seconds, double LevelDb, double Length)[] points)
    {
        double x = points.Average(p => p.Seconds), y = points.Average(p => p.LevelDb);
        var spread = points.Sum(p => (p.Seconds - x) * (p.Seconds - x));
        return spread > 0 ? points.Sum(p => (p.Seconds - x) * (p.LevelDb - y)) / spread : 0;
    }
}
