namespace Spoolwright.Bench.Causes;

/// <summary>What a curve of something unnamed would add to a set's weight if the set's sizes stayed as they are: asked before the curve is fitted, which is costly and mostly for nothing.</summary>
internal sealed class CurvePromise
{
    private readonly double[][] modes;
    private readonly LowerFactor factor;
    private readonly double fixedPart;

    /// <param name="modes">The curve's humps on the even scale, each spread by 1.</param>
    /// <param name="logPrior">Logarithm of its prior odds.</param>
    public CurvePromise(double[][] modes, double logPrior)
    {
        this.modes = modes;
        var normal = new double[modes.Length, modes.Length];
        for (var i = 0; i < modes.Length; i++)
        {
            for (var j = 0; j <= i; j++)
                normal[i, j] = normal[j, i] = LowerFactor.Dot(modes[i], modes[j], modes[i].Length) + (i == j ? 1 : 0);
        }

        factor = new LowerFactor(normal);
        fixedPart = logPrior - (0.5 * factor.LogDeterminant);
    }

    /// <summary>Gain in the logarithm of the weight.</summary>
    /// <param name="left">What the set leaves of the figures, on the even scale.</param>
    public double Gain(double[] left)
    {
        var even = factor.Even([.. modes.Select(m => LowerFactor.Dot(m, left, left.Length))]);
        return fixedPart + (0.5 * LowerFactor.Dot(even, even, even.Length));
    }
}
