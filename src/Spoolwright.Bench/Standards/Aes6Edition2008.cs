namespace Spoolwright.Bench.Standards;

/// <summary>The statistical reading of [AES6:2008] (and [IEC60386:1988]), which supersedes the quasi-peak one.</summary>
public static class Aes6Edition2008
{
    /// <summary>Share of the time for which the weighted deviation is at most the reading: exceeded for 5 % [memory; the name
    /// seen].</summary>
    public const double Quantile = 0.95;

    /// <summary>Shortest time it may be read over, s (seen).</summary>
    public const double ShortestSeconds = 5;

    /// <summary>What a steady sine of peak 1 reads: sin(0.95·π/2) [computed].</summary>
    public static double SineReading { get; } = Math.Sin(Quantile * Math.PI / 2);
}
