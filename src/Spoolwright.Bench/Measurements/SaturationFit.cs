using Spoolwright.Bench.Instruments;

namespace Spoolwright.Bench.Measurements;

/// <summary>The highest output level that a tone reaches while its input goes on rising.</summary>
/// <param name="LevelDb">That level, dB re full scale.</param>
/// <param name="NoiseDb">Uncertainty by the scatter about the curve, k = 2, dB.</param>
/// <param name="MethodDb">Uncertainty by the curve chosen, k = 2, dB.</param>
/// <param name="Slope">dB of output that the last dB of input before it brought, against one at low level.</param>
/// <param name="Falls">Whether the output falls again after it.</param>
internal readonly record struct SaturationFit(double LevelDb, double NoiseDb, double MethodDb, double Slope, bool Falls)
{
    // A part that is linear moves by more.
    private const double LeastLinearDb = 1;
    internal const double ReachedSlope = 0.15;

    // A round top has lost 0.15 to 0.2 dB one dB of input before it (computed: a cube's); the kink where a ramp merely turns has lost it
    // all.
    private const double RoundTopSlope = 0.3;

    // A curve of sixth degree over 1 dB lies within 0.00014 dB of a smooth top (computed: a cube's, the sharpest of eight laws). Nothing is
    // beyond that: a rectangle of this half width, here with k = 2.
    private static readonly double RampMethodDb = 2 * 0.00014 / Math.Sqrt(3);

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
    /// <param name="all">Middle in s, level in dB and length in s of pieces in time, all of the same length.</param>
    /// <param name="pieces">What the pieces have in common.</param>
    /// <param name="input">Which way the level went, or null where that cannot be seen.</param>
    /// <param name="why">Where there is no fit: the reason, and what to do.</param>
    /// <returns>Null where the levels show no input.</returns>
    public static SaturationFit? Of(
        IReadOnlyList<(double Seconds, double LevelDb, double Length)> all,
        WanderingLevel.Pieces pieces,
        out SaturationInput? input,
        out string why)
    {
        input = SaturationInput.Of(all, out why);
        if (input is null)
        {
            return null;
        }

        var (points, side, linear) = (input.Points, input.Side, input.Linear);

        // One wide step may be all that is linear: in time it says nothing, all of the rise does.
        if (SaturationSteps.Of(points, side, linear, LineSlope(side)) is { } steps)
        {
            return steps.Top(pieces);
        }

        var rate = LineSlope(linear);
        if (Math.Abs(rate) * (linear[^1].Seconds - linear[0].Seconds) < LeastLinearDb)
        {
            why = FormattableString.Invariant(
                $"the level stands between {linear.Min(p => p.LevelDb):0.0} and {linear.Max(p => p.LevelDb):0.0} dBFS from {linear[0].Seconds:0.0} to {linear[^1].Seconds:0.0} s, and jumps from there: it runs neither evenly nor in even steps. Let it rise slowly, or in steps of one size and length.");
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
        return new SaturationFit(highest, noise, Bounded(noise, found.OpenDb, open), last, falls);
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

    /// <summary>
    /// What to add to the noise, root of the sum of squares, so that both hold 95 of 100: no law goes beyond a bound, and a sum in which
    /// such a part leads is narrower than twice its deviation.
    /// </summary>
    /// <param name="noise">By noise, k = 2, dB.</param>
    /// <param name="open">Open beside it, as of a normal law, k = 2, dB.</param>
    /// <param name="bounded">Two standard deviations of what has a bound, dB.</param>
    public static double Bounded(double noise, double open, double bounded)
    {
        double normal = ((noise * noise) + (open * open)) / 4, rectangle = bounded * bounded / 4;
        var half = Confidence.FactorWithRectangle(normal, rectangle) * Math.Sqrt(normal + rectangle);
        return Math.Sqrt(Math.Max(0, (half * half) - (noise * noise)));
    }

    private static double LineSlope((double Seconds, double LevelDb, double Length)[] points)
    {
        double x = points.Average(p => p.Seconds), y = points.Average(p => p.LevelDb);
        var spread = points.Sum(p => (p.Seconds - x) * (p.Seconds - x));
        return spread > 0 ? points.Sum(p => (p.Seconds - x) * (p.LevelDb - y)) / spread : 0;
    }
}
