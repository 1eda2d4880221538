namespace Spoolwright.Bench.Causes;

/// <summary>Changes on a block's even scale that always go together: how one law grows at one size, how it misses there, or a curve of
/// something unnamed.</summary>
/// <param name="Number">Tells them from the block's others.</param>
/// <param name="Each">The changes.</param>
internal sealed record EvenColumns(int Number, double[][] Each)
{
    public static readonly EvenColumns None = new(0, []);
}
