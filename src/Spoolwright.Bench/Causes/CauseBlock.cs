using System.Runtime.InteropServices;

namespace Spoolwright.Bench.Causes;

/// <summary>Figures that hang together, on their even scale, with the causes that touch them. Blocks that share neither spread nor cause
/// are weighed apart.</summary>
internal sealed class CauseBlock
{
    // How far a law may miss the real one, as a part of its change: the laws are ideal, and several are remembered to 1 to 2 dB. Common
    // practice, no source.
    private const double LawMisses = 0.1;

    // Width of the bands of frequency within which a law misses alike, octaves.
    private const double MissOctaves = 1.6;

    private readonly LowerFactor factor;

    // By cause, by sign: changes by size, and what is asked of them again and again while sets are weighed.
    private readonly double[][][] up, down;
    private readonly double[][] upSquares, downSquares;
    private readonly Dictionary<(int Cause, int Sign, int Step), EvenColumns> slopes = [];
    private readonly Dictionary<(int Cause, int Sign, int Step), EvenColumns> misses = [];
    private readonly Dictionary<(int, int), double[]> products = [];
    private int columns;

    private CauseBlock(IReadOnlyList<Observation> figures, IReadOnlyList<CauseAt> causes, double[,] spread)
    {
        (Figures, Causes, Spread) = (figures, causes, spread);
        factor = new LowerFactor(MemoryMarshal.CreateReadOnlySpan(ref spread[0, 0], spread.Length), figures.Count);
        Residual = factor.Even([.. figures.Select(f => f.Value - (f.Of.Logarithmic ? Math.Log(f.Of.Mean) : f.Of.Mean))]);
        (up, down) = ([.. causes.Select((_, c) => Tabled(c, 1))], [.. causes.Select((_, c) => Tabled(c, -1))]);
        static double[][] Squares(double[][][] of) => [.. of.Select(t => (double[])[.. t.Select(r => LowerFactor.Dot(r, r))])];
        (upSquares, downSquares) = (Squares(up), Squares(down));
        Equations = new NormalEquations(this);
    }

    public IReadOnlyList<Observation> Figures { get; }

    public IReadOnlyList<CauseAt> Causes { get; }

    /// <summary>Covariance of the figures in a sound deck.</summary>
    public double[,] Spread { get; }

    /// <summary>What the figures are off a sound deck's, on the even scale.</summary>
    public double[] Residual { get; }

    /// <summary>Room for the equations of one set after the other.</summary>
    public NormalEquations Equations { get; }

    /// <summary>Changes of all figures by an amount of a cause, in their scale.</summary>
    public double[] Shifts(int cause, double amount)
    {
        var shifts = new double[Figures.Count];
        Causes[cause].AddShifts(amount, shifts);
        return shifts;
    }

    /// <summary>Brings changes of figures onto the even scale.</summary>
    public double[] Even(double[] changes) => factor.Even(changes);

    /// <summary>Brings changes of figures that go together onto the even scale.</summary>
    public EvenColumns Even(double[][] changes) => new(++columns, factor.Even(changes));

    /// <summary>Changes on the even scale, by size.</summary>
    public double[][] Table(int cause, int sign) => sign > 0 ? up[cause] : down[cause];

    /// <summary>Sum of squares of each of those.</summary>
    public double[] Squares(int cause, int sign) => sign > 0 ? upSquares[cause] : downSquares[cause];

    /// <summary>How changes grow with the logarithm of a cause's size from a step of the table to the next.</summary>
    public EvenColumns Slope(int cause, int sign, int step)
    {
        if (slopes.TryGetValue((cause, sign, step), out var known))
            return known;
        var (low, high, wide) = (Table(cause, sign)[step], Table(cause, sign)[step + 1], Causes[cause].LogStep);
        var slope = new double[low.Length];
        for (var i = 0; i < slope.Length; i++)
            slope[i] = (high[i] - low[i]) / wide;
        return slopes[(cause, sign, step)] = new EvenColumns(++columns, [slope]);
    }

    /// <summary>How a cause's law may miss at a size: band by band of each kind of figure a share of the change, on the even
    /// scale.</summary>
    public EvenColumns Misses(int cause, int sign, double logSize)
    {
        var step = Step(cause, logSize);
        if (misses.TryGetValue((cause, sign, step), out var known))
            return known;
        var shifts = Shifts(cause, sign * Causes[cause].Sizes[step]);
        var made = Causes[cause]
            .Touched.GroupBy(t =>
                (
                    Figures[t.Figure].Of.Name,
                    Band: Figures[t.Figure].Of.ByFrequency
                        ? (int)Math.Floor(Math.Log2(Figures[t.Figure].FrequencyHz ?? 1000) / MissOctaves)
                        : 0
                )
            )
            .Select(g =>
            {
                var part = new double[Figures.Count];
                foreach (var (figure, _) in g)
                    part[figure] = LawMisses * shifts[figure];
                return part;
            })
            .ToArray();
        return misses[(cause, sign, step)] = Even(made);
    }

    /// <summary>Sums of products of each of the first with each of the second, by the first: the same ones meet in hundreds of
    /// sets.</summary>
    public double[] Products(EvenColumns first, EvenColumns second)
    {
        if (products.TryGetValue((first.Number, second.Number), out var known))
            return known;
        var made = new double[first.Each.Length * second.Each.Length];
        for (var i = 0; i < first.Each.Length; i++)
        {
            for (var j = 0; j < second.Each.Length; j++)
                made[(i * second.Each.Length) + j] = LowerFactor.Dot(first.Each[i], second.Each[j]);
        }

        return products[(first.Number, second.Number)] = made;
    }

    /// <summary>The step of the table nearest to a size.</summary>
    public int Step(int cause, double logSize)
    {
        var at = Causes[cause];
        return Math.Clamp((int)Math.Round((logSize - at.LogSizes[0]) / at.LogStep), 0, at.Sizes.Count - 1);
    }

    private double[][] Tabled(int cause, int sign) =>
        Causes[cause].Signs.Contains(sign) ? factor.Even([.. Causes[cause].Sizes.Select(s => Shifts(cause, sign * s))]) : [];

    /// <summary>The blocks of a deck.</summary>
    public static IReadOnlyList<CauseBlock> All(
        IReadOnlyList<Observation> figures,
        IReadOnlyList<CauseAt> causes,
        Func<IReadOnlyList<Observation>, IEnumerable<CauseAt>> again
    )
    {
        var spread = FigureSpread.Of(figures, causes);
        var group = Enumerable.Range(0, figures.Count).ToArray();
        int Root(int i)
        {
            while (group[i] != i)
                i = group[i] = group[group[i]];
            return i;
        }

        for (var i = 0; i < figures.Count; i++)
        {
            for (var j = 0; j < i; j++)
            {
                if (Math.Abs(spread[i, j]) > 1e-3 * Math.Sqrt(spread[i, i] * spread[j, j]))
                    group[Root(i)] = Root(j);
            }
        }

        foreach (var cause in causes)
        {
            foreach (var (figure, _) in cause.Touched.Skip(1))
                group[Root(figure)] = Root(cause.Touched[0].Figure);
        }

        return [.. Enumerable.Range(0, figures.Count).GroupBy(Root).Select(g =>
        {
            var at = g.ToArray();
            var own = at.Select(i => figures[i]).ToArray();
            var part = new double[at.Length, at.Length];
            for (var i = 0; i < at.Length; i++)
            {
                for (var j = 0; j < at.Length; j++)
                    part[i, j] = spread[at[i], at[j]];
            }

            return new CauseBlock(own, [.. again(own)], part);
        })];
    }
}
