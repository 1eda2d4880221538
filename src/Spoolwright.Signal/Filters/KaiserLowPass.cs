namespace Spoolwright.Signal.Filters;

/// <summary>
/// Linear-phase low-pass by a Kaiser window, designed from what it must pass and stop.
/// Ripple of the pass band equals that of the stop band: 100 dB is 0.0001 dB.
/// </summary>
public static class KaiserLowPass
{
    /// <summary>Taps with unit gain at 0 Hz, an odd number of them.</summary>
    /// <param name="passHz">Upper end of the band passed, Hz.</param>
    /// <param name="stopHz">Lower end of the band stopped, Hz; above <paramref name="passHz"/>.</param>
    /// <param name="attenuationDb">How far the stop band lies down, 50 to 140 dB.</param>
    /// <param name="sampleRateHz">Rate the filter runs at, Hz; more than twice <paramref name="passHz"/>.</param>
    public static double[] Design(double passHz, double stopHz, double attenuationDb, double sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(passHz);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(stopHz, passHz);
        ArgumentOutOfRangeException.ThrowIfLessThan(attenuationDb, 50);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(attenuationDb, 140);
        ArgumentOutOfRangeException.ThrowIfLessThanOrEqual(sampleRateHz, passHz * 2);

        // The window's usual estimates of length and shape.
        var transition = 2 * Math.PI * (stopHz - passHz) / sampleRateHz;
        var half = (int)Math.Ceiling((attenuationDb - 7.95) / (2.285 * transition) / 2);
        var beta = 0.1102 * (attenuationDb - 8.7);
        var cutoff = Math.PI * (passHz + stopHz) / sampleRateHz;
        var taps = new double[(2 * half) + 1];
        var sum = 0.0;
        for (var i = -half; i <= half; i++)
        {
            var ideal = i == 0 ? cutoff / Math.PI : Math.Sin(cutoff * i) / (Math.PI * i);
            var x = (double)i / (half + 1);
            taps[i + half] = ideal * BesselI0(beta * Math.Sqrt(1 - (x * x)));
            sum += taps[i + half];
        }

        for (var i = 0; i < taps.Length; i++)
        {
            taps[i] /= sum;
        }

        return taps;
    }

    /// <summary>The window's function: the modified Bessel function of order zero, by its series.</summary>
    internal static double BesselI0(double x)
    {
        double term = 1, sum = 1;
        for (var k = 1; term > sum * 1e-17; k++)
        {
            term *= x * x / (4.0 * k * k);
            sum += term;
        }

        return sum;
    }
}
