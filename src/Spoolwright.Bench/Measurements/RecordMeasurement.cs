using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;
using Spoolwright.Signal.Flutter;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The <c>record</c> measurement: overall response of the deck through record and playback, the part of it that record owes where playback
/// is known, skew of one's own recording, separation and products from tones that stand together, and the monitor delay where the capture
/// shows it.
/// </summary>
public static class RecordMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "record",
        "Record and playback together",
        "Reads the overall response of one's own recording, what of it is due to record, its skew, and the monitor delay where the capture shows it.",
        "Record the program response (steps, any deck) or multitone (all tones at once; spoolwright signal writes both) and capture it from tape, while it is recorded on a deck with "
        + "three heads or afterwards. For the monitor delay loop the sent signal to the other input, or mix it in. Stepped tones of equal level by anybody else are read too.",
        [
            Quantity.MonitorDelay, Quantity.ToneLevel, Quantity.Response, Quantity.ResponseMax, Quantity.ResponseMin, Quantity.RecordResponse,
            Quantity.Separation, Quantity.Intermodulation, Quantity.TimeSkew, Quantity.RecordTimeSkew,
        ],
        "[IEEE1057:2017]",
        Measure)
    {
        Takes = SettingKinds.Deck | SettingKinds.PlaybackReadings | SettingKinds.RecordedTones | SettingKinds.Loopback,
    };

    private const double ReachMicroseconds = 600;
    private const double LeakMethodDb = 0.05;

    /// <summary>Measures a source from its start to its end.</summary>
    /// <exception cref="CannotMeasureException">Neither a program of ours nor tones were found.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        settings.Loopback?.MustFit(source.SampleRateHz, settings);
        var program = RecordSound.Read(source, settings, progress);
        var notes = new List<Note>(program.Notes);
        var readings = new List<Reading>();
        if (program.MonitorDelay is { } delay)
        {
            readings.Add(
                Uncertain.Reading(
                    Quantity.MonitorDelay,
                    delay.Ms,
                    [new("markers", delay.Uncertainty)],
                    $"middle of the marker from tape less that from source, from 0.9 to 5.4 kHz, what the deck's electronics delay in it; {delay.How}"
                )
            );
        }

        var skew = HeardSkew(program);
        var leaks = notes.Any(n => n.Code == "summed-sides")
            ? (null, null)
            : (Left: SideLeak.Into(program, Channel.Left, skew), Right: SideLeak.Into(program, Channel.Right, skew));
        foreach (var channel in program.TapeChannels)
        {
            var side = channel == Channel.Left ? Sides.Left : Sides.Right;
            var heard = program.Tones.Where(t => t.Sides.HasFlag(side) && FiguresOf(t, channel) is not null).ToArray();
            if (heard.Length == 0)
            {
                if (!notes.Any(n => n.Code == "dead-channel"))
                {
                    notes.Add(
                        Note.Error(
                            "dead-channel",
                            $"The {PlaybackMeasurement.Word(channel)} channel holds none of the tones: it is not measured. Check its cable and the deck's output."
                        )
                    );
                }

                continue;
            }

            SideLeak.Pulled? Leak(RecordedTone tone) =>
                SideLeak.Pull(leaks.Left, leaks.Right, tone) is { } p ? (channel == Channel.Left ? p.Left : p.Right) : null;
            readings.AddRange(new RecordResponse(heard, channel, settings.PlaybackReadings, notes, Leak, settings.Loopback).Readings());
        }

        readings.AddRange(Between(program, notes));
        readings.AddRange(Products(program, notes));
        readings.AddRange(Skew(program, leaks, settings, notes));
        LoopbackNotes.Add(settings.Loopback, program.Tones.Select(t => t.FrequencyHz), "response and skew", notes);
        if (readings.Count == 0)
        {
            throw new CannotMeasureException(
                "no-tone",
                "A marker stands in this capture and none of its program's tones. Capture the program from its first marker to its last."
            );
        }

        return new MeasurementResult("record", readings, notes, []);
    }

    /// <summary>A channel's figures of a tone, or null where it holds none.</summary>
    internal static ChannelFigures? FiguresOf(RecordedTone tone, Channel channel)
    {
        var figures = channel == Channel.Left ? tone.Figures.Left : tone.Figures.Right;
        return figures is { LevelDb: > -180 } ? figures : null;
    }

    // Tones of one side alone: what of them stands in the other channel.
    private static IEnumerable<Reading> Between(RecordedProgram program, List<Note> notes)
    {
        foreach (var tone in program.Tones.Where(t => t.Sides is Sides.Left or Sides.Right).OrderBy(t => t.FrequencyHz))
        {
            var own = tone.Sides == Sides.Left ? Channel.Left : Channel.Right;
            if (tone.Figures.Leak is { } leak && FiguresOf(tone, own) is { } here && !notes.Any(n => n.Code == "summed-sides"))
            {
                yield return SelectiveReading.Ratio(
                    Quantity.Separation, Math.Pow(10, here.LevelDb / 10), leak, LeakMethodDb,
                    "level of a tone sent on this side alone, over what is coherent with it in the other channel, within ±0.5 Hz and noise taken off, both in one pass, through flutter",
                    own, tone.FrequencyHz, notes, "separation", new UncertaintyPart("interface-crosstalk", null));
            }
        }
    }

    private static IEnumerable<Reading> Products(RecordedProgram program, List<Note> notes)
    {
        if (program.Tones.FirstOrDefault(t => t.IsReference) is not { } beside)
        {
            yield break;
        }

        var hidden = new List<string>();
        foreach (var product in program.Products)
        {
            if (FiguresOf(beside, product.Channel) is not { } reference)
            {
                continue;
            }

            var order = FormattableString.Invariant($"product of order {product.Product.Order} of 1000 and 3150 Hz, against 1000 Hz");
            if (product.Power.IsSeen)
            {
                yield return Uncertain.Reading(
                    Quantity.Intermodulation,
                    (10 * Math.Log10(product.Power.Power)) - reference.LevelDb,
                    [
                        new("noise", double.Hypot(SelectiveCapture.ExpandedDb(product.Power), reference.LevelNoiseDb)),
                        new("method", LeakMethodDb),
                    ],
                    order + ": what turns with the phase of the two tones, through flutter, noise taken off",
                    product.Channel,
                    product.Product.Hz
                );
            }
            else
            {
                hidden.Add(
                    FormattableString.Invariant(
                        $"{product.Product.Hz:0} Hz, {PlaybackMeasurement.Word(product.Channel)} (under {(10 * Math.Log10(Math.Max(product.Power.Most, 1e-20))) - reference.LevelDb:0} dB)"
                    )
                );
            }
        }

        if (hidden.Count > 0)
        {
            notes.Add(Note.Hint("product-under-noise", $"No intermodulation stands out of the hiss at {string.Join("; ", hidden)}."));
        }
    }

    private static IEnumerable<Reading> Skew(
        RecordedProgram program,
        (SideLeak? Left, SideLeak? Right) leaks,
        MeasurementSettings settings,
        List<Note> notes
    )
    {
        var tones = program
            .Tones.Where(t => t.Sides == Sides.Both && t.Figures.Phase is not null)
            .GroupBy(t => t.FrequencyHz)
            .Select(g => g.First())
            .OrderBy(t => t.FrequencyHz)
            .ToArray();
        if (tones.Length == 0 || notes.Any(n => n.Code is "identical-channels" or "summed-sides"))
        {
            yield break;
        }

        var pulls = tones.Select(t => SideLeak.Pull(leaks.Left, leaks.Right, t)?.Phase).ToArray();
        FoundTone[] phases =
        [
            .. tones.Zip(
                pulls,
                (t, pull) =>
                    LoopbackNotes.Corrected(
                        new FoundTone(
                            new TestTone(t.FrequencyHz, t.SentDb, t.Figures.Seconds, ToneRole.Response),
                            [],
                            Without(t.Figures, pull)
                        ),
                        settings.Loopback
                    )
            ),
        ];
        var fit = SkewFit.Of([.. phases.Zip(pulls, PhaseOf)], ReachMicroseconds);

        // The tones' leaks were read by themselves: their share of the whole by the tones' weights, the rest is noise.
        var squares = pulls
            .Select((pull, i) => Math.Pow(fit.Weights[i] * (pull?.Expanded ?? 0) * 1e6 / (360 * phases[i].Figures.FrequencyHz), 2))
            .Sum();
        var pulled = Math.Min(fit.UncertaintyMicroseconds, Math.Sqrt(squares));
        var noise = Math.Sqrt((fit.UncertaintyMicroseconds * fit.UncertaintyMicroseconds) - (pulled * pulled));
        UncertaintyPart[] own = pulled > 0 ? [new("noise", noise), new("leak", pulled)] : [new("noise", noise)];
        if (!fit.Resolved)
        {
            notes.Add(
                Note.Warning(
                    "cycle-ambiguous",
                    "The tones allow several cycles of the skew; the one nearest to none was taken. Record tones of more frequencies."
                )
            );
        }

        yield return Uncertain.Reading(
            Quantity.TimeSkew,
            fit.Microseconds,
            [.. own, LoopbackNotes.SkewPart(settings.Loopback, phases, fit)],
            FormattableString.Invariant(
                $"one delay fitted to the phase of {tones.Length} tones of one's own recording: record and playback head together{(pulled > 0 ? "; what leaks between the sides taken off" : "")}"
            )
        );
        if (settings.PlaybackReadings.FirstOrDefault(r => r.Quantity == Quantity.TimeSkew.Id && r.FrequencyHz is null) is { } playback)
        {
            yield return Uncertain.Reading(
                Quantity.RecordTimeSkew, fit.Microseconds - playback.Value, [.. own, new("playback", playback.Uncertainty)],
                "skew of one's own recording less the playback skew of the same condition: the record head's");
        }
    }

    // Good to what leak pulls, which is near enough to turn a leak by.
    private static double HeardSkew(RecordedProgram program)
    {
        TonePhase[] phases = [.. program.Tones.Where(t => t.Sides == Sides.Both && t.Figures.Phase is not null)
            .Select(t => new TonePhase(t.Figures.FrequencyHz, t.Figures.Phase!.Value.Value, t.Figures.Phase.Value.Noise))];
        return phases.Length == 0 ? 0 : SkewFit.Of(phases, ReachMicroseconds).Microseconds;
    }

    private static TonePhase PhaseOf(FoundTone tone, SideLeak.Pulled? pull) => new(
        tone.Figures.FrequencyHz,
        tone.Figures.Phase!.Value.Value,
        Math.Sqrt(Math.Pow(tone.Figures.Phase.Value.Noise, 2) + Math.Pow(tone.Figures.PhaseMethod, 2) + Math.Pow(pull?.Expanded ?? 0, 2)));

    private static ToneFigures Without(ToneFigures figures, SideLeak.Pulled? pull) =>
        pull is { } p && figures.Phase is { } phase
            ? figures with { Phase = new Estimate(Math.IEEERemainder(phase.Value - p.Value, 360), phase.Noise, phase.Method) }
            : figures;
}
