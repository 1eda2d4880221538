using Spoolwright.Signal.Levels;

namespace Spoolwright.Signal.Tones;

/// <summary>Says which outputs of a stretch are the tone: not its dropouts, nor what lies before its beginning and after its end.</summary>
internal static class ToneSpan
{
    // So many at once tell a dropout still; noise that is louder hides them all.
    private const int MostOutputs = 15;

    /// <summary>Marks the outputs to be counted.</summary>
    /// <param name="left">The left or only channel.</param>
    /// <param name="right">The right channel.</param>
    /// <param name="kept">How many are marked.</param>
    public static bool[] Keep(BasebandRecord left, BasebandRecord? right, out int kept)
    {
        var n = left.Count;
        double[] l = Quiet(left.Magnitudes()), r = right is null ? [] : Quiet(right.Magnitudes());
        double middleLeft = Median(l), middleRight = right is null ? 0 : Median(r);
        var keep = new bool[n];

        // The weaker channel has a say if it holds the tone too: noise alone falls to half its middle one time in
        // six, and rises to one and a half of it one time in five.
        bool useLeft = middleLeft >= middleRight || Steady(l, middleLeft),
            useRight = right is not null && (middleRight > middleLeft || Steady(r, middleRight));
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
        magnitudes.Count(m => m <= 0.5 * middle) < 0.08 * magnitudes.Length
        && magnitudes.Count(m => m >= 1.5 * middle) < 0.08 * magnitudes.Length;

    // Noise beside a faint tone takes single outputs under half its middle, and a level of what is left would lie too high (by a tenth of a
    // decibel at 12 dB over the noise in the band). There means of as many outputs are looked at as bring the noise 4.5 standard deviations
    // clear of half.
    private static double[] Quiet(double[] magnitudes)
    {
        const double NormalMiddle = 0.6745 * 1.4142; // of the absolute difference of two normal values
        var middle = Median(magnitudes);
        if (magnitudes.Length < 4 * ToneStatistics.Lag || !(middle > 0))
        {
            return magnitudes;
        }

        var apart = magnitudes.Skip(ToneStatistics.Lag).Zip(magnitudes, (later, earlier) => Math.Abs(later - earlier)).ToArray();
        var wanted = Math.Pow(4.5 * Median(apart) / NormalMiddle / (0.5 * middle), 2);
        return wanted <= 1 ? magnitudes : LevelPeak.Smooth(magnitudes, (int)Math.Ceiling((Math.Min(wanted, MostOutputs) - 1) / 2));
    }

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
