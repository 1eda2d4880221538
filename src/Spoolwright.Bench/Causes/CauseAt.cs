namespace Spoolwright.Bench.Causes;

/// <summary>A cause at one place of the deck, and the change it makes to each figure there.</summary>
internal sealed class CauseAt
{
    /// <summary>Amounts that the tables hold, by the logarithm of their size, evenly from far under to far over the typical one.</summary>
    private const int Steps = 25;

    // The tables reach so many times the logarithm of the ratio either side of the typical size.
    private const double Reach = 3.2;

    private readonly double[] sizes = new double[Steps];
    private readonly double[] logSizes = new double[Steps];
    private readonly (int Figure, CauseLaw.Ready Law)[] laws;

    public CauseAt(Cause cause, CausePlace place, IReadOnlyList<Observation> figures, LawScope scope)
    {
        (Cause, Place, Scope) = (cause, place, scope);
        var touched = new List<(int, CauseTouch)>();
        for (var i = 0; i < figures.Count; i++)
        {
            foreach (var touch in cause.Touches)
            {
                if (
                    touch.Of == figures[i].Of.Name
                    && (touch.Part is null || touch.Part == figures[i].Part)
                    && place.Holds(figures[i].Place)
                )
                    touched.Add((i, touch));
            }
        }

        Touched = touched;
        laws = [.. touched.Select(t => (t.Item1, CauseLaw.ReadyFor(figures[t.Item1], t.Item2, scope)))];
        for (var k = 0; k < Steps; k++)
        {
            sizes[k] = cause.Amount.Typical * Math.Pow(cause.Amount.Ratio, Reach * ((2.0 * k / (Steps - 1)) - 1));
            logSizes[k] = Math.Log(sizes[k]);
        }

        Signs = cause.Amount.Sign switch { CauseSign.Positive => [1], CauseSign.Negative => [-1], _ => [1, -1] };
        (LogMedian, LogSpread) = (Math.Log(cause.Amount.Typical), Math.Log(cause.Amount.Ratio));
        LogStep = Math.Log(sizes[1] / sizes[0]);
    }

    public Cause Cause { get; }

    public CausePlace Place { get; }

    public LawScope Scope { get; }

    /// <summary>Figures touched, by their place in the list.</summary>
    public IReadOnlyList<(int Figure, CauseTouch Touch)> Touched { get; }

    public IReadOnlyList<double> Sizes => sizes;

    /// <summary>Their logarithms.</summary>
    public IReadOnlyList<double> LogSizes => logSizes;

    /// <summary>From one logarithm to the next.</summary>
    public double LogStep { get; }

    /// <summary>The signs that its amount can have.</summary>
    public IReadOnlyList<int> Signs { get; }

    public double LogMedian { get; }

    public double LogSpread { get; }

    /// <summary>Every place that the figures speak of and where a cause may sit.</summary>
    public static IEnumerable<CauseAt> All(CauseBook book, IReadOnlyList<Observation> figures, LawScope scope)
    {
        foreach (var cause in book.Causes)
        {
            var own = figures.Where(f => cause.Touches.Any(t => t.Of == f.Of.Name && (t.Part is null || t.Part == f.Part))).ToArray();
            foreach (var place in own.SelectMany(f => PlacesOf(cause, f)).Distinct())
                yield return new CauseAt(cause, place, figures, scope);
        }
    }

    /// <summary>Adds the changes of an amount, signed, to a list by figure.</summary>
    public void AddShifts(double amount, double[] to)
    {
        foreach (var (figure, law) in laws)
            to[figure] += law.Shift(amount);
    }

    private static IEnumerable<CausePlace> PlacesOf(Cause cause, Observation figure)
    {
        var kinds = cause.Place;
        if (kinds.HasFlag(CausePlaceKinds.Direction) && figure.Place.Direction is null)
            yield break;
        if (kinds.HasFlag(CausePlaceKinds.Setting) && figure.Place.Setting is null)
            yield break;
        if (kinds.HasFlag(CausePlaceKinds.Channel) && figure.Place.Channel is null)
            yield break;
        yield return new CausePlace(
            kinds.HasFlag(CausePlaceKinds.Direction) ? figure.Place.Direction : null,
            kinds.HasFlag(CausePlaceKinds.Channel) ? figure.Place.Channel : null,
            kinds.HasFlag(CausePlaceKinds.Setting) ? figure.Place.Setting : null,
            kinds.HasFlag(CausePlaceKinds.Speed) ? figure.Place.SpeedCmPerS : null);
    }
}
