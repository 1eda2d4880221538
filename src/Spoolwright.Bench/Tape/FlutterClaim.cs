namespace Spoolwright.Bench.Tape;

/// <summary>The claim of one harmonic of one part to lines near its rate.</summary>
internal sealed class FlutterClaim
{
    private readonly double low;
    private readonly double high;

    public FlutterClaim(RotatingRate rate, int harmonic)
    {
        Rate = rate;
        (var lowHz, var highHz) = rate.Harmonic(harmonic);
        (low, high) = (Math.Log(lowHz), Math.Log(highHz));
        // Eccentric parts show their turn first, oval ones twice it: higher harmonics are rarer.
        Worth = 1.0 / harmonic;
        Cause = new FlutterCause(rate.Part.Name, rate.Part.Kind, harmonic, lowHz, highHz);
    }

    public RotatingRate Rate { get; }

    public FlutterCause Cause { get; }

    public double Worth { get; }

    /// <summary>How densely the claim lies at the line, per unit of ln f.</summary>
    public double Density(FlutterLineSeen line)
    {
        // Both widths are k = 2.
        var sigma = Math.Max(1e-6, double.Hypot(Rate.RelativeTolerance, line.FrequencyUncertaintyHz / line.FrequencyHz) / 2);
        var x = Math.Log(line.FrequencyHz);
        if (high - low < sigma)
        {
            var z = (x - (low + high) / 2) / sigma;
            return Math.Exp(-z * z / 2) / (sigma * Math.Sqrt(2 * Math.PI));
        }

        // Even over the range, with edges as soft as the line is uncertain.
        return Rise((x - low) / sigma) * Rise((high - x) / sigma) / (high - low);
    }

    /// <summary>Relative distance from the rate, 0 within a range.</summary>
    public double Distance(double frequencyHz)
    {
        var x = Math.Log(frequencyHz);
        return x < low ? low - x : Math.Max(0, x - high);
    }

    private static double Rise(double z) => 1 / (1 + Math.Exp(-1.702 * z));
}
