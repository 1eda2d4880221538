namespace Spoolwright.Bench.Causes;

/// <summary>Weighs the sets of causes that may be at work in one block: none, one, two, three and more at once, the likely ones taken
/// further.</summary>
internal sealed class CauseSearch
{
    private const int MostAtOnce = 9;
    private const int Beam = 10;
    private const int Extensions = 12;

    // Sets lighter than the heaviest by more than this say nothing any more.
    private const double Window = 9;

    // A set one larger that is lighter by more than this has nothing to grow from: one cause too many costs its prior and its width.
    private const double Growing = 6;

    // A curve that with the sizes held would leave a set lighter than the lightest spoken of, by so much more, is not worth fitting.
    private const double Sparing = 4;

    // How often a channel's response is off in a way that no cause describes. Common practice, no source.
    private const double UnnamedPrior = 0.02;

    // Such a curve: humps 0.4 octaves wide, every half octave, spread by 3 dB.
    private const double UnnamedDb = 3;
    private const double UnnamedOctaves = 0.4;
    private const double UnnamedStep = 0.5;

    private readonly CauseBlock block;
    private readonly Dictionary<string, FaultSet> seen = new(StringComparer.Ordinal);

    private CauseSearch(CauseBlock block) => this.block = block;

    /// <summary>The sets worth speaking of with their shares, which add up to 1; <c>Unnamed</c> says where something undescribed is in
    /// it.</summary>
    public static IReadOnlyList<(FaultSet Set, double Share, CausePlace? Unnamed)> Of(CauseBlock block)
    {
        var search = new CauseSearch(block);
        return search.Run();
    }

    private List<(FaultSet, double, CausePlace?)> Run()
    {
        var none = new FaultSet(block, [], []).Fit(0);
        seen[none.Key] = none;
        List<FaultSet> best = [none];
        for (var size = 1; size <= MostAtOnce && best.Count > 0; size++)
        {
            var made = best.SelectMany(Extended).ToArray();
            var top = seen.Values.Max(s => s.Weight);
            if (made.Length == 0 || made.Max(s => s.Weight) < top - Growing)
                break;
            best = [.. made.Where(s => s.Weight > top - Window).OrderByDescending(s => s.Weight).Take(Beam)];
        }

        var all = seen.Values.ToDictionary(s => (s.Key, (CausePlace?)null));
        var curves = Curves().ToDictionary(c => c.Place, c => c.Modes);
        var promise = curves.ToDictionary(
            c => c.Key,
            c => new CurvePromise(c.Value, block.Products(c.Value, c.Value), LogOdds(UnnamedPrior))
        );
        var heaviest = seen.Values.Max(s => s.Weight);
        foreach (var set in seen.Values.Where(s => s.Weight > heaviest - 25).OrderByDescending(s => s.Weight).Take(12).ToArray())
        {
            foreach (var place in promise.Where(p => set.Weight + p.Value.Gain(set.Left) > heaviest - Window - Sparing).Select(p => p.Key))
                Weigh(set.Members, set.LogSizes, place);
        }

        // What came in for want of something better goes out again, one by one, where a set is lighter on its feet without it.
        for (var round = 0; round < MostAtOnce; round++)
        {
            var before = all.Count;
            foreach (var ((_, place), set) in all.OrderByDescending(a => a.Value.Weight).Take(8).ToArray())
            {
                for (var k = 0; k < set.Members.Count; k++)
                    Weigh([.. set.Members.Where((_, i) => i != k)], [.. set.LogSizes.Where((_, i) => i != k)], place);
            }

            if (all.Count == before)
                break;
        }

        var most = all.Values.Max(a => a.Weight);
        var sum = all.Values.Sum(a => Math.Exp(a.Weight - most));
        return
        [
            .. all.Where(a => a.Value.Weight > most - Window)
                .Select(a => (a.Value, Math.Exp(a.Value.Weight - most) / sum, a.Key.Item2))
                .OrderByDescending(a => a.Item2),
        ];

        void Weigh(IReadOnlyList<(int Cause, int Sign)> members, double[] logSizes, CausePlace? place)
        {
            var set = new FaultSet(block, members, [.. logSizes], place is null ? null : curves[place]);
            if (!all.ContainsKey((set.Key, place)))
                all[(set.Key, place)] = set.Fit(Prior(members) + (place is null ? 0 : LogOdds(UnnamedPrior)));
        }
    }

    // The set with one cause more, for the causes that promise most with the others held.
    private IEnumerable<FaultSet> Extended(FaultSet from)
    {
        var taken = from.Members.Select(m => m.Cause).ToHashSet();
        var promising = new List<(double Gain, int Cause, int Sign, double LogSize)>();
        for (var c = 0; c < block.Causes.Count; c++)
        {
            if (taken.Contains(c))
                continue;
            foreach (var sign in block.Causes[c].Signs)
                promising.Add(Gain(from, c, sign));
        }

        foreach (var (_, cause, sign, logSize) in promising.OrderByDescending(p => p.Gain).Take(Extensions))
        {
            var set = new FaultSet(block, [.. from.Members, (cause, sign)], [.. from.LogSizes, logSize]);
            if (seen.ContainsKey(set.Key))
                continue;
            seen[set.Key] = set.Fit(Prior(set.Members));
            yield return set;
        }
    }

    private (double, int, int, double) Gain(FaultSet from, int c, int sign)
    {
        var cause = block.Causes[c];
        var (table, squares) = (block.Table(c, sign), block.Squares(c, sign));
        var (most, at) = (double.NegativeInfinity, 0);
        for (var k = 0; k < table.Length; k++)
        {
            var size = (cause.LogSizes[k] - cause.LogMedian) / cause.LogSpread;
            var gain = LowerFactor.Dot(table[k], from.Left) - (0.5 * squares[k]) - (0.5 * size * size);
            if (gain > most)
                (most, at) = (gain, k);
        }

        return (most + LogOdds(cause.Cause.Prior), c, sign, cause.LogSizes[at]);
    }

    private double Prior(IReadOnlyList<(int Cause, int Sign)> members) =>
        members.Sum(m => LogOdds(block.Causes[m.Cause].Cause.Prior) - Math.Log(block.Causes[m.Cause].Signs.Count));

    private static double LogOdds(double chance) => Math.Log(chance / (1 - chance));

    private IEnumerable<(CausePlace Place, EvenColumns Modes)> Curves()
    {
        foreach (
            var place in block
                .Figures.Where(f => f.Of.Name.EndsWith("/response", StringComparison.Ordinal))
                .Select(f => new CausePlace(f.Place.Direction, f.Place.Channel))
                .Distinct()
        )
        {
            var modes = new List<double[]>();
            for (var octave = Math.Log2(30); octave < Math.Log2(20_000); octave += UnnamedStep)
            {
                var changes = block.Figures.Select(f => place.Holds(f.Place) && f.Of.Name.EndsWith("/response", StringComparison.Ordinal)
                    ? UnnamedDb * (Hump(f.FrequencyHz!.Value, octave) - Hump(CauseLaw.ReferenceHz, octave)) : 0).ToArray();
                modes.Add(changes);
            }

            yield return (place, block.Even([.. modes]));
        }
    }

    private static double Hump(double hertz, double octave)
    {
        var off = (Math.Log2(hertz) - octave) / UnnamedOctaves;
        return Math.Exp(-0.5 * off * off);
    }
}
