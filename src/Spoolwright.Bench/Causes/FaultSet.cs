namespace Spoolwright.Bench.Causes;

/// <summary>Some causes at work at once, with their most likely sizes and how well they fit one block of figures.</summary>
internal sealed class FaultSet
{
    private const int Rounds = 12;
    private const double MostStep = 0.8;
    private const int MostRefits = 4;
    private const double NoMore = 0.05;

    private readonly CauseBlock block;

    public FaultSet(CauseBlock block, IReadOnlyList<(int Cause, int Sign)> members, double[] logSizes, IReadOnlyList<double[]>? unnamed = null)
    {
        this.block = block;
        Members = members;
        LogSizes = logSizes;
        Unnamed = unnamed ?? [];
    }

    /// <summary>The causes, by place in the block's list, with the sign of each.</summary>
    public IReadOnlyList<(int Cause, int Sign)> Members { get; }

    /// <summary>Logarithm of each one's size.</summary>
    public double[] LogSizes { get; }

    /// <summary>Curves of something that no cause describes, on the even scale; empty: nothing of the kind.</summary>
    public IReadOnlyList<double[]> Unnamed { get; }

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
            if (Unnamed.Count == 0)
                return Rest;
            var (left, _) = Predict(LogSizes);
            return LowerFactor.Dot(left, left, left.Length);
        }
    }

    /// <summary>Which causes, without regard to order.</summary>
    public string Key => string.Join(' ', Members.OrderBy(m => m.Cause).Select(m => $"{m.Cause}{(m.Sign > 0 ? '+' : '-')}"));

    /// <summary>Fits the sizes and weighs the set.</summary>
    /// <param name="logPrior">Logarithm of the prior odds of the set.</param>
    public FaultSet Fit(double logPrior)
    {
        for (var round = 0; round < Rounds; round++)
        {
            var (left, slopes) = Predict(LogSizes);
            if (Members.Count == 0)
                break;
            var step = Solve(left, slopes, [], out _, out _);
            var before = Objective(left, LogSizes);
            var most = 0.0;
            for (var halving = 0; halving < 6; halving++)
            {
                var tried = LogSizes.Select((x, i) => x + Math.Clamp(step[i], -MostStep, MostStep)).ToArray();
                if (Objective(Predict(tried).Left, tried) <= before + 1e-9 || halving == 5)
                {
                    most = tried.Select((x, i) => Math.Abs(x - LogSizes[i])).Max();
                    Array.Copy(tried, LogSizes, tried.Length);
                    break;
                }

                step = [.. step.Select(s => s / 3)];
            }

            if (most < 1e-3)
                break;
        }

        Weigh(logPrior);
        return this;
    }

    private void Weigh(double logPrior)
    {
        // The laws' misses and the unnamed curves are further unknowns, each spread by 1. Where they take over what a size was fitted to before, that size shrinks, and its misses with it:
        // misses of a size that is no longer held would be a curve of something unnamed for nothing.
        double[][] modes = [];
        var solution = Array.Empty<double>();
        var (logDeterminant, deviations) = (0.0, Array.Empty<double>());
        var (left, slopes) = (Array.Empty<double>(), Array.Empty<double[]>());
        var most = Unnamed.Count > 0 ? MostRefits : 1;
        for (var round = 0; round <= most; round++)
        {
            modes = [.. Members.SelectMany((m, i) => block.Misses(m.Cause, m.Sign, LogSizes[i])), .. Unnamed];
            (left, slopes) = Predict(LogSizes);
            solution = Solve(left, slopes, modes, out logDeterminant, out deviations);
            if (round == most || (round > 0 && Members.Select((_, i) => Math.Abs(solution[i])).DefaultIfEmpty(0).Max() < NoMore))
                break;
            for (var i = 0; i < Members.Count; i++)
                LogSizes[i] += Math.Clamp(solution[i], -MostStep, MostStep);
        }

        var rest = (double[])left.Clone();
        var squares = 0.0;
        for (var k = 0; k < modes.Length; k++)
        {
            var z = solution[Members.Count + k];
            squares += z * z;
            for (var i = 0; i < rest.Length; i++)
                rest[i] -= z * modes[k][i];
        }

        for (var k = 0; k < Members.Count; k++)
        {
            for (var i = 0; i < rest.Length; i++)
                rest[i] -= solution[k] * slopes[k][i];
            var at = (LogSizes[k] + solution[k] - block.Causes[Members[k].Cause].LogMedian) / block.Causes[Members[k].Cause].LogSpread;
            squares += at * at;
        }

        Left = rest;
        Deviations = deviations;
        Rest = LowerFactor.Dot(rest, rest, rest.Length);
        Weight = logPrior - (0.5 * (Rest + squares)) - (0.5 * logDeterminant) - Members.Sum(m => Math.Log(block.Causes[m.Cause].LogSpread));
    }

    private double Objective(double[] left, double[] logSizes)
    {
        var sum = LowerFactor.Dot(left, left, left.Length);
        for (var i = 0; i < Members.Count; i++)
        {
            var cause = block.Causes[Members[i].Cause];
            var at = (logSizes[i] - cause.LogMedian) / cause.LogSpread;
            sum += at * at;
        }

        return sum;
    }

    // What is left of the figures, and how each cause's change grows with the logarithm of its size.
    private (double[] Left, double[][] Slopes) Predict(double[] logSizes)
    {
        var left = (double[])block.Residual.Clone();
        var slopes = new double[Members.Count][];
        for (var k = 0; k < Members.Count; k++)
        {
            var cause = block.Causes[Members[k].Cause];
            var table = block.Table(Members[k].Cause, Members[k].Sign);
            var first = Math.Log(cause.Sizes[0]);
            var step = Math.Log(cause.Sizes[1] / cause.Sizes[0]);
            var at = Math.Clamp((logSizes[k] - first) / step, 0, table.Length - 1.000001);
            var n = (int)at;
            var part = at - n;
            var (low, high) = (table[n], table[n + 1]);
            slopes[k] = new double[left.Length];
            for (var i = 0; i < left.Length; i++)
            {
                slopes[k][i] = (high[i] - low[i]) / step;
                left[i] -= low[i] + (part * (high[i] - low[i]));
            }
        }

        return (left, slopes);
    }

    private double[] Solve(double[] left, double[][] slopes, double[][] modes, out double logDeterminant, out double[] deviations)
    {
        var (k, n) = (slopes.Length, slopes.Length + modes.Length);
        if (n == 0)
        {
            (logDeterminant, deviations) = (0, []);
            return [];
        }

        var normal = new double[n, n];
        var right = new double[n];
        double[] Column(int i) => i < k ? slopes[i] : modes[i - k];
        for (var i = 0; i < n; i++)
        {
            var a = Column(i);
            right[i] = LowerFactor.Dot(a, left, left.Length);
            for (var j = 0; j <= i; j++)
                normal[i, j] = normal[j, i] = LowerFactor.Dot(a, Column(j), left.Length);
            normal[i, i] += 1;
            if (i < k)
            {
                var cause = block.Causes[Members[i].Cause];
                var precision = 1 / (cause.LogSpread * cause.LogSpread);
                normal[i, i] += precision - 1;
                right[i] -= (LogSizes[i] - cause.LogMedian) * precision;
            }
        }

        var factor = new LowerFactor(normal);
        logDeterminant = factor.LogDeterminant;
        deviations = new double[k];
        for (var i = 0; i < k; i++)
        {
            var unit = new double[n];
            unit[i] = 1;
            deviations[i] = Math.Sqrt(factor.Solve(unit)[i]);
        }

        return factor.Solve(right);
    }
}
