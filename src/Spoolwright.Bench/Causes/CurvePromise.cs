namespace Spoolwright.Bench.Causes;

/// <summary>What a curve of something unnamed would add to a set's weight if the set's sizes stayed as they are: asked before the curve is
/// fitted, which is costly and mostly for nothing.</summary>
internal sealed class CurvePromise
{
    private readonly double[][] modes;
    private readonly LowerFactor factor;
    private readonly double fixedPart;

    /// <param name="curve">The curve's humps on the even scale, each spread by 1.</param>
    /// <param name="products">Their sums of products.</param>
    /// <param name="logPrior">Logarithm of its prior odds.</param>
    public CurvePromise(EvenColumns curve, double[] products, double logPrior)
    {
        modes = curve.Each;
        var normal = (double[])products.Clone();
        for (var i = 0; i < modes.Length; i++)
            normal[(i * modes.Length) + i] += 1;
        factor = new LowerFactor(normal, modes.Length);
        fixedPart = logPrior - (0.5 * factor.LogDeterminant);
    }

    /// <summary>Gain in the logarithm of the weight.</summary>
    /// <param name="left">What the set leaves of the figures, on the even scale.</param>
    public double Gain(double[] left)
    {
        var even = factor.Even([.. modes.Select(m => LowerFactor.Dot(m, left))]);
        return fixedPart + (0.5 * LowerFactor.Dot(even, even));
    }
}
