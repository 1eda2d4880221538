using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Physics;

/// <summary>How much of the recorded strips a head track gathers: what lies over it, and at long wavelengths what lies beside it.</summary>
internal static class TrackPickUp
{
    /// <summary>
    /// Amplitude against a head track wholly covered and with nothing beside it. Flux from beside falls off as e^(−2πy/λ) with the distance
    /// y from the track's edge; summed over a strip from a to b that gives λ/(2πw)·(e^(−2πa/λ) − e^(−2πb/λ)). [FRINGING-1972]
    /// </summary>
    /// <param name="track">The head's track, mm from the tape's upper edge.</param>
    /// <param name="strips">The recorded strips, mm from the tape's upper edge, not overlapping.</param>
    /// <param name="wavelengthUm">Recorded wavelength, µm.</param>
    /// <param name="fringing">1: as the formula says; real heads with shields or neighbours differ.</param>
    public static double Amplitude(TrackStrip track, IReadOnlyList<TrackStrip> strips, double wavelengthUm, double fringing)
    {
        var reachMm = wavelengthUm / (2 * Math.PI * 1000);
        var width = track.WidthMm;
        var sum = 0.0;
        foreach (var strip in strips)
        {
            var over = Math.Min(strip.ToMm, track.ToMm) - Math.Max(strip.FromMm, track.FromMm);
            if (over > 0)
                sum += over / width;
            sum += fringing * reachMm / width
                * (Beside(track.FromMm - strip.ToMm, track.FromMm - strip.FromMm, reachMm)
                    + Beside(strip.FromMm - track.ToMm, strip.ToMm - track.ToMm, reachMm));
        }

        return sum;
    }

    private static double Beside(double nearMm, double farMm, double reachMm) =>
        farMm <= 0 ? 0 : Math.Exp(-Math.Max(nearMm, 0) / reachMm) - Math.Exp(-farMm / reachMm);
}
