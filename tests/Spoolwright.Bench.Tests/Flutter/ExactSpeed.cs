using System.Numerics;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal.Filters;

namespace Spoolwright.Bench.Tests.Flutter;

/// <summary>
/// What a speed made of lines reads exactly: every line is carried through the analogue filters by its own complex gain, as if the deck had
/// run for ever, and the sum is looked at over the capture. No filter runs, nothing is shared with the meter but the filters' definitions.
/// </summary>
public sealed class ExactSpeed(IReadOnlyList<SpeedLine> lines)
{
    private static readonly AnalogueFilter Lowest = Butterworth.HighPass(2, FlutterPractice.LowestHz);
    private static readonly AnalogueFilter WowEdge = Butterworth.LowPass(2, FlutterPractice.WowFlutterHz);
    private static readonly AnalogueFilter FlutterEdge = Butterworth.HighPass(2, FlutterPractice.WowFlutterHz);

    public double[] Weighted(double seconds, double rateHz) => Filtered(Iec60386Edition1988.WeightingFilter.At, seconds, rateHz);

    public double[] Unweighted(double seconds, double rateHz) => Filtered(Lowest.At, seconds, rateHz);

    public double[] Wow(double seconds, double rateHz) => Filtered(f => Lowest.At(f) * WowEdge.At(f), seconds, rateHz);

    public double[] Flutter(double seconds, double rateHz) => Filtered(f => Lowest.At(f) * FlutterEdge.At(f), seconds, rateHz);

    public double[] Filtered(Func<double, Complex> gain, double seconds, double rateHz)
    {
        var y = new double[(int)(seconds * rateHz)];
        foreach (var line in lines)
        {
            var g = gain(line.Hz);
            var z = Complex.FromPolarCoordinates(line.PeakPercent * g.Magnitude, line.Phase + g.Phase + (Math.PI * line.Hz / rateHz));
            var step = Complex.FromPolarCoordinates(1, 2 * Math.PI * line.Hz / rateHz);
            for (var i = 0; i < y.Length; i++)
            {
                y[i] += z.Imaginary;
                z *= step;
            }
        }

        return y;
    }

    public static double Rms(double[] y) => Math.Sqrt(y.Sum(v => v * v) / y.Length);

    /// <summary>The magnitude exceeded for 5 % of the time.</summary>
    public static double TwoSigma(double[] y)
    {
        var sorted = y.Select(Math.Abs).Order().ToArray();
        return sorted.Length == 0 ? 0 : sorted[(int)(0.95 * sorted.Length)];
    }
}
