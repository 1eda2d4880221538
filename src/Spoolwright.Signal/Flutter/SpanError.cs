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
    private const int MostLines = 160;
    private const double SmallestShare = 1e-5;

    // What the filters bring with them out of the mirror adds a sixth to the variance [calibrated by simulation].
    private const double Mirror = 1.17;

    /// <summary>Standard deviation of the mean square, in its unit.</summary>
    /// <param name="noise">The motion's spectrum.</param>
    /// <param name="gain">The filter behind which the mean square was taken.</param>
    /// <param name="seconds">T.</param>
    /// <param name="edgeSeconds">Length hidden at either end.</param>
    public static double Sigma(FlutterNoise noise, Func<double, Complex> gain, double seconds, double edgeSeconds)
    {
        var lines = new List<(double Omega, double Power, double Sin, double Cos)>();
        double total = 0;
        for (var k = 1; k < noise.BandBins; k++)
        {
            var g = gain(k * noise.BinHz) * noise.Stop(k);
            var power = noise.Motion(k) * noise.BinHz * g.Magnitude * g.Magnitude;
            total += power;
            if (power > 0)
            {
                lines.Add((2 * Math.PI * k * noise.BinHz, power, Math.Sin(g.Phase), Math.Cos(g.Phase)));
            }
        }

        total = Math.Max(0, total);
        lines.Sort((a, b) => b.Power.CompareTo(a.Power));
        var count = Math.Min(lines.Count, MostLines);
        while (count > 1 && lines[count - 1].Power < SmallestShare * lines[0].Power)
        {
            count--;
        }

        // What is hidden for e at each of the two ends differs from the mean square by about as much as that itself.
        var ends = Math.Sqrt(2) * total * (edgeSeconds + SpeedStatistics.TrimSeconds) / seconds;
        var near = 3 * 2 * Math.PI * noise.BinHz; // a line is spread over the bins next to it by the window: those are one line
        double variance = 0;
        for (var i = 0; i < count; i++)
        {
            var a = lines[i];
            variance += Square(a.Power * 2 * a.Sin * a.Cos / a.Omega);
            for (var j = i + 1; j < count; j++)
            {
                var b = lines[j];
                var sum = ((a.Sin * b.Cos) + (a.Cos * b.Sin)) / (a.Omega + b.Omega);
                if (Math.Abs(a.Omega - b.Omega) < near)
                {
                    variance += 8 * a.Power * b.Power * sum * sum;
                    continue;
                }

                var difference = ((a.Sin * b.Cos) - (a.Cos * b.Sin)) / (a.Omega - b.Omega);
                variance += 16 * a.Power * b.Power * ((sum * sum) + (difference * difference));
            }
        }

        return Math.Sqrt((Mirror * variance / (seconds * seconds)) + (ends * ends));
    }

    private static double Square(double x) => x * x;
}
