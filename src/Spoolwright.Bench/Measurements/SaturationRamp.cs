namespace Spoolwright.Bench.Measurements;

/// <summary>The top of a level that rises evenly in time: a polynomial through the pieces near it, the pieces below it telling of the noise
/// too.</summary>
internal static class SaturationRamp
{
    // How far under the top the polynomial goes, dB. Where the program has a kink in there (the hand stops), less is tried.
    private static readonly double[] DownDb = [1, 0.5, 0.25];

    // Two degrees more that make so much of the squares left over are no chance: beyond it by chance in 4 of 1000 [computed: F at 2 and
    // 45].
    private const double Kinked = 6;

    // Stretches under the top tell of the noise down to here, dB: hiss weighs three times as much there.
    private const double NoiseDownDb = 10;
    private const int NoiseDegree = 5;

    // More pieces than this say no more.
    private const int MostPieces = 150;
    private const int Smoothed = 2;

    // Scatter taken for granted where hardly a piece stands at the top, dB.
    private const double FewPointsDb = 0.05;

    /// <summary>The top, and between which moments the curve was laid.</summary>
    /// <param name="points">Pieces in time.</param>
    /// <param name="rate">dB a second where the level runs with the input.</param>
    /// <param name="pieces">What the pieces have in common.</param>
    public static ((double From, double To) Near, SaturationTop Top) Top(
        IReadOnlyList<(double Seconds, double LevelDb, double Length)> points, double rate, WanderingLevel.Pieces pieces)
    {
        double[] seconds = [.. points.Select(p => p.Seconds)], level = [.. points.Select(p => p.LevelDb)];
        var smooth = Smooth(level);
        var (from, to) = Around(smooth, DownDb[0]);
        var join = (to - from + MostPieces) / MostPieces;
        if (join > 1)
        {
            (seconds, level, pieces) = (Joined(seconds, join), Joined(level, join), pieces.Joined(join));
            smooth = Smooth(level);
        }

        for (var i = 0; ; i++)
        {
            (from, to) = Around(smooth, DownDb[i]);
            var count = to - from + 1;
            var degree = count >= 13 ? 6 : count >= 9 ? 4 : 2;
            if (count < degree + 3)
            {
                var highest = Enumerable.Range(from, count).MaxBy(k => level[k]);
                return (
                    (seconds[from], seconds[to]),
                    new SaturationTop(level[highest], seconds[highest], 2 * FewPointsDb / Math.Sqrt(count), 0)
                );
            }

            var below = Below(seconds, level, smooth, rate > 0 ? (from, -1) : (to, 1), count, smooth.Max());
            var near = Stretch(seconds, level, smooth, from, to, degree);
            var answers = WanderingLevel.Of([near, .. below], pieces);
            if (
                i < DownDb.Length - 1
                && count >= degree + 6
                && IsKinked(WanderingLevel.Of([Stretch(seconds, level, smooth, from, to, degree + 2), .. below], pieces), answers)
            )
            {
                continue;
            }

            double[] Row(double at) =>
                Legendre((at - (0.5 * (seconds[from] + seconds[to]))) / (0.5 * (seconds[to] - seconds[from])), degree);
            return ((seconds[from], seconds[to]), SaturationTop.Of(answers, Row, seconds[from], seconds[to], 0.5 * pieces.Spread));
        }
    }

    private static bool IsKinked(IReadOnlyList<WanderingLevel.Answer> more, IReadOnlyList<WanderingLevel.Answer> own)
    {
        var best = Enumerable.Range(0, more.Count).MaxBy(i => more[i].Weight);
        return (own[best].Squares - more[best].Squares) / 2 > Kinked * more[best].Squares / more[best].Freedom;
    }

    private static WanderingLevel.Stretch Stretch(double[] seconds, double[] level, double[] smooth, int from, int to, int degree)
    {
        double[][] rows =
        [
            .. Enumerable
                .Range(from, to - from + 1)
                .Select(i =>
                    Legendre((seconds[i] - (0.5 * (seconds[from] + seconds[to]))) / (0.5 * (seconds[to] - seconds[from])), degree)
                ),
        ];
        var top = smooth.Max();
        return new WanderingLevel.Stretch(
            seconds[from..(to + 1)], level[from..(to + 1)], [.. smooth[from..(to + 1)].Select(s => s - top)],
            [.. Enumerable.Range(0, degree + 1).Select(k => rows.Select(r => r[k]).ToArray())]);
    }

    // Stretches as long as the one at the top, on the side where the level runs with the input; a piece between two is left out, for frames
    // overlap.
    private static List<WanderingLevel.Stretch> Below(
        double[] seconds,
        double[] level,
        double[] smooth,
        (int Edge, int Way) side,
        int count,
        double top
    )
    {
        var list = new List<WanderingLevel.Stretch>();
        bool Counts(int i) => i >= 0 && i < level.Length && smooth[i] > top - NoiseDownDb;
        for (var start = side.Edge + (2 * side.Way); Counts(start);)
        {
            var end = start;
            while (Counts(end + side.Way) && Math.Abs(end + side.Way - start) < count)
            {
                end += side.Way;
            }

            if (Math.Abs(end - start) + 1 >= (2 * NoiseDegree) + 2)
            {
                list.Add(Stretch(seconds, level, smooth, Math.Min(start, end), Math.Max(start, end), NoiseDegree));
            }

            start = end + (2 * side.Way);
        }

        return list;
    }

    private static (int From, int To) Around(double[] smooth, double down)
    {
        var top = Array.IndexOf(smooth, smooth.Max());
        int from = top, to = top;
        while (from > 0 && smooth[from - 1] > smooth[top] - down)
        {
            from--;
        }

        while (to < smooth.Length - 1 && smooth[to + 1] > smooth[top] - down)
        {
            to++;
        }

        return (from, to);
    }

    // So that no single piece's noise says where the curve begins and ends.
    private static double[] Smooth(double[] level) =>
        [
            .. Enumerable
                .Range(0, level.Length)
                .Select(i => level[Math.Max(0, i - Smoothed)..Math.Min(level.Length, i + Smoothed + 1)].Average()),
        ];

    private static double[] Joined(double[] values, int count) =>
        [.. Enumerable.Range(0, values.Length / count).Select(i => values[(i * count)..((i + 1) * count)].Average())];

    private static double[] Legendre(double x, int degree)
    {
        var row = new double[degree + 1];
        (row[0], row[1]) = (1, x);
        for (var k = 2; k <= degree; k++)
        {
            row[k] = ((((2 * k) - 1) * x * row[k - 1]) - ((k - 1) * row[k - 2])) / k;
        }

        return row;
    }
}
