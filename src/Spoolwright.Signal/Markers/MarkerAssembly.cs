namespace Spoolwright.Signal.Markers;

/// <summary>Puts sweeps seen in one channel together to markers: an even row, at a speed within 3 %, that reads as a code.</summary>
internal static class MarkerAssembly
{
    private const double MostStretch = 0.034;
    private const double StretchStep = 0.002;
    private const double Tolerance = 0.0025;
    private const double FineTolerance = 0.0012;
    private const int LeastSweeps = 18;
    private const double MixedShare = 0.5;

    // Where between two outputs of the matched filter a peak lies, alike for all sweeps of a row, k = 2, s [computed: RecordCoverageTests].
    private const double PeakSeconds = 5e-7;

    /// <summary>All markers in a channel's sightings.</summary>
    public static IEnumerable<FoundMarker> Find(IReadOnlyList<SweepSighting> sightings, int channel)
    {
        var left = sightings.OrderBy(s => s.Seconds).ToList();
        var found = new List<FoundMarker>();
        while (left.Count >= LeastSweeps && Next([.. left], channel, out var used) is { } marker)
        {
            found.Add(marker);
            left = [.. left.Where((_, i) => !used.Contains(i))];
        }

        return found;
    }

    // The marker seen best; where source and tape stand in one channel, the weaker one is seen once the stronger one's sweeps are out.
    private static FoundMarker? Next(SweepSighting[] sorted, int channel, out HashSet<int> used)
    {
        var times = sorted.Select(s => s.Seconds).ToArray();
        var candidates = new List<Row>();
        for (var first = 0; first < sorted.Length; first++)
        {
            // The first sweep or the second may be missing, not both.
            for (var slot = 0; slot < 2; slot++)
            {
                if (Best(sorted, times, first, slot) is { } row)
                {
                    candidates.Add(row);
                }
            }
        }

        foreach (var row in candidates.OrderByDescending(r => r.Count).ThenByDescending(r => r.Strength))
        {
            if (Read(sorted, row, channel) is not { } marker)
            {
                continue;
            }

            used = [.. row.Sightings.OfType<int>()];

            // Where the sides were summed, what stands at the same instants going the other way belongs to it too.
            for (var i = 0; marker.IsMixed && i < sorted.Length; i++)
            {
                var slot = (sorted[i].Seconds - marker.StartSeconds) / marker.Stretch / MarkerSweep.EverySeconds;
                if (slot > -0.1 && slot < MarkerCode.Length - 0.9 && Math.Abs(slot - Math.Round(slot)) < 0.06)
                {
                    used.Add(i);
                }
            }

            return marker;
        }

        used = [];
        return null;
    }

    private static Row? Best(SweepSighting[] sorted, double[] times, int first, int slot)
    {
        Row? best = null;
        for (var stretch = 1 - MostStretch; stretch <= 1 + MostStretch; stretch += StretchStep)
        {
            var start = sorted[first].Seconds - Expected(slot, sorted[first].IsUpward, stretch);
            var row = Gather(sorted, times, start, stretch, Tolerance);
            if (row.Count >= LeastSweeps && (best is null || row.Count > best.Count || (row.Count == best.Count && row.Misfit < best.Misfit)))
            {
                best = row;
            }
        }

        return best;
    }

    // Where a sweep's peak stands after the marker's start.
    private static double Expected(int slot, bool upward, double stretch) => (stretch * slot * MarkerSweep.EverySeconds) + ((stretch - 1) * Shift(upward));

    private static double Shift(bool upward) => upward ? MarkerSweep.UpwardShift : MarkerSweep.DownwardShift;

    private static Row Gather(SweepSighting[] sorted, double[] times, double start, double stretch, double tolerance)
    {
        var row = new Row();
        for (var slot = 0; slot < MarkerCode.Length; slot++)
        {
            var earliest = start + Math.Min(Expected(slot, true, stretch), Expected(slot, false, stretch)) - tolerance;
            var at = Array.BinarySearch(times, earliest);
            double strongest = 0, other = 0;
            for (var i = at < 0 ? ~at : at; i < sorted.Length && sorted[i].Seconds < earliest + (2 * tolerance) + 0.004; i++)
            {
                var off = Math.Abs(sorted[i].Seconds - start - Expected(slot, sorted[i].IsUpward, stretch));
                if (off > tolerance)
                {
                    continue;
                }

                if (sorted[i].Amplitude > strongest)
                {
                    if (row.Sightings[slot] is { } previous && sorted[previous].IsUpward != sorted[i].IsUpward)
                    {
                        other = strongest;
                    }

                    strongest = sorted[i].Amplitude;
                    row.Sightings[slot] = i;
                    row.Off[slot] = off;
                }
                else if (sorted[row.Sightings[slot]!.Value].IsUpward != sorted[i].IsUpward)
                {
                    other = Math.Max(other, sorted[i].Amplitude);
                }
            }

            if (row.Sightings[slot] is not null)
            {
                row.Count++;
                row.Misfit += row.Off[slot] * row.Off[slot];
                row.Strength += strongest;
                row.Mixed += other > MixedShare * strongest ? 1 : 0;
            }
        }

        return row;
    }

    private static FoundMarker? Read(SweepSighting[] sorted, Row rough, int channel)
    {
        var times = sorted.Select(s => s.Seconds).ToArray();
        if (Fit(sorted, rough) is not { } fit)
        {
            return null;
        }

        var row = Gather(sorted, times, fit.Start, fit.Stretch, FineTolerance + (3 * fit.Scatter));
        if (row.Count < LeastSweeps || Fit(sorted, row) is not { } fine || Math.Abs(fine.Stretch - 1) > MostStretch)
        {
            return null;
        }

        if (MarkerCode.Decode([.. row.Sightings.Select(i => i is { } at ? sorted[at].IsUpward : (bool?)null)]) is not { } word)
        {
            return null;
        }

        var amplitudes = row.Sightings.OfType<int>().Select(i => sorted[i].Amplitude).Order().ToArray();
        return new FoundMarker
        {
            Word = word,
            CaptureChannel = channel,
            StartSeconds = fine.Start,
            UncertaintySeconds = 2 * Math.Max(fine.Scatter, 1e-6) * fine.StartFactor,
            MiddleSeconds = fine.Start + (fine.Stretch * MarkerSweep.MarkerSeconds / 2) + fine.Wow.Mean,
            MiddleUncertaintySeconds = double.Hypot(2 * Rough(fine.Points) * fine.Wow.Share, PeakSeconds),
            Stretch = fine.Stretch,
            ScatterSeconds = fine.Scatter,
            LevelDb = 20 * Math.Log10(Math.Max(1e-9, amplitudes[amplitudes.Length / 2])),
            Sweeps = row.Count,
            IsMixed = row.Mixed > row.Count / 2,
        };
    }

    // Peak time + shift = start + stretch · (slot time + shift): a straight line.
    private static (double Start, double Stretch, double Scatter, double StartFactor, (double Mean, double Share) Wow, List<(double X, double Y)> Points)? Fit(SweepSighting[] sorted, Row row)
    {
        double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
        var points = new List<(double X, double Y)>();
        for (var slot = 0; slot < MarkerCode.Length; slot++)
        {
            if (row.Sightings[slot] is not { } i)
            {
                continue;
            }

            var shift = Shift(sorted[i].IsUpward);
            double x = (slot * MarkerSweep.EverySeconds) + shift, y = sorted[i].Seconds + shift;
            points.Add((x, y));
            n++;
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

        var stretch = ((n * sxy) - (sx * sy)) / spread;
        var start = (sy - (stretch * sx)) / n;
        var squares = points.Sum(p => Math.Pow(p.Y - start - (stretch * p.X), 2));
        points.Sort();
        return (start, stretch, Math.Sqrt(squares / (n - 2)), Math.Sqrt(sxx / spread), Wow(points, start, stretch), points);
    }

    // Mean over the marker of what bends the row, and the share of one sweep's scatter in it: sweeps stand unevenly (an upward one speaks of a later time
    // than a downward one), and wow is slow against them, so straight lines between them say more of it than their plain mean.
    private static (double Mean, double Share) Wow(List<(double X, double Y)> points, double start, double stretch)
    {
        double mean = 0, squares = 0;
        for (var i = 0; i < points.Count; i++)
        {
            var from = i == 0 ? Math.Min(0, points[0].X) : (points[i - 1].X + points[i].X) / 2;
            var to = i == points.Count - 1 ? Math.Max(MarkerSweep.MarkerSeconds, points[i].X) : (points[i].X + points[i + 1].X) / 2;
            var share = (to - from) / MarkerSweep.MarkerSeconds;
            mean += share * (points[i].Y - start - (stretch * points[i].X));
            squares += share * share;
        }

        return (mean, Math.Sqrt(squares));
    }

    // What of the scatter goes from one sweep to the next: each against the line between its neighbours. Wow, slower than that, moves the marker's middle
    // itself and is no error of it; of flutter at some hertz a twentieth more is seen so than is in the mean [computed: RecordCoverageTests].
    private const double RoughShare = 0.95;

    private static double Rough(List<(double X, double Y)> points)
    {
        double squares = 0;
        for (var i = 1; i < points.Count - 1; i++)
        {
            var (before, here, after) = (points[i - 1], points[i], points[i + 1]);
            var share = (here.X - before.X) / (after.X - before.X);
            var off = here.Y - before.Y - (share * (after.Y - before.Y));
            squares += off * off / (1 + (share * share) + ((1 - share) * (1 - share)));
        }

        return RoughShare * Math.Sqrt(squares / Math.Max(1, points.Count - 2));
    }

    private sealed class Row
    {
        public int?[] Sightings { get; } = new int?[MarkerCode.Length];

        public double[] Off { get; } = new double[MarkerCode.Length];

        public int Count { get; set; }

        public double Misfit { get; set; }

        public double Strength { get; set; }

        public int Mixed { get; set; }
    }
}
