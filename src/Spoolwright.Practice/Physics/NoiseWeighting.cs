namespace Spoolwright.Practice.Physics;

/// <summary>Weighting curves of noise as closed formulas, amplitude factors: the practice deck's own copy, for the truth about its
/// noise.</summary>
public static class NoiseWeighting
{
    /// <summary>From 22.4 Hz to 22.4 kHz, steep-sided. [IEC60268-1]</summary>
    public static double Unweighted(double hertz) => hertz is >= 22.4 and <= 22400 ? 1 : 0;

    /// <summary>A-weighting by its four poles, 1 at 1 kHz. [IEC61672-1:2013]</summary>
    public static double A(double hertz)
    {
        static double Shape(double f)
        {
            var s = f * f;
            return 12194.217
                * 12194.217
                * s
                * s
                / (
                    (s + (20.598997 * 20.598997))
                    * Math.Sqrt((s + (107.65265 * 107.65265)) * (s + (737.86223 * 737.86223)))
                    * (s + (12194.217 * 12194.217))
                );
        }

        return Shape(hertz) / Shape(1000);
    }

    /// <summary>The 468 curve by the polynomials of its filter, 1 at 1 kHz. [BS468-4]</summary>
    public static double Itu468(double hertz)
    {
        static double Shape(double f)
        {
            var s = f * f;
            var even = (((((-4.737338981378384e-24 * s) + 2.043828333606125e-15) * s) - 1.363894795463638e-7) * s) + 1;
            var odd = ((((1.306612257412824e-19 * s) - 2.118150887518656e-11) * s) + 5.559488023498642e-4) * f;
            return f / Math.Sqrt((even * even) + (odd * odd));
        }

        return Shape(hertz) / Shape(1000);
    }
}
