namespace Spoolwright.Signal.Alignment;

/// <summary>The path through rows of correlation that gathers most while it moves no more than so many places from row to row.</summary>
internal static class LagPath
{
    // In silence the path stays where it is; a sound of its own outweighs this tenfold.
    private const double MoveCost = 0.01;

    /// <summary>The path's place in each row.</summary>
    /// <param name="rows">Rows of the same length.</param>
    /// <param name="most">Places it may move from a row to the next.</param>
    public static int[] Through(float[][] rows, int most)
    {
        var width = rows[0].Length;
        var from = new short[rows.Length][];
        double[] gathered = [.. rows[0].Select(v => (double)v)], next = new double[width];
        for (var w = 1; w < rows.Length; w++)
        {
            from[w] = new short[width];
            for (var i = 0; i < width; i++)
            {
                var best = i;
                var highest = gathered[i];
                for (var j = Math.Max(0, i - most); j <= Math.Min(width - 1, i + most); j++)
                {
                    var worth = gathered[j] - (MoveCost * Math.Abs(j - i));
                    if (worth > highest)
                    {
                        (best, highest) = (j, worth);
                    }
                }

                from[w][i] = (short)(best - i);
                next[i] = highest + Math.Max(0, rows[w][i]);
            }

            (gathered, next) = (next, gathered);
        }

        var path = new int[rows.Length];
        path[^1] = Array.IndexOf(gathered, gathered.Max());
        for (var w = rows.Length - 1; w > 0; w--)
        {
            path[w - 1] = path[w] + from[w][path[w]];
        }

        return path;
    }
}
