namespace Spoolwright.Bench.Controls;

/// <summary>Looks for the turn from which most is to be expected: how far off each target should be, in its half widths, with a share of
/// the spread.</summary>
internal sealed class TurnSearch(Adjustment adjustment, TurnModel model)
{
    // A sure step counts a little more than a doubtful one to the same place; more caution than this only costs moves.
    private const double Caution = 0.01;

    // Of two turns to the same end, the shorter.
    private const double Laziness = 1e-3;

    // Of two hopes alike, the likelier.
    private const double Impatience = 0.01;

    private static readonly int[] GridPoints = [241, 41, 15, 9];
    private readonly double[] _aims = [.. adjustment.Targets.Select((t, i) => t.AimFor(adjustment.Latest[i].Uncertainty ?? 0))];
    private readonly double[] _scales = [.. adjustment.Targets.Select((t, i) => t.Scale(adjustment.Latest[i].Uncertainty ?? 0))];

    /// <summary>Where each target should come to.</summary>
    public IReadOnlyList<double> Aims => _aims;

    /// <summary>The best turn of the controls that may be turned, in parts of their range, as the dial shows it.</summary>
    /// <param name="free">Which controls may be turned.</param>
    /// <param name="hopeful">
    /// Looks for the turn after which the targets may be met, rather than for the one from which most is expected: out of a place where the
    /// law is flat, such as the peak of the bias curve, where the near parabola sees nothing better.
    /// </param>
    public double[] Best(bool[] free, bool hopeful = false)
    {
        var dials = adjustment.Controls.Select((c, i) => adjustment.Dial(i, adjustment.Moves.Count)).ToArray();
        var low = adjustment.Controls.Select((c, i) => free[i] ? (c.From - dials[i]) / c.Span : 0).ToArray();
        var high = adjustment.Controls.Select((c, i) => free[i] ? (c.To - dials[i]) / c.Span : 0).ToArray();
        var best = new double[dials.Length];
        var bestCost = Cost(best, hopeful);
        var points = GridPoints[Math.Clamp(free.Count(f => f), 1, 4) - 1];
        var at = new double[dials.Length];
        Scan(0);
        Refine();
        return best;

        void Scan(int control)
        {
            if (control == at.Length)
            {
                Keep();
                return;
            }

            if (!free[control])
            {
                Scan(control + 1);
                return;
            }

            for (var i = 0; i < points; i++)
            {
                at[control] = low[control] + (high[control] - low[control]) * i / (points - 1);
                Scan(control + 1);
            }

            at[control] = 0;
        }

        void Keep()
        {
            var cost = Cost(at, hopeful);
            if (cost >= bestCost)
                return;
            bestCost = cost;
            at.CopyTo(best, 0);
        }

        // Steps along the controls and along both diagonals of each pair: where two controls interact, the valley runs across.
        void Refine()
        {
            for (var step = 1.0 / (points - 1); step > 2e-5; step /= 2)
            {
                for (var moved = true; moved;)
                {
                    var before = bestCost;
                    for (var c = 0; c < at.Length; c++)
                    {
                        for (var d = 0; d <= c; d++)
                        {
                            Try(c, step, d, step);
                            Try(c, -step, d, -step);
                            Try(c, step, d, -step);
                            Try(c, -step, d, step);
                        }
                    }

                    moved = bestCost < before - 1e-12;
                }
            }
        }

        void Try(int c, double stepC, int d, double stepD)
        {
            if (c == d && stepC != stepD)
                return;
            best.CopyTo(at, 0);
            at[c] = Math.Clamp(best[c] + (free[c] ? stepC : 0), low[c], high[c]);
            if (d != c)
                at[d] = Math.Clamp(best[d] + (free[d] ? stepD : 0), low[d], high[d]);
            Keep();
        }
    }

    /// <summary>Value of a target after turning the dials that far, with its standard deviation.</summary>
    public (double Value, double Deviation) After(int target, ReadOnlySpan<double> turn)
    {
        Span<double> driven = stackalloc double[turn.Length];
        for (var c = 0; c < turn.Length; c++)
            driven[c] = turn[c] == 0 ? 0 : turn[c] - adjustment.Controls[c].Approach * model.Lost[c].Mean;
        return model.After(target, driven);
    }

    /// <summary>How far off the worst target should be, in its half widths.</summary>
    public double Worst(ReadOnlySpan<double> turn)
    {
        var worst = 0.0;
        for (var t = 0; t < _aims.Length; t++)
            worst = Math.Max(worst, Math.Abs(After(t, turn).Value - _aims[t]) / _scales[t]);
        return worst;
    }

    /// <summary>How wide the worst-known target may spread, two standard deviations in its half widths.</summary>
    public double Spread(ReadOnlySpan<double> turn)
    {
        var widest = 0.0;
        for (var t = 0; t < _aims.Length; t++)
            widest = Math.Max(widest, 2 * After(t, turn).Deviation / _scales[t]);
        return widest;
    }

    private double Cost(ReadOnlySpan<double> turn, bool hopeful)
    {
        var cost = 0.0;
        for (var t = 0; t < _aims.Length; t++)
        {
            var (value, deviation) = After(t, turn);
            var off = (value - _aims[t]) / _scales[t];
            var spread = deviation / _scales[t];
            var hope = Math.Max(0, Math.Abs(off) - 2 * spread);
            cost += hopeful ? hope * hope + Impatience * off * off : off * off + Caution * spread * spread;
        }

        foreach (var t in turn)
            cost += Laziness * t * t;
        return cost;
    }
}
