namespace Spoolwright.Bench.Tape;

/// <summary>Amplitude ratios in dB that stay finite: a null is given as <see cref="Floor"/>.</summary>
internal static class Decibels
{
    /// <summary>What stands for a null, dB: far under anything a bench can see, and still a number.</summary>
    public const double Floor = -200;

    public static double Of(double amplitude) => Math.Max(Floor, 20 * Math.Log10(Math.Max(Math.Abs(amplitude), 1e-10)));

    /// <summary>sin(πu)/(πu).</summary>
    public static double Sinc(double u)
    {
        var x = Math.PI * u;
        return Math.Abs(x) < 1e-8 ? 1 : Math.Sin(x) / x;
    }
}
