using Spoolwright.Signal.Levels;

namespace Spoolwright.Bench.Measurements;

/// <summary>Finds what is left of a tone whose frequency is known about.</summary>
internal static class Residue
{
    // Of so many places looked at, the strongest stands out of the noise by chance: more is asked of it than of a place known before.
    private const double SeenSigmas = 6;

    /// <summary>
    /// The line strongest within a range; where none stands out, the strongest that may be there.
    /// </summary>
    public static (double OffsetHz, LinePower Line) Find(BandSpectrum spectrum, double offsetHz, double withinHz, double halfWidthHz)
    {
        var at = spectrum.Strongest(offsetHz, withinHz, halfWidthHz);
        var line = spectrum.Line(at, halfWidthHz);
        if (line.Power > SeenSigmas * line.Sigma)
        {
            return (at, line);
        }

        return withinHz > 2 * halfWidthHz
            ? (offsetHz, new LinePower(Math.Max(0, line.Power), Math.Max(line.Sigma, line.Power / 3)))
            : (offsetHz, spectrum.Line(offsetHz, halfWidthHz + withinHz));
    }
}
