namespace Spoolwright.Bench.Measurements;

/// <summary>
/// Rows of a least-squares fit turned so that their columns stand square to each other (Gram and Schmidt, each taken off in turn): powers
/// of nearly the same number are hardly told apart, and their normal equations would lose half of the digits. A column that the others make
/// up already is nothing.
/// </summary>
internal sealed class EvenRows
{
    // What rounding leaves of a column that the others make up.
    private const double Nothing = 1e-9;

    private readonly double[][] _turn;

    private EvenRows(double[][] turn) => _turn = turn;

    /// <summary>By the rows that will be fitted.</summary>
    public static EvenRows Of(double[][] rows)
    {
        var n = rows[0].Length;
        double[][] columns = [.. Enumerable.Range(0, n).Select(k => rows.Select(r => r[k]).ToArray())];
        double[][] turn = [.. Enumerable.Range(0, n).Select(k => Enumerable.Range(0, n).Select(j => j == k ? 1.0 : 0).ToArray())];
        for (var k = 0; k < n; k++)
        {
            var before = Math.Sqrt(columns[k].Sum(x => x * x));

            // Twice: what rounding leaves of the first time is taken off as well.
            for (var round = 0; round < 2; round++)
            {
                for (var j = 0; j < k; j++)
                {
                    var share = columns[k].Zip(columns[j], (a, b) => a * b).Sum();
                    Take(columns[k], columns[j], share);
                    Take(turn[k], turn[j], share);
                }
            }

            var length = Math.Sqrt(columns[k].Sum(x => x * x));
            var scale = length > Nothing * before ? 1 / length : 0;
            (columns[k], turn[k]) = ([.. columns[k].Select(x => x * scale)], [.. turn[k].Select(x => x * scale)]);
        }

        return new EvenRows(turn);
    }

    /// <summary>A row in the turned columns.</summary>
    public double[] Of(double[] row) => [.. _turn.Select(t => t.Zip(row, (a, b) => a * b).Sum())];

    private static void Take(double[] from, double[] other, double share)
    {
        for (var i = 0; i < from.Length; i++)
        {
            from[i] -= share * other[i];
        }
    }
}
