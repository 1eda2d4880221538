namespace Spoolwright.Signal.Levels;

/// <summary>A level held in steps: the plateaus, and the top that three of them in a row allow.</summary>
internal static class LevelSteps
{
    private const int Block = 5; // a quarter of a second
    private const int LeastBlocks = 3;
    private const double Penalty = 14;

    /// <summary>Cuts the course into plateaus: the partition that costs least, each cut paying for itself.</summary>
    public static IReadOnlyList<(int From, int To, double LevelDb)> Cut(IReadOnlyList<double> level, double variance)
    {
        var blocks = level.Count / Block;
        double[] sum = new double[blocks + 1], square = new double[blocks + 1];
        for (var b = 0; b < blocks; b++)
        {
            double mean = 0;
            for (var i = 0; i < Block; i++)
            {
                mean += level[(b * Block) + i] / Block;
            }

            sum[b + 1] = sum[b] + mean;
            square[b + 1] = square[b] + (mean * mean);
        }

        var cost = new double[blocks + 1];
        var cut = new int[blocks + 1];
        for (var end = 1; end <= blocks; end++)
        {
            cost[end] = double.PositiveInfinity;
            for (var start = Math.Max(0, end - 2400); start <= end - 1; start++)
            {
                var n = end - start;
                var misfit = square[end] - square[start] - ((sum[end] - sum[start]) * (sum[end] - sum[start]) / n);
                var total = cost[start] + (misfit * Block / variance) + (n < LeastBlocks ? 1.5 : 1) * Penalty;
                if (total < cost[end])
                {
                    (cost[end], cut[end]) = (total, start);
                }
            }
        }

        var plateaus = new List<(int, int, double)>();
        for (var end = blocks; end > 0; end = cut[end])
        {
            plateaus.Add((cut[end] * Block, end * Block, (sum[end] - sum[cut[end]]) / (end - cut[end])));
        }

        plateaus.Reverse();
        return plateaus;
    }

    /// <summary>A parabola through the highest plateau and its neighbours, the steps of the control taken as equal; null where there are
    /// none such.</summary>
    public static LevelPeak? Peak(IReadOnlyList<double> level, int highest, LevelNoise noise)
    {
        var plateaus = Cut(level, noise.Fast).Where(p => p.To - p.From >= LeastBlocks * Block).ToArray();
        var top = Array.FindIndex(plateaus, p => highest >= p.From && highest < p.To);
        if (top < 0)
        {
            return null;
        }

        // The highest of the plateaus here, which noise on the course may have missed by one.
        top = Enumerable.Range(Math.Max(0, top - 1), 3).Where(i => i < plateaus.Length).MaxBy(i => plateaus[i].LevelDb);
        if (top < 1 || top > plateaus.Length - 2)
        {
            return null;
        }

        double a = plateaus[top - 1].LevelDb, b = plateaus[top].LevelDb, c = plateaus[top + 1].LevelDb;
        var bend = a - (2 * b) + c;
        if (bend >= 0)
        {
            return null;
        }

        var at = 0.5 * (a - c) / bend;
        double Sigma(int i) => noise.Over(plateaus[i].To - plateaus[i].From) / Math.Max(1, plateaus[i].To - plateaus[i].From);
        var spread = 2 * Math.Sqrt(Sigma(top) + (at * at * 0.25 * (Sigma(top - 1) + Sigma(top + 1))));
        var value = b - (0.25 * (a - c) * at);

        // The peak lies at the plateau or above; how far, hangs on steps nobody measured.
        return new LevelPeak(
            value,
            spread,
            Math.Max(value - b, 0.1 * Math.Min(b - a, b - c)),
            (plateaus[top].From + plateaus[top].To - 1) / 2.0,
            true
        );
    }
}
