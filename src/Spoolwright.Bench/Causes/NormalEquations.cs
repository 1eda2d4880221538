namespace Spoolwright.Bench.Causes;

/// <summary>
/// The equations by which a set's sizes, and what their laws may miss, are fitted at once to what is left of the figures. A block has one
/// room for them, for one set after the other: a deck's readings meet thousands of sets, and what they would leave to be swept up cost more
/// than the sums.
/// </summary>
/// <param name="block">The block, which keeps the sums of products.</param>
internal sealed class NormalEquations(CauseBlock block)
{
    private readonly List<double[]> columns = [];
    private readonly LowerFactor factor = new();
    private double[] normal = [];
    private double[] solution = [];

    /// <summary>Sets them up.</summary>
    /// <param name="slopes">How each cause's change grows with its size, one column each.</param>
    /// <param name="modes">Further unknowns, each spread by 1; they come after the slopes.</param>
    public void SetUp(ReadOnlySpan<EvenColumns> slopes, ReadOnlySpan<EvenColumns> modes)
    {
        columns.Clear();
        foreach (var slope in slopes)
            columns.AddRange(slope.Each);
        foreach (var mode in modes)
            columns.AddRange(mode.Each);
        var n = columns.Count;
        if (solution.Length < n)
            (normal, solution) = (new double[n * n], new double[n]);
        var row = 0;
        for (var a = 0; a < slopes.Length + modes.Length; a++)
        {
            var (first, column) = (At(slopes, modes, a), 0);
            for (var b = 0; b <= a; b++)
            {
                var second = At(slopes, modes, b);
                var products = block.Products(first, second);
                var wide = second.Each.Length;
                for (var i = 0; i < first.Each.Length; i++)
                    Array.Copy(products, i * wide, normal, ((row + i) * n) + column, wide);
                column += wide;
            }

            row += first.Each.Length;
        }

        for (var i = slopes.Length; i < n; i++)
            normal[(i * n) + i] += 1;
    }

    /// <summary>Solves them.</summary>
    /// <param name="left">What is left of the figures.</param>
    /// <param name="pulls">How firmly each size is held to the typical one, and how far it lies from that.</param>
    /// <returns>The unknowns, slopes first; they hold until the room is used again.</returns>
    public Span<double> Solve(double[] left, ReadOnlySpan<(double Precision, double Off)> pulls)
    {
        var n = columns.Count;
        var right = solution.AsSpan(0, n);
        for (var i = 0; i < n; i++)
            right[i] = LowerFactor.Dot(columns[i], left);
        for (var i = 0; i < pulls.Length; i++)
        {
            normal[(i * n) + i] += pulls[i].Precision;
            right[i] -= pulls[i].Off * pulls[i].Precision;
        }

        factor.Take(normal, n);
        factor.Solve(right);
        return right;
    }

    /// <summary>Logarithm of the determinant, once solved.</summary>
    public double LogDeterminant => factor.LogDeterminant;

    /// <summary>Standard deviation of a size's logarithm, once solved.</summary>
    public double Deviation(int size) => Math.Sqrt(factor.Inverse(size));

    private static EvenColumns At(ReadOnlySpan<EvenColumns> slopes, ReadOnlySpan<EvenColumns> modes, int i) =>
        i < slopes.Length ? slopes[i] : modes[i - slopes.Length];
}
