using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Standards;

namespace Spoolwright.Bench.Tape;

/// <summary>What fringing adds to a reading, to be taken off it.</summary>
/// <param name="GainDb">Level that the head reads above what the tape holds, dB.</param>
/// <param name="UncertaintyDb">Expanded uncertainty (k = 2) of it, dB.</param>
public sealed record FringingCorrection(double GainDb, double UncertaintyDb);

/// <summary>
/// A head gathers long-wavelength flux from recording beyond its edges. [FRINGING-1972] in its simple form:
/// G = 20·lg[1 + Σ (λ/2πw)(e^(−2πa/λ) − e^(−2πb/λ))] over every recorded strip from a to b beyond an edge of a head of width w. It leaves
/// out neighbouring cores and shields, so the correction is good to about a fifth of itself, and less below 63 Hz.
/// </summary>
public static class Fringing
{
    /// <summary>Part of the correction that stands as its k = 2 uncertainty.</summary>
    public const double RelativeUncertainty = 0.2;

    /// <summary>Level in dB that a head reads against one just as wide as what it covers of an endless recording.</summary>
    /// <param name="head">The track that the head's core covers.</param>
    /// <param name="recorded">Recorded strips, none overlapping.</param>
    /// <param name="frequencyHz">Frequency, Hz.</param>
    /// <param name="speedCmPerS">Tape speed, cm/s.</param>
    /// <returns>dB; negative where the recording covers the head in part; −200 where nothing reaches it.</returns>
    public static double GainDb(TrackBand head, IReadOnlyList<TrackBand> recorded, double frequencyHz, double speedCmPerS)
    {
        ArgumentNullException.ThrowIfNull(head);
        ArgumentNullException.ThrowIfNull(recorded);
        var width = Wavelength.Positive(head.WidthMm, nameof(head));
        // 1/k = λ/2π, mm: the depth to which a wavelength reaches sideways.
        var reach = Wavelength.Micrometres(frequencyHz, speedCmPerS) / 1e3 / (2 * Math.PI);
        var sum = 0.0;
        foreach (var strip in recorded)
        {
            sum += Shared(strip, head) / width;
            sum += Beyond(head.FromMm - strip.ToMm, head.FromMm - strip.FromMm, reach) / width;
            sum += Beyond(strip.FromMm - head.ToMm, strip.ToMm - head.ToMm, reach) / width;
        }

        return Decibels.Of(sum);
    }

    /// <summary>
    /// What to take off a reading of a test tape's tone on one track; null where the tape's file leaves open which tracks it holds or
    /// whether its levels allow for fringing, and where less than half of the track lies on what the tape holds: then the file and the
    /// profile cannot both be right.
    /// </summary>
    /// <remarks>
    /// A tape whose levels allow for fringing, and one recorded on the deck's own tracks, need none: the leak from the other track of such
    /// a pair is in the deck's own recordings too.
    /// </remarks>
    public static FringingCorrection? Correction(TestTape tape, TrackBand head, double frequencyHz, double speedCmPerS)
    {
        ArgumentNullException.ThrowIfNull(tape);
        ArgumentNullException.ThrowIfNull(head);
        if (tape.RecordedTracks == RecordedTracksKind.Unknown || tape.FringingCompensated is not { } compensated)
            return null;
        if (compensated || tape.RecordedTracks == RecordedTracksKind.SameAsDeck)
            return new FringingCorrection(0, 0);
        var strips = tape.RecordedTracks == RecordedTracksKind.Full
            ? [new TrackBand(Math.Min(0, head.FromMm), Math.Max(TrackFormats.TapeMm, head.ToMm))]
            : tape.RecordedBands;
        if (strips.Sum(s => Shared(s, head)) < head.WidthMm / 2)
            return null;
        var gain = GainDb(head, strips, frequencyHz, speedCmPerS);
        return new FringingCorrection(gain, RelativeUncertainty * Math.Abs(gain));
    }

    /// <summary>Whether the wavelength is longer than the track is wide: where fringing is not known, such a tone is never
    /// judged.</summary>
    public static bool Matters(TrackBand head, double frequencyHz, double speedCmPerS)
    {
        ArgumentNullException.ThrowIfNull(head);
        return Wavelength.Micrometres(frequencyHz, speedCmPerS) > head.WidthMm * 1e3;
    }

    // What a strip and the head have in common, mm.
    private static double Shared(TrackBand strip, TrackBand head) =>
        Math.Max(0, Math.Min(strip.ToMm, head.ToMm) - Math.Max(strip.FromMm, head.FromMm));

    // Flux from a strip between a and b beyond an edge, as the width of head that would gather as much, mm.
    private static double Beyond(double a, double b, double reach) =>
        b <= 0 ? 0 : reach * (Math.Exp(-Math.Max(0, a) / reach) - Math.Exp(-b / reach));
}
