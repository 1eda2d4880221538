using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Playing;

/// <summary>One partial of something recorded, as it reaches the interface.</summary>
/// <param name="Multiple">Its number over the fundamental.</param>
/// <param name="Left">Peak amplitude in the left channel, full scale 1.</param>
/// <param name="Right">The same in the right channel.</param>
/// <param name="LeftTurns">Phase in the left channel, turns.</param>
/// <param name="RightTurns">The same in the right channel.</param>
internal readonly record struct Partial(double Multiple, double Left, double Right, double LeftTurns, double RightTurns);

/// <summary>Something recorded between two places of the tape: a tone, or one syllable of a voice.</summary>
internal sealed record ProgramItem
{
    /// <summary>Its beginning, s at the tape's own speed.</summary>
    public required double Start { get; init; }

    /// <summary>Its end, s at the tape's own speed.</summary>
    public required double End { get; init; }

    /// <summary>How long it swells and dies away, s at the tape's own speed.</summary>
    public required double Fade { get; init; }

    /// <summary>Fundamental at its beginning, Hz at the tape's own speed.</summary>
    public required double Hertz { get; init; }

    /// <summary>How the fundamental glides, Hz a second.</summary>
    public double GlideHzPerSecond { get; init; }

    public required IReadOnlyList<Partial> Partials { get; init; }

    /// <summary>Wavelength of the fundamental, µm.</summary>
    public required double WavelengthUm { get; init; }

    /// <summary>How steeply the left level follows the speed.</summary>
    public double SlopeLeft { get; init; }

    /// <summary>How steeply the right level follows the speed.</summary>
    public double SlopeRight { get; init; }

    /// <summary>The tone it is; null for a voice.</summary>
    public PracticeTone? Tone { get; init; }

    /// <summary>Turns of the fundamental since its beginning.</summary>
    public double Turns(double place)
    {
        var into = place - Start;
        return (Hertz + (0.5 * GlideHzPerSecond * into)) * into;
    }

    /// <summary>Its swell at a place, 0 to 1.</summary>
    public double Envelope(double place)
    {
        var inside = Math.Min(place - Start, End - place);
        return inside <= 0 ? 0 : inside >= Fade ? 1 : 0.5 * (1 - Math.Cos(Math.PI * inside / Fade));
    }
}
