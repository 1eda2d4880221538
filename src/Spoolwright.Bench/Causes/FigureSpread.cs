namespace Spoolwright.Bench.Causes;

/// <summary>How the figures of a sound deck spread together: what each reading leaves open, what they share, and what sound decks differ
/// by.</summary>
internal static class FigureSpread
{
    /// <summary>The covariance of the figures.</summary>
    public static double[,] Of(IReadOnlyList<Observation> figures, IReadOnlyList<CauseAt> causes)
    {
        var n = figures.Count;
        var spread = new double[n, n];
        // Kinds of figure by number: there are few, and every figure meets every other.
        var kinds = figures.Select(f => f.Of).DistinctBy(o => o.Name).ToArray();
        var numbers = kinds.Select((k, i) => (k.Name, i)).ToDictionary(k => k.Name, k => k.i, StringComparer.Ordinal);
        var kind = figures.Select(f => numbers[f.Of.Name]).ToArray();
        var pairs = kinds.Select(a => kinds.Select(b => SpreadPair.Of(a, b)).ToArray()).ToArray();
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = i == j ? figures[i].Deviation * figures[i].Deviation : 0;
                foreach (var a in figures[i].Shared)
                {
                    foreach (var b in figures[j].Shared)
                    {
                        if (a.Key == b.Key)
                            sum += a.Deviation * b.Deviation;
                    }
                }

                sum += Together(pairs[kind[i]][kind[j]], figures[i], figures[j], i == j);
                spread[i, j] = spread[j, i] = sum;
            }
        }

        // Every sound deck has a little of every cause.
        foreach (var cause in causes.Where(c => c.Cause.Amount.Healthy > 0))
        {
            var little = cause
                .Touched.Select(t => (t.Figure, Shift: CauseLaw.Shift(cause.Cause.Amount.Healthy, figures[t.Figure], t.Touch, cause.Scope)))
                .ToArray();
            foreach (var (i, a) in little)
            {
                foreach (var (j, b) in little)
                    spread[i, j] += a * b;
            }
        }

        return spread;
    }

    private static double Together(IReadOnlyList<SpreadPair> pairs, Observation a, Observation b, bool itself)
    {
        var same = CausePlaceKinds.Deck;
        if (a.Place.Direction == b.Place.Direction)
            same |= CausePlaceKinds.Direction;
        if (a.Place.Channel == b.Place.Channel)
            same |= CausePlaceKinds.Channel;
        if (string.Equals(a.Place.Setting, b.Place.Setting, StringComparison.Ordinal))
            same |= CausePlaceKinds.Setting;
        if (a.Place.SpeedCmPerS is { } v && b.Place.SpeedCmPerS is { } w && Tape.TapeSpeed.Same(v, w))
            same |= CausePlaceKinds.Speed;
        var sum = 0.0;
        foreach (var pair in pairs)
        {
            if ((pair.Same & ~same) == 0 && (!pair.SameFrequency || Math.Abs((a.FrequencyHz ?? 0) - (b.FrequencyHz ?? 0)) < 1))
                sum += Share(pair.First, pair.Second, a, b, itself);
        }

        return sum;
    }

    private static double Share(HealthySpread x, HealthySpread y, Observation a, Observation b, bool itself)
    {
        if (x.Over is null)
            return IsOwn(x) ? (itself ? x.Deviation * x.Deviation : 0) : x.Deviation * x.Deviation;
        var (p, q) = (At(x, a), At(y, b));
        var octaves = Math.Log2(p / q) / x.Octaves;
        return Size(x, p) * Size(y, q) * Math.Exp(-0.5 * octaves * octaves);
    }

    // A spread that names nothing that must be the same is each figure's own, unless it says that all have it in common.
    private static bool IsOwn(HealthySpread spread) => spread.Same.Count == 0 && !spread.Common;

    private static double At(HealthySpread spread, Observation figure)
    {
        var hertz = figure.FrequencyHz ?? CauseLaw.ReferenceHz;
        return spread.Over == "frequency" ? hertz : Tape.Wavelength.Micrometres(hertz, figure.Place.SpeedCmPerS ?? 19.05);
    }

    private static double Size(HealthySpread spread, double at)
    {
        var points = spread.Points;
        if (points.Count == 0)
            return spread.Deviation;
        if (at <= points[0].At)
            return points[0].Deviation;
        for (var i = 1; i < points.Count; i++)
        {
            if (at <= points[i].At)
            {
                var part = Math.Log(at / points[i - 1].At) / Math.Log(points[i].At / points[i - 1].At);
                return points[i - 1].Deviation + (part * (points[i].Deviation - points[i - 1].Deviation));
            }
        }

        return points[^1].Deviation;
    }
}

/// <summary>Two spreads that figures of two kinds have in common, and what must be the same for it.</summary>
internal sealed record SpreadPair(HealthySpread First, HealthySpread Second, CausePlaceKinds Same, bool SameFrequency)
{
    /// <summary>The spreads that two kinds of figure may share: their own, where they are one kind, and those of one group.</summary>
    public static IReadOnlyList<SpreadPair> Of(Observable a, Observable b)
    {
        var pairs = new List<SpreadPair>();
        foreach (var x in a.Spreads)
        {
            var y = x.Group is null
                ? (a.Name == b.Name ? x : null)
                : b.Spreads.FirstOrDefault(o => o.Group == x.Group && o.Same.SequenceEqual(x.Same));
            if (y is null)
                continue;
            var same = CausePlaceKinds.Deck;
            foreach (var word in x.Same)
            {
                same |= word switch
                {
                    "direction" => CausePlaceKinds.Direction,
                    "channel" => CausePlaceKinds.Channel,
                    "setting" => CausePlaceKinds.Setting,
                    "speed" => CausePlaceKinds.Speed,
                    _ => CausePlaceKinds.Deck,
                };
            }

            pairs.Add(new SpreadPair(x, y, same, x.Same.Contains("frequency")));
        }

        return pairs;
    }
}
