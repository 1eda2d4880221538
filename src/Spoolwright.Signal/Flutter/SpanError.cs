using System.Numerics;

namespace Spoolwright.Signal.Flutter;

/// <summary>
/// What a capture's ends leave open in a mean square behind a filter. The first half of the opening seconds is filtered backwards in time
/// (see <see cref="WeightedStatistics"/>), so its lines come out with the opposite phase shift θ. Over the whole of a long signal that
/// changes nothing; over T seconds each product of two lines i, j, which beats at Ω = ωi ± ωj, moves the mean square by at most
/// 2·Ai·Aj·sin(θi ± θj)/(Ω·T), with a variance of (2·Ai·Aj·sin(θi ± θj)/(Ω·T))² over the lines' phases [computed].
/// </summary>
internal static class SpanError
{
    private const int MostLines = 256;

    /// <summary>Standard deviation of the mean square, in its unit.</summary>
    /// <param name="noise">The motion's spectrum.</param>
    /// <param name="binHz">Its bins' distance.</param>
    /// <param name="gain">The filter behind which the mean square was taken.</param>
    /// <param name="highestHz">Where the band stops.</param>
    /// <param name="seconds">T.</param>
    public static double Sigma(FlutterNoise noise, double binHz, Func<double, Complex> gain, double highestHz, double seconds)
    {
        var lines = new List<(double Omega, double Power, double Phase)>();
        for (var k = 1; k < noise.Bins && k * binHz < 1.2 * highestHz; k++)
        {
            var g = gain(k * binHz);
            var power = noise.Motion(k) * binHz * g.Magnitude * g.Magnitude * (k * binHz <= highestHz ? 1 : 0.5);
            if (power > 0)
            {
                lines.Add((2 * Math.PI * k * binHz, power, g.Phase));
            }
        }

        lines.Sort((a, b) => b.Power.CompareTo(a.Power));
        var count = Math.Min(lines.Count, MostLines);
        var near = 3 * 2 * Math.PI * binHz; // a line is spread over the bins next to it by the window: those are one line
        double variance = 0;
        for (var i = 0; i < count; i++)
        {
            var a = lines[i];
            variance += Square(a.Power * Math.Sin(2 * a.Phase) / (a.Omega * seconds));
            for (var j = i + 1; j < count; j++)
            {
                var b = lines[j];
                var sum = Math.Sin(a.Phase + b.Phase) / ((a.Omega + b.Omega) * seconds);
                if (Math.Abs(a.Omega - b.Omega) < near)
                {
                    variance += 8 * a.Power * b.Power * sum * sum;
                    continue;
                }

                var difference = Math.Sin(a.Phase - b.Phase) / ((a.Omega - b.Omega) * seconds);
                variance += 16 * a.Power * b.Power * ((sum * sum) + (difference * difference));
            }
        }

        return Math.Sqrt(variance);
    }

    private static double Square(double x) => x * x;
}
