namespace Spoolwright.Signal.Levels;

/// <summary>What of a capture is steady noise: not its clicks, nor what lies before the tape starts and after it stops.</summary>
/// <param name="Keep">Per step, whether it counts.</param>
/// <param name="Clicks">Short bursts left out.</param>
/// <param name="FirstClickStep">Step of the first of them.</param>
/// <param name="OtherLevelSteps">Steps left out because the noise stood at another level.</param>
/// <param name="OtherLevelDb">How far that level lay from the one that counted, dB.</param>
/// <param name="FirstOtherStep">Step of the first of them.</param>
/// <param name="SpreadDb">From the 5th to the 95th percentile of the level over one second, where it counted, dB.</param>
/// <param name="IsUsable">False where too little is steady: then all of it counts.</param>
public sealed record Steadiness(
    bool[] Keep,
    int Clicks,
    int FirstClickStep,
    int OtherLevelSteps,
    double OtherLevelDb,
    int FirstOtherStep,
    double SpreadDb,
    bool IsUsable
)
{
    private const double ChangeDb = 3;
    private const double ClickDb = 3;
    private const double LeastShare = 0.5;
    private const int Half = 10; // steps on either side of a median over a second
    private const int Leave = 2; // steps left out on either side of a click

    /// <summary>Looks at a channel's powers, one a step.</summary>
    public static Steadiness Of(IReadOnlyList<float> steps)
    {
        ArgumentNullException.ThrowIfNull(steps);
        var n = steps.Count;
        var keep = Enumerable.Repeat(true, n).ToArray();
        if (n < (2 * Half) + 1)
        {
            return new Steadiness(keep, 0, 0, 0, 0, 0, 0, true);
        }

        var db = steps.Select(p => 10 * Math.Log10(Math.Max(p, 1e-20))).ToArray();
        var slow = new double[n];
        var around = new double[(2 * Half) + 1];
        for (var i = 0; i < n; i++)
        {
            var from = Math.Clamp(i - Half, 0, n - around.Length);
            db.AsSpan(from, around.Length).CopyTo(around);
            Array.Sort(around);
            slow[i] = around[Half];
        }

        // The level that most of the capture has: the middle of the fullest stretch of 3 dB.
        var sorted = slow.Order().ToArray();
        int best = 0, low = 0, bestLow = 0;
        for (var high = 0; high < n; high++)
        {
            while (sorted[high] - sorted[low] > ChangeDb)
            {
                low++;
            }

            if (high - low > best)
            {
                (best, bestLow) = (high - low, low);
            }
        }

        var level = sorted[bestLow + (best / 2)];
        var scatter = Median(db.Select((x, i) => Math.Abs(x - slow[i]))) * 1.4826;
        int other = 0, firstOther = -1;
        double otherSum = 0;
        for (var i = 0; i < n; i++)
        {
            if (Math.Abs(slow[i] - level) > ChangeDb)
            {
                keep[i] = false;
                other++;
                otherSum += slow[i] - level;
                firstOther = firstOther < 0 ? i : firstOther;
            }
        }

        int clicks = 0, firstClick = -1, last = -10;
        for (var i = 0; i < n; i++)
        {
            // Noise of few degrees of freedom scatters; a click stands out of its scatter, and by 3 dB.
            if (Math.Abs(slow[i] - level) <= ChangeDb && db[i] - slow[i] > Math.Max(ClickDb, 6 * scatter))
            {
                clicks += i - last > Leave ? 1 : 0;
                firstClick = firstClick < 0 ? i : firstClick;
                last = i;
                for (var k = Math.Max(0, i - Leave); k <= Math.Min(n - 1, i + Leave); k++)
                {
                    keep[k] = false;
                }
            }
        }

        var spread = Spread([.. slow.Where((_, i) => keep[i])]);
        var kept = keep.Count(k => k);
        var usable = kept >= LeastShare * n && kept * NoiseMeter.StepSeconds >= 2;
        return new Steadiness(keep, clicks, firstClick, other, other > 0 ? otherSum / other : 0, firstOther, spread, usable);
    }

    private static double Spread(double[] values)
    {
        if (values.Length < 20)
        {
            return 0;
        }

        Array.Sort(values);
        return values[(int)(0.95 * (values.Length - 1))] - values[(int)(0.05 * (values.Length - 1))];
    }

    private static double Median(IEnumerable<double> values)
    {
        var sorted = values.Order().ToArray();
        return sorted[sorted.Length / 2];
    }
}
