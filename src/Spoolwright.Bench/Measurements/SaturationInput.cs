namespace Spoolwright.Bench.Measurements;

/// <summary>
/// Which way the level was played that saturation is read from. The input is not in the capture: where the tape is linear its level
/// runs with time, at the rate the output shows there.
/// </summary>
/// <param name="Points">Middle in s, level in dB and length in s of the pieces that count, a fade left out.</param>
/// <param name="Top">Which of them is highest.</param>
/// <param name="Side">Those up to the top or from it on, wherever the input rises.</param>
/// <param name="Linear">Those of them far enough under the top to run with the input.</param>
/// <param name="Fade">From when to when the level faded, s; null: not at all.</param>
internal sealed record SaturationInput(
    IReadOnlyList<(double Seconds, double LevelDb, double Length)> Points,
    int Top,
    (double Seconds, double LevelDb, double Length)[] Side,
    (double Seconds, double LevelDb, double Length)[] Linear,
    (double From, double To)? Fade)
{
    private const double LinearDownDb = 8;
    private const int LeastPieces = 6;
    private const int LeastLinear = 3;

    // So much of the rise is asked for; a level that comes from so far down and goes there again may be either way.
    private const double BothWaysDb = 10;

    // A tape turns round: between 0.3 and 3 dB under its top the sharpest law, a cube, falls in 0.37 of the input that its rise took
    // [computed], and whole steps make at most a fifth of it. What goes off faster than this, and not in a jump, is the sound's own fade.
    private const double FadeDb = 3;
    private const double AtTopDb = 0.3;
    private const double FadeTimes = 6;
    private const int LeastFade = 3;

    /// <summary>Looks for it.</summary>
    /// <param name="points">Pieces in time, all of the same length.</param>
    /// <param name="why">Where there is none: one sentence with the reason, and one with what to do.</param>
    public static SaturationInput? Of(IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, out string why)
    {
        if (points.Count < LeastPieces)
        {
            why = FormattableString.Invariant(
                $"only {points.Count} pieces of the tone stand still enough to be read, {LeastPieces} are needed. Let the level rise more slowly, under 6 dB a second, or hold each step for half a second.");
            return null;
        }

        var (first, last) = (0, points.Count - 1);
        (double, double)? fade = null;
        var top = Highest(points, first, last);
        double before = Under(points, first, top), after = Under(points, top, last);
        if (Math.Min(before, after) >= FadeDb)
        {
            int rise = Takes(points, top, first), fall = Takes(points, top, last);
            if (fall >= LeastFade && fall * FadeTimes < rise)
            {
                fade = (points[top].Seconds, points[last].Seconds);
                last = top;
            }
            else if (rise >= LeastFade && rise * FadeTimes < fall)
            {
                fade = (points[first].Seconds, points[top].Seconds);
                first = top;
            }
        }

        (before, after) = (Under(points, first, top), Under(points, top, last));
        string Times(int from, int to) => FormattableString.Invariant($"{points[from].Seconds:0.0} to {points[to].Seconds:0.0} s");
        if (Math.Min(before, after) >= BothWaysDb)
        {
            why = FormattableString.Invariant(
                $"the level rises by {before:0.0} dB up to {points[top].Seconds:0.0} s and falls by {after:0.0} dB after it, so it does not show which way the input went. Cut the capture so that it holds one way only, or let the level rise once and stop.");
            return null;
        }

        var way = before >= after ? (From: first, To: top) : (From: top, To: last);
        var range = Math.Max(before, after);
        (double Seconds, double LevelDb, double Length)[] side =
            [.. points.Skip(way.From).Take(way.To - way.From + 1).Where((_, i) => way.From + i != top)];
        var linear = side.Where(p => p.LevelDb < points[top].LevelDb - LinearDownDb).ToArray();
        var left = fade is { } f ? FormattableString.Invariant($" (its fade from {f.Item1:0.0} to {f.Item2:0.0} s left out)") : "";
        if (range < BothWaysDb)
        {
            why = FormattableString.Invariant(
                $"the level moves by {range:0.0} dB only, from {Times(way.From, way.To)}{left}, and {BothWaysDb:0} dB are needed to see how the output runs with the input. Begin at a lower level, and record up to saturation.");
            return null;
        }

        if (linear.Length < LeastLinear)
        {
            why = FormattableString.Invariant(
                $"of {range:0.0} dB from {Times(way.From, way.To)}{left} only {linear.Length} pieces lie {LinearDownDb:0} dB and more under the top, {LeastLinear} are needed to see how the output runs with the input. Let the level rise more slowly there.");
            return null;
        }

        why = "";
        return new SaturationInput([.. points.Skip(first).Take(last - first + 1)], top - first, side, linear, fade);
    }

    private static int Highest(IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, int first, int last) =>
        Enumerable.Range(first, last - first + 1).MaxBy(i => points[i].LevelDb);

    private static double Under(IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, int from, int to) =>
        Enumerable.Range(from, to - from + 1).Max(i => points[i].LevelDb) - Enumerable.Range(from, to - from + 1).Min(i => points[i].LevelDb);

    // How many pieces the level takes between nearly the top and 3 dB under it, towards one end.
    private static int Takes(IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, int top, int end)
    {
        var (count, way) = (0, Math.Sign(end - top));
        for (var i = top; points[i].LevelDb > points[top].LevelDb - FadeDb; i += way)
        {
            count = points[i].LevelDb > points[top].LevelDb - AtTopDb ? 0 : count + 1;
        }

        return count;
    }
}
