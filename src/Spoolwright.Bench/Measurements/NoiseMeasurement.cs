using System.Globalization;
using Spoolwright.Bench.Standards;
using Spoolwright.Signal;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The <c>noise</c> measurement: weighted and unweighted noise, its ratio to a reference level where one is stated, and the mains' lines in
/// it.
/// </summary>
public static class NoiseMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "noise",
        "Noise and hum",
        "Reads noise A-weighted, 468-weighted and unweighted, its ratio to a reference level, and the lines of the mains apart from hiss.",
        "Play blank tape that was recorded with bias and no signal, or let the deck stand still, and capture both channels for 10 seconds or more at the "
        + "level setting used for the reference tone. Leave out what goes before and after, or leave it in: the program finds the steady part.",
        [
            Quantity.NoiseA, Quantity.Noise468, Quantity.NoiseUnweighted, Quantity.Hiss, Quantity.SignalToNoiseA, Quantity.SignalToNoise468,
            Quantity.SignalToNoiseUnweighted, Quantity.Hum, Quantity.MainsFrequency,
        ],
        "[IEC61672-1:2013] [BS468-4] [IEC60268-1]",
        Measure)
    {
        Takes = SettingKinds.Deck | SettingKinds.ReferenceLevel | SettingKinds.Clock,
    };

    private const double ShortestSeconds = 2;

    // A sine that holds as much of the noise's power as this is no noise.
    private const double ToneShare = 0.5;

    // What filters, detector and bands leave open beside chance of a capture's own value, k = 2, dB: single frequencies lie within 0.03 dB
    // of the formulas (WeightingTests), and what that makes of noise of this spectrum is put right.
    private const double MethodDb = 0.001;

    // Seven bins hold all of a line but what its window lets beyond them: 0.0004 dB at most.
    private const double LineMethodDb = 0.001;

    /// <summary>Measures a source from its start to its end; goes over it a second time where not all of it is steady.</summary>
    /// <exception cref="CannotMeasureException">The capture is silent, too short or too slow in its rate.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        double? seconds = source.Frames is { } frames ? (double)frames / source.SampleRateHz : null;
        var meter = new NoiseMeter(NoisePractice.Settings, source.SampleRateHz, source.Channels, seconds);
        var inspector = new SoundInspector(source.SampleRateHz, source.Channels);
        var search = new MarkerSearch(source.SampleRateHz, source.Channels);
        var taken = SoundPump.Run(
            source,
            meter.Add,
            (SoundSink)inspector.Add + search.Add,
            progress
        );
        Breaks.Refuse(inspector);
        var notes = new List<Note>(source.Notes);
        notes.AddRange(inspector.Notes());
        if (notes.Any(n => n.Code == "silence"))
        {
            throw new CannotMeasureException(
                "silence",
                "The capture is silent from start to end: there is no noise in it to measure. Check the cable, the input's level and the choice of channels."
            );
        }

        if (taken < ShortestSeconds * source.SampleRateHz)
        {
            throw new CannotMeasureException(
                "too-short",
                FormattableString.Invariant(
                    $"The capture is {taken / (double)source.SampleRateHz:0.0} s long; noise needs {ShortestSeconds:0} s at least. Record 10 s or more."
                )
            );
        }

        var program = HeardProgram.Of(search.Finish());
        program?.MustBe("blank");
        var keep = NoiseSteadiness.Judge(meter, source.Channels, program, notes, source.CanRewind);
        if (keep is not null && source.CanRewind)
        {
            source.Rewind();
            meter = new NoiseMeter(
                NoisePractice.Settings,
                source.SampleRateHz,
                source.Channels,
                keep.Count(k => k) * NoiseMeter.StepSeconds,
                keep
            );
            SoundPump.Run(source, meter.Add, progress: progress);
        }

        var result =
            meter.Finish() ?? throw new CannotMeasureException("too-short", "The capture holds no 50 ms of noise. Record 10 s or more.");
        return Report(result, settings, notes);
    }

    /// <summary>Turns what the meter found into readings.</summary>
    public static MeasurementResult Report(NoiseResult result, MeasurementSettings settings, List<Note> notes)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(settings);
        ArgumentNullException.ThrowIfNull(notes);
        var readings = new List<Reading>();
        var traces = new List<Trace>();
        for (var c = 0; c < result.Channels.Count; c++)
        {
            var channel = c == 0 ? Channel.Left : Channel.Right;
            var noise = result.Channels[c];
            if (noise.Unweighted.Power < 1e-15)
            {
                notes.Add(
                    Note.Error(
                        "dead-channel",
                        $"The {PlaybackMeasurement.Word(channel)} channel carries nothing at all: its noise is not measured. Check its cable and the deck's output."
                    )
                );
                continue;
            }

            AddChannel(readings, result, noise, channel, settings);
            AddTones(notes, noise, channel);
            traces.Add(new Trace("noise-spectrum", channel, "Hz", "dBFS", noise.Spectrum.Hz, noise.Spectrum.Db));
        }

        if (readings.Count == 0)
        {
            throw new CannotMeasureException("silence", "No channel carries any noise: nothing is connected. Check the cables.");
        }

        foreach (var mains in result.Mains)
        {
            readings.Add(SpeedMeasurement.Mains(mains, settings));
        }

        if (result.Channels.All(n => n.Second is null))
        {
            notes.Add(
                Note.Warning(
                    "too-short-for-quasi-peak",
                    FormattableString.Invariant(
                        $"Only {result.Seconds:0.0} s of steady noise: the quasi-peak detector needs {NoiseMeter.DetectorSeconds:0.0} s to settle and half a second more to read. Record 10 s."
                    )
                )
            );
        }

        if (result.BinHz > 3)
        {
            notes.Add(
                Note.Hint(
                    "too-short-for-hum",
                    FormattableString.Invariant($"{result.Seconds:0.0} s are too short to tell hum from hiss. Record 10 s.")
                )
            );
        }

        return new MeasurementResult(
            "noise",
            [.. readings.OrderBy(r => Order(r.Quantity)).ThenBy(r => r.Channel).ThenBy(r => r.FrequencyHz)],
            notes,
            traces
        );
    }

    private static void AddChannel(
        List<Reading> readings,
        NoiseResult result,
        ChannelNoise noise,
        Channel channel,
        MeasurementSettings settings
    )
    {
        var reference = channel == Channel.Left ? settings.ReferenceLevelLeftDb : settings.ReferenceLevelRightDb;
        var span = FormattableString.Invariant($"over {result.Seconds:0.0} s of steady noise");
        void Both(
            Quantity level,
            Quantity? ratio,
            NoisePower power,
            double ends,
            double method,
            string how,
            params ReadOnlySpan<UncertaintyPart> more
        )
        {
            // Of the value that this capture has: chance is no part of it, and is told beside it.
            UncertaintyPart[] parts = [new("ends", ends), new("method", method), .. more, new("interface-response", null)];
            how += FormattableString.Invariant(
                $"; ± is of this very capture, and by chance another such one may read up to {power.ExpandedDb:0.00} dB more or less (k = 2)"
            );
            readings.Add(Uncertain.Reading(level, power.Db, parts, how, channel));
            if (ratio is not null && reference is { } db)
            {
                readings.Add(Uncertain.Reading(
                    ratio, db - power.Db, [.. parts, new UncertaintyPart("reference-level", null)],
                    FormattableString.Invariant($"against the reference level given, {db:0.00} dBFS; noise: {how}"), channel));
            }
        }

        Both(
            Quantity.NoiseA,
            Quantity.SignalToNoiseA,
            noise.First,
            noise.First.UncountedDb,
            MethodDb,
            $"A-weighting after [IEC61672-1:2013], root mean square {span}; a full-scale sine is 0"
        );
        if (noise.Second is { } second)
        {
            Both(Quantity.Noise468, Quantity.SignalToNoise468, second, noise.SecondEndDb, double.Hypot(noise.SecondPhaseDb, MethodDb), FormattableString.Invariant(
                $"weighting and quasi-peak detector after [BS468-4], burst tables from memory, calibrated at 1 kHz; mean of the indication {span}, highest {noise.SecondHighestDb:0.0} dBFS"));
        }

        var band = FormattableString.Invariant($"{result.LowestHz:0.0} Hz to {result.HighestHz:0} Hz");
        Both(
            Quantity.NoiseUnweighted,
            Quantity.SignalToNoiseUnweighted,
            noise.Unweighted,
            noise.Unweighted.UncountedDb,
            MethodDb,
            $"no weighting, {band} after [IEC60268-1], root mean square {span}"
        );
        Both(
            Quantity.Hiss,
            null,
            noise.WithoutLines,
            noise.WithoutLines.UncountedDb,
            MethodDb,
            $"no weighting, {band}, the mains' lines taken out, root mean square {span}",
            new UncertaintyPart("under-lines", 2 * 10 / Math.Log(10) * noise.UnderLinesSigma)
        );
        foreach (var line in noise.Lines)
        {
            readings.Add(
                Uncertain.Reading(
                    Quantity.Hum,
                    line.Power.Db,
                    [new("noise", line.Power.ExpandedDb), new("method", LineMethodDb), new("interface-response", null)],
                    FormattableString.Invariant(
                        $"line of the {line.Family} Hz family by its power in bins of {result.BinHz:0.00} Hz, the noise beside it taken off, {span}"
                    ),
                    channel,
                    Math.Round(line.FrequencyHz, 2)
                )
            );
        }
    }

    private static void AddTones(List<Note> notes, ChannelNoise noise, Channel channel)
    {
        foreach (var tone in noise.Tones)
        {
            var share = tone.Power.Power / noise.Unweighted.Power;
            var text = string.Create(
                CultureInfo.InvariantCulture,
                $"A tone of {tone.FrequencyHz:0} Hz at {tone.Power.Db:0.0} dBFS stands in the {PlaybackMeasurement.Word(channel)} channel"
            );
            notes.Add(
                share > ToneShare
                    ? Note.Warning(
                        "tone-in-noise",
                        $"{text} and is most of what was measured: this is no noise. Play blank tape, or stop the deck."
                    )
                    : Note.Warning(
                        "tone-in-noise",
                        $"{text}; it counts in the figures. Look for what makes it: a tape not blank, bias beating, a whistle of the supply."
                    )
            );
        }
    }

    private static int Order(string quantity) => Entry.Yields.Select((q, i) => (q.Id, i)).First(p => p.Id == quantity).i;
}
