namespace Spoolwright.Signal.Spectra;

/// <summary>The periodic Hann window, for spectra of blocks that overlap by half.</summary>
public static class HannWindow
{
    /// <summary>Width in bins that white noise seems to have after the window: exactly 1.5.</summary>
    public const double EquivalentNoiseBins = 1.5;

    /// <summary>w[n] = 0.5 − 0.5·cos(2πn/N).</summary>
    /// <param name="length">N, at least 2.</param>
    public static double[] Periodic(int length)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(length, 2);
        var window = new double[length];
        for (var i = 0; i < length; i++)
        {
            window[i] = 0.5 - (0.5 * Math.Cos(2 * Math.PI * i / length));
        }

        return window;
    }
}
