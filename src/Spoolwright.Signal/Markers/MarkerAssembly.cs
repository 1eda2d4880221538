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

    /// <summary>
    /// Whether a row of sweeps stands there of which every slot holds both directions alike: a marker's two sides, summed half and half.
    /// Each side's code is the other's, every sweep turned round, so the sum holds nothing that could be read.
    /// </summary>
    public static bool SumsSides(IReadOnlyList<SweepSighting> sightings)
    {
        SweepSighting[] sorted = [.. sightings.OrderBy(s => s.Seconds)];
        var times = sorted.Select(s => s.Seconds).ToArray();
        for (var first = 0; first + LeastSweeps <= sorted.Length; first++)
        {
            if (Best(sorted, times, first, 0) is { } row && row.Mixed >= LeastSweeps)
            {
                return true;
            }
        }

        return false;
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
            if (
                row.Count >= LeastSweeps
                && (best is null || row.Count > best.Count || (row.Count == best.Count && row.Misfit < best.Misfit))
            )
            {
                best = row;
            }
        }

        return best;
    }

    // Where a sweep's peak stands after the marker's start.
    private static double Expected(int slot, bool upward, double stretch) =>
        (stretch * slot * MarkerSweep.EverySeconds) + ((stretch - 1) * MarkerSweep.Shift(upward));

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

        var seen = row.Sightings.OfType<int>().Select(i => sorted[i]).ToArray();
        var correlation = seen.Select(s => s.Correlation).Order().ElementAt(seen.Length / 2);
        return new FoundMarker
        {
            Word = word,
            CaptureChannel = channel,
            StartSeconds = fine.Start,
            UncertaintySeconds = 2 * Math.Max(fine.Scatter, 1e-6) * fine.StartFactor,
            MiddleSeconds = fine.Middle,
            MiddleUncertaintySeconds = double.Hypot(MarkerWow.MiddleExpanded(fine, MarkerWow.NoiseSeconds(correlation)), PeakSeconds),
            Stretch = fine.Stretch,
            ScatterSeconds = fine.Scatter,
            LevelDb = 20 * Math.Log10(Math.Max(1e-9, seen.Select(s => s.Amplitude).Order().ElementAt(seen.Length / 2))),
            Sweeps = row.Count,
            IsMixed = row.Mixed > row.Count / 2,
        };
    }

    // Peak time + shift = start + stretch · (slot time + shift): a straight line.
    private static SweepRow? Fit(SweepSighting[] sorted, Row row) => SweepRow.Of(
        [.. Enumerable.Range(0, MarkerCode.Length).Where(slot => row.Sightings[slot] is not null).Select(slot =>
        {
            var sighting = sorted[row.Sightings[slot]!.Value];
            return (slot, sighting.IsUpward, sighting.Seconds + MarkerSweep.Shift(sighting.IsUpward));
        })]);

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
