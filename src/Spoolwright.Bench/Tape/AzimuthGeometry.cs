using Spoolwright.Bench.Decks;

namespace Spoolwright.Bench.Tape;

/// <summary>
/// What an angle of the gap does: level lost on each track, delay between the tracks. [AZIMUTH-2000].
/// </summary>
/// <remarks>
/// Signs are those of readings: time skew is positive when the right channel comes later; phase is right minus left, −360·f·τ; the angle is
/// positive when the gap's upper end (nearer track 1) meets the tape later. So a track lower on the tape comes earlier by its distance
/// times tan α / v.
/// </remarks>
public static class AzimuthGeometry
{
    private const double ArcminPerRadian = 180 * 60 / Math.PI;

    /// <summary>Right track's centre less the left one's, mm from the upper edge: negative where the right track lies higher.</summary>
    public static double TrackOffsetMm(DirectionTracks tracks)
    {
        ArgumentNullException.ThrowIfNull(tracks);
        return tracks.Right.CentreMm - tracks.Left.CentreMm;
    }

    /// <summary>Level change in dB of one track, 0 or below; a null is −200. |sin(πu)/(πu)| with u = w·tan α/λ.</summary>
    /// <param name="trackWidthMm">Width of the track, mm.</param>
    /// <param name="angleArcmin">Angle between the gap and the recording, arcmin, either sign, within a right angle.</param>
    /// <param name="frequencyHz">Frequency, Hz.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s.</param>
    public static double LossDb(double trackWidthMm, double angleArcmin, double frequencyHz, double speedCmPerS) =>
        Decibels.Of(
            Decibels.Sinc(Wavelength.Positive(trackWidthMm) * 1e3 * Tangent(angleArcmin) / Wavelength.Micrometres(frequencyHz, speedCmPerS))
        );

    /// <summary>Delay of the right channel against the left, µs.</summary>
    /// <param name="angleArcmin">Angle, arcmin, within a right angle.</param>
    /// <param name="trackOffsetMm">Right track's centre less the left one's, mm from the upper edge.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s.</param>
    public static double TimeSkewMicroseconds(double angleArcmin, double trackOffsetMm, double speedCmPerS) =>
        -Wavelength.Finite(trackOffsetMm) * Tangent(angleArcmin) / Wavelength.Positive(speedCmPerS) * 1e5;

    /// <summary>Angle in arcmin that makes this delay: the inverse of <see cref="TimeSkewMicroseconds"/>.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The tracks have one centre, so that no angle shows.</exception>
    public static double AngleArcmin(double timeSkewMicroseconds, double trackOffsetMm, double speedCmPerS)
    {
        if (!double.IsFinite(trackOffsetMm) || trackOffsetMm == 0)
            throw new ArgumentOutOfRangeException(nameof(trackOffsetMm), trackOffsetMm, "expected a distance other than 0");
        return Math.Atan(-Wavelength.Finite(timeSkewMicroseconds) * 1e-5 * Wavelength.Positive(speedCmPerS) / trackOffsetMm)
            * ArcminPerRadian;
    }

    /// <summary>Phase of right minus left in degrees, −360·f·τ wrapped to above −180 and up to 180.</summary>
    public static double PhaseDegrees(double timeSkewMicroseconds, double frequencyHz)
    {
        var turns = -Wavelength.Positive(frequencyHz) * Wavelength.Finite(timeSkewMicroseconds) * 1e-6;
        var wrapped = 360 * (turns - Math.Round(turns));
        return wrapped <= -180 ? wrapped + 360 : wrapped;
    }

    /// <summary>Angle in arcmin up to which the phase at one tone tells the cycle: half a turn between the tracks.</summary>
    public static double UnambiguousArcmin(double frequencyHz, double trackOffsetMm, double speedCmPerS) =>
        Math.Atan(Wavelength.Micrometres(frequencyHz, speedCmPerS) / 2e3 / Math.Abs(trackOffsetMm)) * ArcminPerRadian;

    /// <summary>Level change in dB when both channels are summed to mono with this phase between them, against none:
    /// 20·lg|cos(φ/2)|.</summary>
    public static double MonoSumDb(double phaseDegrees) => Decibels.Of(Math.Cos(Wavelength.Finite(phaseDegrees) * Math.PI / 360));

    private static double Tangent(double angleArcmin) =>
        Math.Abs(angleArcmin) < 90 * 60
            ? Math.Tan(angleArcmin / ArcminPerRadian)
            : throw new ArgumentOutOfRangeException(nameof(angleArcmin), angleArcmin, "expected an angle within a right angle");
}
