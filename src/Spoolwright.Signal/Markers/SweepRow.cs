namespace Spoolwright.Signal.Markers;

/// <summary>The straight line through the times of a row of sweeps, and what bends the row.</summary>
internal sealed class SweepRow
{
    private readonly (double X, double Y)[] _points;

    private SweepRow((int Slot, bool IsUpward, double Seconds)[] sweeps, (double X, double Y)[] points)
    {
        Sweeps = sweeps;
        _points = points;
    }

    /// <summary>Slot, direction and time of each sweep, s.</summary>
    public (int Slot, bool IsUpward, double Seconds)[] Sweeps { get; }

    /// <summary>Time of the marker's start by the line, s.</summary>
    public double Start { get; private init; }

    /// <summary>The line's slope.</summary>
    public double Stretch { get; private init; }

    /// <summary>Standard deviation of single sweeps about the line, s.</summary>
    public double Scatter { get; private init; }

    /// <summary>Share of <see cref="Scatter"/> in <see cref="Start"/>.</summary>
    public double StartFactor { get; private init; }

    /// <summary>Mean time of the marker, what bends the row counted in, s.</summary>
    public double Middle { get; private init; }

    /// <summary>Share in <see cref="Middle"/> of what is each sweep's own.</summary>
    public double MiddleShare { get; private init; }

    /// <summary>Where a sweep's time stands on the line, from the marker's start, s.</summary>
    public static double Place(int slot, bool upward) => (slot * MarkerSweep.EverySeconds) + MarkerSweep.Shift(upward);

    /// <summary>Fits the line; null where there are too few sweeps for one.</summary>
    /// <param name="sweeps">Each slot once, with the time at which its sweep stands on the line.</param>
    public static SweepRow? Of((int Slot, bool IsUpward, double Seconds)[] sweeps)
    {
        double n = sweeps.Length, sx = 0, sy = 0, sxx = 0, sxy = 0;
        var points = new (double X, double Y)[sweeps.Length];
        for (var i = 0; i < points.Length; i++)
        {
            double x = Place(sweeps[i].Slot, sweeps[i].IsUpward), y = sweeps[i].Seconds;
            points[i] = (x, y);
            sx += x;
            sy += y;
            sxx += x * x;
            sxy += x * y;
        }

        var spread = (n * sxx) - (sx * sx);
        if (n < 3 || spread <= 0)
        {
            return null;
        }

        Array.Sort(points);
        var stretch = ((n * sxy) - (sx * sy)) / spread;
        var start = (sy - (stretch * sx)) / n;
        double squares = 0;
        foreach (var (x, y) in points)
        {
            var off = y - start - (stretch * x);
            squares += off * off;
        }

        var (mean, share) = Bend(points, start, stretch);
        return new SweepRow(sweeps, points)
        {
            Start = start,
            Stretch = stretch,
            Scatter = Math.Sqrt(squares / (n - 2)),
            StartFactor = Math.Sqrt(sxx / spread),
            Middle = start + (stretch * MarkerSweep.MarkerSeconds / 2) + mean,
            MiddleShare = share,
        };
    }

    /// <summary>
    /// Standard deviation of what goes from one sweep to the next, each against the line between its neighbours, s: wow, slower than that,
    /// moves the marker's middle itself and is no error of it.
    /// </summary>
    public double Rough()
    {
        double squares = 0;
        for (var i = 1; i < _points.Length - 1; i++)
        {
            var (before, here, after) = (_points[i - 1], _points[i], _points[i + 1]);
            var share = (here.X - before.X) / (after.X - before.X);
            var off = here.Y - before.Y - (share * (after.Y - before.Y));
            squares += off * off / (1 + (share * share) + ((1 - share) * (1 - share)));
        }

        return Math.Sqrt(squares / Math.Max(1, _points.Length - 2));
    }

    // Mean over the marker of what bends the row, and the share of one sweep's scatter in it: sweeps stand unevenly (an upward one speaks
    // of a later time than a downward one), and wow is slow against them, so straight lines between them say more of it than their plain
    // mean. The best weights there are for flutter spread over 0.5 to 100 Hz would leave a twentieth less.
    private static (double Mean, double Share) Bend((double X, double Y)[] points, double start, double stretch)
    {
        double mean = 0, squares = 0;
        for (var i = 0; i < points.Length; i++)
        {
            var from = i == 0 ? Math.Min(0, points[0].X) : (points[i - 1].X + points[i].X) / 2;
            var to = i == points.Length - 1 ? Math.Max(MarkerSweep.MarkerSeconds, points[i].X) : (points[i].X + points[i + 1].X) / 2;
            var share = (to - from) / MarkerSweep.MarkerSeconds;
            mean += share * (points[i].Y - start - (stretch * points[i].X));
            squares += share * share;
        }

        return (mean, Math.Sqrt(squares));
    }
}
