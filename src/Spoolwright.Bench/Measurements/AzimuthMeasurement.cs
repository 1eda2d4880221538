using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Standards;
using Spoolwright.Bench.Tape;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>The <c>azimuth</c> measurement: the delay between the channels with its cycle resolved from all tones together, and the gap's
/// angle.</summary>
public static class AzimuthMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "azimuth",
        "Azimuth",
        "Reads the time skew between the channels with the right cycle chosen from all tones together, the angle of the gap and its wander.",
        "Play the same tones as for playback, or the azimuth tones alone, and capture both channels. Tones of several frequencies are needed to tell "
        + "one cycle from the next: a low one beside the high ones.",
        [Quantity.TimeSkew, Quantity.Phase, Quantity.AzimuthAngle, Quantity.AzimuthWander, Quantity.MonoSumLoss],
        "computed",
        Measure)
    {
        Takes = SettingKinds.TestTape | SettingKinds.Deck | SettingKinds.Loopback,
    };

    // Half a degree of azimuth on tracks 4 mm apart is 183 µs at 19.05 cm/s and 366 µs at 9.53 cm/s. A wider reach would find
    // a rival for every pair of tones that share a cycle, such as 1 and 10 kHz.
    private const double ReachMicroseconds = 600;
    private const double CurvedDegrees = 12;

    /// <summary>Measures a source from its start to its end.</summary>
    /// <exception cref="CannotMeasureException">One channel only, or no tone.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        if (source.Channels < 2)
        {
            throw new CannotMeasureException(
                "one-channel",
                "Azimuth is read between two channels, and this capture has one. Record both channels of the deck."
            );
        }

        settings.Loopback?.MustFit(source.SampleRateHz, settings);
        var tones = settings.TestTape?.Tones ?? UsualTones;
        var tape = TapeTones.Read(source, tones, progress, settings.TestTape is not null);
        return Report(tape, settings, settings.TestTape is null);
    }

    /// <summary>Tones looked for where no tape is named: the usual ones of test tapes.</summary>
    private static IReadOnlyList<TestTone> UsualTones { get; } =
        FlutterPractice.Nominals.Select(f => new TestTone(f, 0, 5, ToneRole.Azimuth)).ToArray();

    /// <summary>Turns what was found into readings.</summary>
    public static MeasurementResult Report(TapeTones tape, MeasurementSettings settings, bool anyTones)
    {
        var notes = tape.Notes.Where(n => !anyTones || n.Code is not ("missing-tone" or "repeated-tone" or "ambiguous-tone")).ToList();
        var found = tape.Found.Where(f => f.Figures.Phase is not null).ToArray();
        if (found.Length == 0)
        {
            throw new CannotMeasureException(
                "one-channel",
                "The tones stand in one channel only, so nothing can be read between them. Check both cables and the deck's outputs."
            );
        }

        if (notes.Any(n => n.Code == "identical-channels"))
        {
            throw new CannotMeasureException(
                "identical-channels",
                "Both channels hold the very same samples: the input was mono. Nothing between the channels can be measured; record in stereo."
            );
        }

        // A frequency that comes twice (azimuth and response) is one phase: the better known of the two.
        var phases = found
            .GroupBy(f => f.Tone.FrequencyHz)
            .Select(g => g.MinBy(PhaseUncertainty)!)
            .OrderBy(f => f.Tone.FrequencyHz)
            .Select(f => LoopbackNotes.Corrected(f, settings.Loopback))
            .ToArray();
        LoopbackNotes.Add(settings.Loopback, phases.Select(f => f.Tone.FrequencyHz), "phase", notes);
        var fit = SkewFit.Of(
            [.. phases.Select(f => new TonePhase(f.Figures.FrequencyHz, f.Figures.Phase!.Value.Value, PhaseUncertainty(f)))],
            ReachMicroseconds
        );
        AddNotes(fit, phases, notes);
        var readings = new List<Reading>
        {
            Uncertain.Reading(
                Quantity.TimeSkew, fit.Microseconds,
                [new UncertaintyPart("noise", fit.UncertaintyMicroseconds), LoopbackNotes.SkewPart(settings.Loopback, phases, fit)],
                $"one delay fitted to the phase of {phases.Length} {(phases.Length == 1 ? "tone" : "tones")} through flutter, cycle {(fit.Resolved ? "resolved from all together" : "not resolved: the delay nearest none")}"
            ),
        };
        for (var i = 0; i < phases.Length; i++)
        {
            readings.Add(PerToneSkew(phases[i], fit, i, settings.Loopback));
        }

        readings.AddRange(phases.Select(p => Phase(p, settings.Loopback)));
        AddAngle(phases, settings, fit, readings, notes);
        readings.AddRange(phases.Select(Wander).OfType<Reading>());
        readings.AddRange(phases.Select(MonoSumLoss.Reading));
        return new MeasurementResult("azimuth", readings, notes, Traces(phases, fit));
    }

    /// <summary>Uncertainty (k = 2) of a tone's phase from noise and from what of its movement was not seen, degrees.</summary>
    internal static double PhaseUncertainty(FoundTone tone) => double.Hypot(tone.Figures.Phase!.Value.Noise, tone.Figures.PhaseMethod);

    private static Reading PerToneSkew(FoundTone tone, SkewFit fit, int index, LoopbackCalibration? loopback)
    {
        var perDegree = 1e6 / (360 * tone.Figures.FrequencyHz);
        return Uncertain.Reading(
            Quantity.TimeSkew,
            fit.Delays[index],
            [
                new("noise", tone.Figures.Phase!.Value.Noise * perDegree),
                new("method", tone.Figures.PhaseMethod * perDegree),
                LoopbackNotes.PhasePart(loopback, tone, perDegree),
            ],
            "phase of this tone alone, with the cycle all tones agree on",
            frequencyHz: tone.Tone.FrequencyHz
        );
    }

    private static Reading Phase(FoundTone tone, LoopbackCalibration? loopback) =>
        Uncertain.Reading(
            Quantity.Phase,
            tone.Figures.Phase!.Value.Value,
            [
                new("noise", tone.Figures.Phase.Value.Noise),
                new("method", tone.Figures.PhaseMethod),
                LoopbackNotes.PhasePart(loopback, tone, 1),
            ],
            "mean product of one channel with the other's conjugate, both brought to 0 Hz, so flutter falls out",
            frequencyHz: tone.Tone.FrequencyHz
        );

    private static Reading? Wander(FoundTone tone)
    {
        if (tone.Figures.PhaseWander is not { } wander)
        {
            return null;
        }

        var perDegree = 1e6 / (360 * tone.Figures.FrequencyHz);
        return Uncertain.Reading(
            Quantity.AzimuthWander,
            wander.Value * perDegree,
            [new("noise", wander.Noise * perDegree)],
            "phase over half a second at a time, 5th to 95th percentile, as delay, noise taken out by squares",
            frequencyHz: tone.Tone.FrequencyHz
        );
    }

    private static void AddAngle(FoundTone[] phases, MeasurementSettings settings, SkewFit fit, List<Reading> readings, List<Note> notes)
    {
        var tracks = settings.Condition is { } condition
            ? settings.Profile?.Tracks.FirstOrDefault(t => t.Direction == condition.Direction)
            : null;
        if (tracks is null || settings.SpeedCmPerS is not { } nominal)
        {
            notes.Add(
                Note.Hint(
                    "track-centres-unknown",
                    "The angle is left out: it needs the distance of the tracks and the speed. Give --profile with --direction and --speed."
                )
            );
            return;
        }

        var offset = AzimuthGeometry.TrackOffsetMm(tracks);
        if (Math.Abs(offset) < 1e-6)
        {
            return;
        }

        // The phase hangs on the wavelength alone: reckoned at the nominal frequencies and the nominal speed, the deck's own speed falls
        // out.
        var delay = 0.0;
        for (var i = 0; i < phases.Length; i++)
        {
            delay += fit.Weights[i] * fit.Delays[i] * phases[i].Figures.FrequencyHz / phases[i].Tone.FrequencyHz;
        }

        var angle = AzimuthGeometry.AngleArcmin(delay, offset, nominal);
        var spread = Math.Abs(AzimuthGeometry.AngleArcmin(delay + fit.UncertaintyMicroseconds, offset, nominal) - angle);
        readings.Add(
            Uncertain.Reading(
                Quantity.AzimuthAngle,
                angle,
                [
                    new UncertaintyPart("noise", spread),
                    new UncertaintyPart("test-tape", settings.TestTape?.AzimuthUncertaintyArcmin),
                    LoopbackNotes.AnglePart(settings.Loopback, phases, fit, offset, nominal),
                    new UncertaintyPart("gap-stagger", null),
                ],
                FormattableString.Invariant(
                    $"apparent: delay times speed over the tracks' distance of {Math.Abs(offset):0.00} mm; gap stagger, the tape's own azimuth and the interface's skew are in it [AZIMUTH-2000]"
                )
            )
        );
    }

    private static void AddNotes(SkewFit fit, FoundTone[] phases, List<Note> notes)
    {
        if (!fit.Resolved)
        {
            var rival = fit.RivalMicroseconds is { } other ? FormattableString.Invariant($"; {other:0.0} µs would fit as well") : "";
            notes.Add(
                Note.Warning(
                    "cycle-unresolved",
                    $"These tones do not tell one cycle from the next{rival}. The delay nearest to none was taken; play a lower tone too (400 Hz to 1 kHz) to be sure."
                )
            );
        }

        if (fit.PolarityReversed)
        {
            notes.Add(
                Note.Warning(
                    "polarity-reversed",
                    "All tones agree on one delay only if one channel is turned over: its polarity is reversed. Check the wiring of head, amplifier or cable."
                )
            );
        }

        if (fit.LargestResidualDegrees > CurvedDegrees && phases.Length > 2)
        {
            notes.Add(
                Note.Warning(
                    "phase-curved",
                    FormattableString.Invariant(
                        $"The phases do not lie on one delay (up to {fit.LargestResidualDegrees:0}° off): the channels' equalization differs, or a tone is disturbed. The uncertainty allows for it."
                    )
                )
            );
        }

        notes.Add(
            Note.Hint(
                "apparent",
                "Skew and angle hold the tape's own azimuth, the gaps' stagger and the interface's skew: a deck set to zero here is set to this tape."
            )
        );
    }

    private static Trace[] Traces(FoundTone[] phases, SkewFit fit) =>
    [
        new("skew-per-tone", Channel.Both, "Hz", "µs",
            [.. phases.Select(p => p.Tone.FrequencyHz)],
            fit.Delays),
    ];
}
