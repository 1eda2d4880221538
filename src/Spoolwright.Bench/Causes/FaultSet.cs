namespace Spoolwright.Bench.Causes;

/// <summary>Some causes at work at once, with their most likely sizes and how well they fit one block of figures.</summary>
internal sealed class FaultSet
{
    private const int Rounds = 12;
    private const double MostStep = 0.8;
    private const int MostRefits = 4;
    private const double NoMore = 0.05;

    private readonly CauseBlock block;

    public FaultSet(CauseBlock block, IReadOnlyList<(int Cause, int Sign)> members, double[] logSizes, EvenColumns? unnamed = null)
    {
        this.block = block;
        Members = members;
        LogSizes = logSizes;
        Unnamed = unnamed ?? EvenColumns.None;
    }

    /// <summary>The causes, by place in the block's list, with the sign of each.</summary>
    public IReadOnlyList<(int Cause, int Sign)> Members { get; }

    /// <summary>Logarithm of each one's size.</summary>
    public double[] LogSizes { get; }

    /// <summary>Curves of something that no cause describes, on the even scale; empty: nothing of the kind.</summary>
    public EvenColumns Unnamed { get; }

    /// <summary>What is left of the figures, on the even scale.</summary>
    public double[] Left { get; private set; } = [];

    /// <summary>Standard deviation of each logarithm of a size.</summary>
    public double[] Deviations { get; private set; } = [];

    /// <summary>Logarithm of the weight: priors and likelihood with sizes and misses averaged over. Only differences count.</summary>
    public double Weight { get; private set; }

    /// <summary>Sum of squares left, misses of the laws taken up.</summary>
    public double Rest { get; private set; }

    /// <summary>Sum of squares that the causes alone leave, curves of something unnamed not taken up.</summary>
    public double RestOfCauses
    {
        get
        {
            if (Unnamed.Each.Length == 0)
                return Rest;
            var left = new double[block.Figures.Count];
            LeftBy(LogSizes, left);
            return LowerFactor.Dot(left, left);
        }
    }

    /// <summary>Which causes, without regard to order.</summary>
    public string Key => string.Join(' ', Members.OrderBy(m => m.Cause).Select(m => $"{m.Cause}{(m.Sign > 0 ? '+' : '-')}"));

    /// <summary>Fits the sizes and weighs the set.</summary>
    /// <param name="logPrior">Logarithm of the prior odds of the set.</param>
    public FaultSet Fit(double logPrior)
    {
        if (Members.Count > 0)
            FitSizes();
        Weigh(logPrior);
        return this;
    }

    private void FitSizes()
    {
        var (slopes, pulls) = (new EvenColumns[Members.Count], new (double, double)[Members.Count]);
        var (left, leftThen, tried) = (new double[block.Figures.Count], new double[block.Figures.Count], new double[Members.Count]);
        LeftBy(LogSizes, left);
        for (var round = 0; round < Rounds; round++)
        {
            AtSizes(slopes, pulls);
            block.Equations.SetUp(slopes, []);
            var step = block.Equations.Solve(left, pulls);
            var before = Objective(left, LogSizes);
            var most = 0.0;
            for (var halving = 0; halving < 6; halving++)
            {
                for (var i = 0; i < tried.Length; i++)
                    tried[i] = LogSizes[i] + Math.Clamp(step[i], -MostStep, MostStep);
                LeftBy(tried, leftThen);
                if (Objective(leftThen, tried) <= before + 1e-9 || halving == 5)
                {
                    for (var i = 0; i < tried.Length; i++)
                        most = Math.Max(most, Math.Abs(tried[i] - LogSizes[i]));
                    tried.CopyTo(LogSizes, 0);
                    (left, leftThen) = (leftThen, left);
                    break;
                }

                foreach (ref var s in step)
                    s /= 3;
            }

            if (most < 1e-3)
                break;
        }
    }

    private void Weigh(double logPrior)
    {
        // The laws' misses and the unnamed curves are further unknowns, each spread by 1. Where they take over what a size was fitted to
        // before, that size shrinks, and its misses with it: misses of a size that is no longer held would be a curve of something unnamed
        // for nothing.
        var (slopes, pulls) = (new EvenColumns[Members.Count], new (double, double)[Members.Count]);
        var modes = new EvenColumns[Members.Count + 1];
        modes[^1] = Unnamed;
        var rest = new double[block.Figures.Count];
        var equations = block.Equations;
        Span<double> solution;
        var most = Unnamed.Each.Length > 0 ? MostRefits : 1;
        for (var round = 0; ; round++)
        {
            for (var i = 0; i < Members.Count; i++)
                modes[i] = block.Misses(Members[i].Cause, Members[i].Sign, LogSizes[i]);
            AtSizes(slopes, pulls);
            LeftBy(LogSizes, rest);
            equations.SetUp(slopes, modes);
            solution = equations.Solve(rest, pulls);
            if (round == most || (round > 0 && Farthest(solution[..Members.Count]) < NoMore))
                break;
            for (var i = 0; i < Members.Count; i++)
                LogSizes[i] += Math.Clamp(solution[i], -MostStep, MostStep);
        }

        var squares = 0.0;
        var next = Members.Count;
        foreach (var mode in modes)
        {
            foreach (var column in mode.Each)
            {
                var z = solution[next++];
                squares += z * z;
                Take(rest, column, z);
            }
        }

        Deviations = new double[Members.Count];
        for (var k = 0; k < Members.Count; k++)
        {
            Take(rest, slopes[k].Each[0], solution[k]);
            var at = (LogSizes[k] + solution[k] - block.Causes[Members[k].Cause].LogMedian) / block.Causes[Members[k].Cause].LogSpread;
            squares += at * at;
            Deviations[k] = equations.Deviation(k);
        }

        Left = rest;
        Rest = LowerFactor.Dot(rest, rest);
        Weight =
            logPrior
            - (0.5 * (Rest + squares))
            - (0.5 * equations.LogDeterminant)
            - Members.Sum(m => Math.Log(block.Causes[m.Cause].LogSpread));
    }

    private static double Farthest(ReadOnlySpan<double> steps)
    {
        var most = 0.0;
        foreach (var step in steps)
            most = Math.Max(most, Math.Abs(step));
        return most;
    }

    private static void Take(double[] from, double[] column, double times)
    {
        for (var i = 0; i < from.Length; i++)
            from[i] -= times * column[i];
    }

    private double Objective(double[] left, double[] logSizes)
    {
        var sum = LowerFactor.Dot(left, left);
        for (var i = 0; i < Members.Count; i++)
        {
            var cause = block.Causes[Members[i].Cause];
            var at = (logSizes[i] - cause.LogMedian) / cause.LogSpread;
            sum += at * at;
        }

        return sum;
    }

    // Where a size lies in its table: the step below, and the part of the way to the next.
    private (int Step, double Part) At(int member, double logSize)
    {
        var cause = block.Causes[Members[member].Cause];
        var at = Math.Clamp((logSize - cause.LogSizes[0]) / cause.LogStep, 0, cause.Sizes.Count - 1.000001);
        return ((int)at, at - (int)at);
    }

    // How each cause's change grows with the logarithm of its size there, how firmly the size is held to the typical one, and how far it
    // lies from that.
    private void AtSizes(EvenColumns[] slopes, (double Precision, double Off)[] pulls)
    {
        for (var k = 0; k < slopes.Length; k++)
        {
            var cause = block.Causes[Members[k].Cause];
            slopes[k] = block.Slope(Members[k].Cause, Members[k].Sign, At(k, LogSizes[k]).Step);
            pulls[k] = (1 / (cause.LogSpread * cause.LogSpread), LogSizes[k] - cause.LogMedian);
        }
    }

    // What is left of the figures.
    private void LeftBy(double[] logSizes, double[] left)
    {
        block.Residual.CopyTo(left, 0);
        for (var k = 0; k < Members.Count; k++)
        {
            var (n, part) = At(k, logSizes[k]);
            var table = block.Table(Members[k].Cause, Members[k].Sign);
            var (low, high) = (table[n], table[n + 1]);
            for (var i = 0; i < left.Length; i++)
                left[i] -= low[i] + (part * (high[i] - low[i]));
        }
    }
}
