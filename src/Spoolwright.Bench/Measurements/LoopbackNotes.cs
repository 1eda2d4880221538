using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Tape;
using Spoolwright.Signal;
using Spoolwright.Signal.Flutter;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>Takes the interface's own phase out of tones, and says what was taken out and what could not be.</summary>
internal static class LoopbackNotes
{
    /// <summary>The tone without what the interface puts between its channels; as it was where the calibration does not reach.</summary>
    public static FoundTone Corrected(FoundTone tone, LoopbackCalibration? loopback)
    {
        if (tone.Figures.Phase is not { } phase || loopback?.PhaseAt(tone.Tone.FrequencyHz) is not { } own)
        {
            return tone;
        }

        var degrees = Math.IEEERemainder(phase.Value - own.Degrees, 360);
        return tone with { Figures = tone.Figures with { Phase = new Estimate(degrees, phase.Noise, phase.Method) } };
    }

    /// <summary>What the interface leaves uncertain of one tone's phase, or of its delay.</summary>
    public static UncertaintyPart PhasePart(LoopbackCalibration? loopback, FoundTone tone, double perDegree) =>
        loopback?.PhaseAt(tone.Tone.FrequencyHz) is { } own ? new("interface", own.Uncertainty * perDegree) : new("interface-skew", null);

    /// <summary>The same of the one delay: the tones' parts added up by their weight, for one calibration is behind them all.</summary>
    public static UncertaintyPart SkewPart(LoopbackCalibration? loopback, IReadOnlyList<FoundTone> tones, SkewFit fit)
    {
        double sum = 0;
        for (var i = 0; i < tones.Count; i++)
        {
            if (loopback?.PhaseAt(tones[i].Tone.FrequencyHz) is not { } own)
            {
                return new("interface-skew", null);
            }

            sum += fit.Weights[i] * own.Uncertainty * 1e6 / (360 * tones[i].Figures.FrequencyHz);
        }

        return new("interface", sum);
    }

    /// <summary>The same of the angle, arcmin.</summary>
    public static UncertaintyPart AnglePart(
        LoopbackCalibration? loopback,
        IReadOnlyList<FoundTone> tones,
        SkewFit fit,
        double offsetMm,
        double speedCmPerS
    ) =>
        SkewPart(loopback, tones, fit) is { Expanded: { } microseconds }
            ? new("interface", Math.Abs(AzimuthGeometry.AngleArcmin(microseconds, offsetMm, speedCmPerS)))
            : new("interface-skew", null);

    /// <summary>Says what was done.</summary>
    public static void Add(LoopbackCalibration? loopback, IEnumerable<double> frequencies, string what, List<Note> notes)
    {
        if (loopback is null)
        {
            return;
        }

        var all = frequencies.Distinct().Order().ToArray();
        var outside = all.Where(f => !loopback.Reaches(f)).ToArray();
        if (outside.Length < all.Length)
        {
            notes.Add(
                Note.Hint(
                    "interface-corrected",
                    FormattableString.Invariant(
                        $"The interface's own {what}, by its loopback of {loopback.MeasuredOn:yyyy-MM-dd} ({loopback.Interface}), was taken out of {(outside.Length == 0 ? "all" : $"{all.Length - outside.Length} of {all.Length}")} tones; its output is in that loopback too."
                    )
                )
            );
        }

        if (outside.Length > 0)
        {
            notes.Add(
                Note.Warning(
                    "interface-not-corrected",
                    FormattableString.Invariant(
                        $"The loopback reaches from {loopback.LowestHz:0.##} to {loopback.HighestHz:0.##} Hz; {string.Join(", ", outside.Select(f => f.ToString("0.##", System.Globalization.CultureInfo.InvariantCulture)))} Hz lie outside and keep the interface's own {what}. Make a loopback that covers them."
                    )
                )
            );
        }
    }
}
