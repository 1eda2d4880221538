namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The cheapest ways to read a row of runs as a walk along the tape's list of tones. A step to the next tone is free; one that leaves tones
/// out, stays, or goes back (a section repeated) costs a little: order is evidence only. A run that belongs to no tone costs
/// <see cref="Junk"/>.
/// </summary>
internal static class TonePath
{
    /// <summary>
    /// Cost of a run that belongs to nothing; more than to leave the order and come back to it (<see cref="Jump"/> and a skip), so that a
    /// tone out of order is still known by frequency and level. Costs are negative logarithms of likelihood, about.
    /// </summary>
    public const double Junk = 11.5;

    private const double Skip = 3;
    private const double SkipEach = 0.2;
    private const double Jump = 4;

    /// <summary>
    /// For every run and every place in the list, the cost of the cheapest walk that reads the run as that place; the last column: as
    /// nothing.
    /// </summary>
    /// <param name="cost">Cost of reading run r as place i by its level; infinite where the frequency differs.</param>
    /// <param name="backwards">Whether the list is gone through from its end.</param>
    public static double[,] Marginals(double[,] cost, bool backwards)
    {
        int runs = cost.GetLength(0), places = cost.GetLength(1);
        var step = new double[places, places];
        for (var i = 0; i < places; i++)
        {
            for (var j = 0; j < places; j++)
            {
                var ahead = backwards ? i - j : j - i;
                step[i, j] = ahead == 1 ? 0 : ahead > 1 ? Skip + (SkipEach * (ahead - 1)) : Jump;
            }
        }

        // State "places" is the start, before any tone: every first tone is free, since captures start late.
        var until = new double[runs + 1, places + 1];
        var arrive = new double[runs, places];
        Fill(until, double.PositiveInfinity);
        until[0, places] = 0;
        for (var r = 0; r < runs; r++)
        {
            for (var i = 0; i <= places; i++)
            {
                until[r + 1, i] = until[r, i] + Junk;
            }

            for (var i = 0; i < places; i++)
            {
                arrive[r, i] = double.PositiveInfinity;
                if (double.IsPositiveInfinity(cost[r, i]))
                {
                    continue;
                }

                var best = until[r, places];
                for (var k = 0; k < places; k++)
                {
                    best = Math.Min(best, until[r, k] + step[k, i]);
                }

                arrive[r, i] = best + cost[r, i];
                until[r + 1, i] = Math.Min(until[r + 1, i], arrive[r, i]);
            }
        }

        var rest = new double[runs + 1, places + 1];
        for (var r = runs - 1; r >= 0; r--)
        {
            for (var i = 0; i <= places; i++)
            {
                var best = rest[r + 1, i] + Junk;
                for (var j = 0; j < places; j++)
                {
                    if (!double.IsPositiveInfinity(cost[r, j]))
                    {
                        best = Math.Min(best, (i == places ? 0 : step[i, j]) + cost[r, j] + rest[r + 1, j]);
                    }
                }

                rest[r, i] = best;
            }
        }

        var marginals = new double[runs, places + 1];
        for (var r = 0; r < runs; r++)
        {
            marginals[r, places] = double.PositiveInfinity;
            for (var i = 0; i <= places; i++)
            {
                marginals[r, places] = Math.Min(marginals[r, places], until[r, i] + Junk + rest[r + 1, i]);
                if (i < places)
                {
                    marginals[r, i] = arrive[r, i] + rest[r + 1, i];
                }
            }
        }

        return marginals;
    }

    private static void Fill(double[,] table, double value)
    {
        for (var i = 0; i < table.GetLength(0); i++)
        {
            for (var j = 0; j < table.GetLength(1); j++)
            {
                table[i, j] = value;
            }
        }
    }
}
