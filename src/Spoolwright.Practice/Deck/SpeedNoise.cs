namespace Spoolwright.Practice.Deck;

/// <summary>Unsteadiness of speed without a period: noise in a band, slopes of 12 dB an octave outside it.</summary>
/// <param name="Name">What makes it, and the name its randomness hangs on.</param>
/// <param name="FromHz">Lower corner, Hz.</param>
/// <param name="ToHz">Upper corner, Hz; at most 3500.</param>
/// <param name="RmsPercent">Rms, % of speed.</param>
public sealed record SpeedNoise(string Name, double FromHz, double ToHz, double RmsPercent)
{
    internal void Check()
    {
        Faults.InRange(nameof(FromHz), FromHz, 0.01, 3000);
        Faults.InRange(nameof(ToHz), ToHz, FromHz * 1.01, 3500);
        Faults.InRange(nameof(RmsPercent), RmsPercent, 0, 10);
    }
}
