namespace Spoolwright.Signal.Tones;

/// <summary>Says which outputs of a stretch are the tone: not its dropouts, nor what lies before its beginning and after its end.</summary>
internal static class ToneSpan
{
    /// <summary>Marks the outputs to be counted.</summary>
    /// <param name="left">The left or only channel.</param>
    /// <param name="right">The right channel.</param>
    /// <param name="kept">How many are marked.</param>
    public static bool[] Keep(BasebandRecord left, BasebandRecord? right, out int kept)
    {
        var n = left.Count;
        double[] l = left.Magnitudes(), r = right?.Magnitudes() ?? [];
        double middleLeft = Median(l), middleRight = right is null ? 0 : Median(r);
        var keep = new bool[n];

        // The weaker channel has a say if it holds the tone too: noise alone falls to half its middle one time in
        // six, and rises to one and a half of it one time in five.
        bool useLeft = middleLeft >= middleRight || Steady(l, middleLeft), useRight = right is not null && (middleRight > middleLeft || Steady(r, middleRight));
        for (var i = 0; i < n; i++)
        {
            keep[i] = (!useLeft || l[i] > 0.5 * middleLeft) && (!useRight || r[i] > 0.5 * middleRight);
        }

        // A filter's flank stands on both sides of every edge.
        Widen(keep, 4);
        kept = keep.Count(k => k);
        return keep;
    }

    private static bool Steady(double[] magnitudes, double middle) =>
        magnitudes.Count(m => m <= 0.5 * middle) < 0.08 * magnitudes.Length && magnitudes.Count(m => m >= 1.5 * middle) < 0.08 * magnitudes.Length;

    private static void Widen(bool[] keep, int by)
    {
        var was = (bool[])keep.Clone();
        for (var i = 0; i < was.Length; i++)
        {
            if (!was[i])
            {
                for (var k = Math.Max(0, i - by); k <= Math.Min(was.Length - 1, i + by); k++)
                {
                    keep[k] = false;
                }
            }
        }
    }

    private static double Median(double[] values)
    {
        var sorted = (double[])values.Clone();
        Array.Sort(sorted);
        return sorted.Length == 0 ? 0 : sorted[sorted.Length / 2];
    }
}
