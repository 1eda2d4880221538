namespace Spoolwright.Bench.Causes;

/// <summary>The equations by which a set's sizes, and what their laws may miss, are fitted at once to what is left of the figures.</summary>
internal sealed class NormalEquations
{
    private readonly EvenColumns[] slopes;
    private readonly double[] normal;
    private readonly double[][] columns;
    private readonly int n;
    private LowerFactor? factor;

    /// <param name="block">The block, which keeps the sums of products.</param>
    /// <param name="slopes">How each cause's change grows with its size, one each.</param>
    /// <param name="modes">Further unknowns, each spread by 1.</param>
    public NormalEquations(CauseBlock block, EvenColumns[] slopes, EvenColumns[] modes)
    {
        this.slopes = slopes;
        EvenColumns[] all = [.. slopes, .. modes];
        columns = [.. all.SelectMany(a => a.Each)];
        n = columns.Length;
        normal = new double[n * n];
        var row = 0;
        foreach (var (a, first) in all.Index())
        {
            var column = 0;
            foreach (var second in all.AsSpan(0, a + 1))
            {
                var products = block.Products(first, second);
                for (var i = 0; i < first.Each.Length; i++)
                    products.AsSpan(i * second.Each.Length, second.Each.Length).CopyTo(normal.AsSpan(((row + i) * n) + column));
                column += second.Each.Length;
            }

            row += first.Each.Length;
        }

        for (var i = slopes.Length; i < n; i++)
            normal[(i * n) + i] += 1;
    }

    /// <summary>Solves them.</summary>
    /// <param name="left">What is left of the figures.</param>
    /// <param name="pull">How firmly each size is held to the typical one, and how far it lies from that.</param>
    public double[] Solve(double[] left, Func<int, (double Precision, double Off)> pull)
    {
        if (n == 0)
            return [];
        var right = new double[n];
        for (var i = 0; i < n; i++)
            right[i] = LowerFactor.Dot(columns[i], left);
        for (var i = 0; i < slopes.Length; i++)
        {
            var (precision, off) = pull(i);
            normal[(i * n) + i] += precision;
            right[i] -= off * precision;
        }

        factor = new LowerFactor(normal, n);
        return factor.Solve(right);
    }

    /// <summary>Logarithm of the determinant, once solved.</summary>
    public double LogDeterminant => factor?.LogDeterminant ?? 0;

    /// <summary>Standard deviation of each size's logarithm, once solved.</summary>
    public double[] Deviations() => [.. slopes.Select((_, i) => Math.Sqrt(factor!.Inverse(i)))];
}
