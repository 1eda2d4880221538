using System.Numerics;

namespace Spoolwright.Signal.Filters;

/// <summary>
/// Butterworth filters in the s plane, −3.01 dB at the edge. A low-pass and a high-pass of one order and edge add to unity in power,
/// so bands split by them add up to the whole.
/// </summary>
public static class Butterworth
{
    /// <summary>Low-pass.</summary>
    public static AnalogueFilter LowPass(int order, double edgeHz)
    {
        var poles = Poles(order, edgeHz);
        return new AnalogueFilter([], poles, Math.Pow(2 * Math.PI * edgeHz, order));
    }

    /// <summary>High-pass.</summary>
    public static AnalogueFilter HighPass(int order, double edgeHz) =>
        new(Enumerable.Repeat(Complex.Zero, order).ToArray(), Poles(order, edgeHz), 1);

    private static Complex[] Poles(int order, double edgeHz)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(order);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(edgeHz);
        return Enumerable.Range(0, order)
            .Select(k => Complex.FromPolarCoordinates(2 * Math.PI * edgeHz, Math.PI * (0.5 + (((2 * k) + 1) / (2.0 * order)))))
            .ToArray();
    }
}
