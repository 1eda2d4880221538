using Spoolwright.Bench.Standards;
using Spoolwright.Signal;
using Spoolwright.Signal.Distortion;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The <c>distortion</c> measurement: harmonics of a steady tone, or against its level where that moves. The tone is found by itself; what
/// its level does decides what is read.
/// </summary>
public static class DistortionMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "distortion",
        "Distortion",
        "Reads harmonics through flutter: total and third of a steady tone; from a ramp or steps of level the maximum output level and saturation.",
        "Play a steady tone of 20 Hz to 6 kHz recorded on the tape (for a home deck 333 or 1000 Hz at reference level) for two seconds or more. For the maximum "
        + "output level record the tone while its level rises slowly, or in steps of a second, until it distorts plainly; for saturation the same "
        + "at 10 kHz until it grows no louder. Set the interface so that its input never clips.",
        [Quantity.Thd, Quantity.ThirdHarmonic, Quantity.SecondHarmonic, Quantity.Mol, Quantity.MolRelative, Quantity.Saturation],
        "[IEC60268-3] [IEC60094-5:1988]",
        Measure)
    {
        Takes = SettingKinds.Nominal | SettingKinds.ReferenceLevel | SettingKinds.Deck | SettingKinds.Loopback,
    };

    private const int MostTones = 4;
    private const double LowestHz = 20;
    private const double SteadyDb = 1;
    private const double SteadyShare = 0.9;
    private const double DeadDb = -40;
    private const double LeastRampSeconds = 2;
    private const double LeastRampDb = 6;

    /// <summary>Measures a source from its start to its end.</summary>
    /// <exception cref="ArgumentException">The source cannot start again.</exception>
    /// <exception cref="CannotMeasureException">No tone was found, or none that harmonics can be read of.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        if (!source.CanRewind)
        {
            throw new ArgumentException(
                "The sound is gone through twice, and this source cannot start again; give a file.",
                nameof(source)
            );
        }

        settings.Loopback?.MustFit(source.SampleRateHz, settings);
        var ledger = new ToneLedger(source.SampleRateHz, source.Channels);
        var inspector = new SoundInspector(source.SampleRateHz, source.Channels);
        var search = new MarkerSearch(source.SampleRateHz, source.Channels);
        var frames = SoundPump.Run(
            source,
            ledger.Add,
            (SoundSink)inspector.Add + search.Add,
            Halves.Of(progress, 0)
        );
        Breaks.Refuse(inspector);
        var notes = new List<Note>(source.Notes);
        notes.AddRange(inspector.Notes());
        var before = notes.Count;
        var program = HeardProgram.Of(search.Finish());
        program?.MustBe("distortion", "mol", "saturation", "dropouts", "erase");
        var tones = Chosen(ledger, program, settings, frames, source.SampleRateHz);

        source.Rewind();
        var voices = Track(source, tones, ledger.WindowFrames, Halves.Of(progress, 1));
        var readings = new List<Reading>();
        var traces = new List<Trace>();
        var channels = Enumerable.Range(0, source.Channels).Select(c => c == 0 ? Channel.Left : Channel.Right).ToArray();
        for (var t = 0; t < tones.Count; t++)
        {
            Read(tones[t], [.. channels.Select((c, i) => voices[t, i])], channels, settings, readings, traces, notes);
        }

        if (readings.Count == 0)
        {
            // What was said of the tone itself is the reason; what was said of the sound is none.
            var own = notes.Skip(before).Where(n => n.Code != "channel-without-tone").OrderByDescending(n => n.Severity);
            throw own.FirstOrDefault(n => n.Severity >= NoteSeverity.Warning) is { } why
                ? new CannotMeasureException(why.Code, why.Text)
                : new CannotMeasureException(
                    "too-short",
                    FormattableString.Invariant(
                        $"The tone at {tones[0].FrequencyHz:0.#} Hz stands too short or too unsteady to read its harmonics. Capture two seconds or more of it."
                    )
                );
        }

        if (0.455 * source.SampleRateHz < HarmonicTracker.HighestHz)
        {
            notes.Add(
                Note.Warning(
                    "harmonics-cut",
                    FormattableString.Invariant(
                        $"At {source.SampleRateHz} Hz harmonics are counted up to {0.455 * source.SampleRateHz / 1000:0.0} kHz only, not to 20 kHz. Capture at 44100 Hz or more."
                    )
                )
            );
        }

        var order = Quantity.All.Select(q => q.Id).ToList();
        return new MeasurementResult(
            "distortion",
            [.. readings.OrderBy(r => order.IndexOf(r.Quantity)).ThenBy(r => r.FrequencyHz).ThenBy(r => r.Channel)],
            notes,
            traces
        );
    }

    private static IReadOnlyList<LedgerTone> Chosen(ToneLedger ledger, HeardProgram? program, MeasurementSettings settings, long frames, int rate)
    {
        var tones = ledger.Tones();
        if (tones.Count == 0)
        {
            throw frames < 2L * ledger.WindowFrames
                ? new CannotMeasureException(
                    "too-short",
                    FormattableString.Invariant(
                        $"The capture is {frames / (double)rate:0.00} s long; distortion needs a second or more of tone. Capture longer."
                    )
                )
            : ledger.Loudest is { } loudest
                ? new CannotMeasureException(
                    "no-tone",
                    FormattableString.Invariant(
                        $"No tone stands in this capture; its clearest line, at {loudest.FrequencyHz:0.0} Hz, holds {100 * loudest.Share:0} % of the power. Play one tone, steady or rising in level."
                    )
                )
            : new CannotMeasureException(
                "silence",
                "The capture is silent from start to end. Check the cable, the input's level and the choice of channels."
            );
        }

        if (settings.NominalHz is { } nominal)
        {
            var own = tones.Where(t => Math.Abs((t.FrequencyHz / nominal) - 1) < 0.05).ToArray();
            return own.Length > 0
                ? own
                : throw new CannotMeasureException(
                    "no-tone",
                    FormattableString.Invariant(
                        $"No tone stands within 5 % of {nominal:0.##} Hz; the longest one lies at {tones[0].FrequencyHz:0.0} Hz. Check --nominal."
                    )
                );
        }

        // Of a program of ours the tone is known; the marker's sweeps sound like one, too.
        if (program?.FrequenciesHz is { Count: > 0 } sent && tones.Where(t => sent.Any(f => Math.Abs((t.FrequencyHz / f) - 1) < 0.05)).ToArray() is { Length: > 0 } known)
        {
            tones = known;
        }

        // What stood a tenth as long as the longest is a marker or an announcement's tone.
        var long_ = tones.Where(t => t.Seconds > 0.1 * tones[0].Seconds && t.FrequencyHz > 0.97 * LowestHz).Take(MostTones).ToArray();
        return long_.Length > 0
            ? long_
            : throw new CannotMeasureException(
                "tone-too-low",
                FormattableString.Invariant(
                    $"The tone found lies at {tones[0].FrequencyHz:0.0} Hz; distortion is read from {LowestHz:0} Hz up. Play a higher one."
                )
            );
    }

    // One channel on either thread.
    private static Voice[,] Track(SoundSource source, IReadOnlyList<LedgerTone> tones, int window, IProgress<double>? progress)
    {
        var voices = new Voice[tones.Count, source.Channels];
        var clips = Enumerable.Range(0, source.Channels).Select(_ => new ClipMap(source.SampleRateHz)).ToArray();
        for (var t = 0; t < tones.Count; t++)
        {
            var (from, to) = (Math.Max(0, tones[t].FirstFrame - window), tones[t].LastFrame + window);
            for (var c = 0; c < source.Channels; c++)
            {
                voices[t, c] = new Voice(
                    new HarmonicTracker(tones[t].FrequencyHz, source.SampleRateHz),
                    clips[c],
                    from,
                    to,
                    source.SampleRateHz
                );
            }
        }

        var at = new long[2];
        void Feed(int channel, ReadOnlySpan<float> sound)
        {
            clips[channel].Add(sound);
            for (var t = 0; t < tones.Count; t++)
            {
                var voice = voices[t, channel];
                var from = (int)Math.Clamp(voice.From - at[channel], 0, sound.Length);
                var to = (int)Math.Clamp(voice.To - at[channel], 0, sound.Length);
                voice.Tracker.Add(sound[from..Math.Max(from, to)]);
            }

            at[channel] += sound.Length;
        }

        SoundPump.Run(source, (left, _) => Feed(0, left), source.Channels == 2 ? (_, right) => Feed(1, right) : null, progress);
        return voices;
    }

    private static void Read(
        LedgerTone tone,
        Voice[] voices,
        Channel[] channels,
        MeasurementSettings settings,
        List<Reading> readings,
        List<Trace> traces,
        List<Note> notes
    )
    {
        var nominal = DistortionPractice.NominalOf(tone.FrequencyHz, settings.NominalHz);
        var frames = voices.Select(v => LevelPoint.Steady(v.Tracker)).ToArray();
        var loudest = frames.Select(Loudness).ToArray();
        var best = Array.IndexOf(loudest, loudest.Max());
        if (frames[best].Count < 4)
        {
            return;
        }

        var middle = Median(frames[best]);
        var steady = frames[best].Count(f => Math.Abs(Db(f) - Db(middle)) < SteadyDb) >= SteadyShare * frames[best].Count;
        if (steady && Moving(frames[best], middle, voices[best]) is { } moving)
        {
            notes.Add(
                Note.Hint(
                    "ramp-not-read",
                    FormattableString.Invariant(
                        $"The tone at {nominal:0.##} Hz holds one level for most of the capture, so its harmonics are read there; between {moving.From:0.0} and {moving.To:0.0} s its level moves by {moving.Db:0} dB, which is not read. For the maximum output level capture the ramp with less of the steady tone."
                    )
                )
            );
        }

        for (var c = 0; c < voices.Length; c++)
        {
            if (frames[c].Count < 4 || 20 * Math.Log10(loudest[c] / loudest[best]) < DeadDb)
            {
                notes.Add(
                    Note.Warning(
                        "channel-without-tone",
                        FormattableString.Invariant(
                            $"The {Word(channels[c])} channel does not hold the tone at {nominal:0.##} Hz: its distortion is not measured. Check its cable and the deck's output."
                        )
                    )
                );
                continue;
            }

            var reference = channels[c] == Channel.Left ? settings.ReferenceLevelLeftDb : settings.ReferenceLevelRightDb;
            var interfaces = new InterfaceHarmonics(settings.Loopback, channels[c]);
            if (!steady)
            {
                DistortionLevels.Read(voices[c], channels[c], nominal, reference, interfaces, readings, traces, notes);
            }
            else if (!HarmonicReadings.Holds(voices[c].Tracker.Orders, nominal, 2))
            {
                notes.Add(
                    Note.Error(
                        "tone-too-high",
                        FormattableString.Invariant(
                            $"A steady tone at {nominal:0.##} Hz has no harmonic below 20 kHz. Play one of at most 6 kHz; for saturation let its level rise."
                        )
                    )
                );
            }
            else
            {
                if (c == best && !HarmonicReadings.Holds(voices[c].Tracker.Orders, nominal, 3))
                {
                    notes.Add(
                        Note.Warning(
                            "third-harmonic-too-high",
                            FormattableString.Invariant(
                                $"The third harmonic of {nominal:0.##} Hz lies above what is counted ({Math.Min(HarmonicTracker.HighestHz, 0.455 * voices[c].RateHz) / 1000:0.0} kHz), so neither it nor a total is told. Play a tone of at most {Math.Min(6, 0.15 * voices[c].RateHz / 1000):0.0} kHz."
                            )
                        )
                    );
                }

                var own = frames[c].Where(f => Math.Abs(Db(f) - Db(Median(frames[c]))) < 3).ToArray();
                var voice = voices[c];
                readings.AddRange(
                    HarmonicReadings.Of(
                        HarmonicFigures.Of(voice.Tracker, own),
                        voice.Clips.Clips(voice.From + own[0].CentreFrame, voice.From + own[^1].CentreFrame),
                        channels[c],
                        nominal,
                        "over the whole tone",
                        interfaces
                    )
                );
            }
        }

        LoopbackNotes.Add(
            settings.Loopback,
            [nominal, .. Enumerable.Range(2, Math.Max(0, Math.Min(4, voices[best].Tracker.Orders - 1))).Select(n => n * nominal)],
            "response at tone and harmonics",
            notes
        );
        if (tone.Share < 0.5)
        {
            notes.Add(
                Note.Warning(
                    "not-alone",
                    FormattableString.Invariant(
                        $"Other sound stands beside the tone at {nominal:0.##} Hz ({100 * (1 - tone.Share):0} % of the power): what of it lies at its harmonics counts as distortion."
                    )
                )
            );
        }
    }

    // Where a tone that is steady for the most part rises or falls for long: no fade, for that is shorter.
    private static (double From, double To, double Db)? Moving(IReadOnlyList<HarmonicFrame> frames, HarmonicFrame middle, Voice voice)
    {
        var moving = frames.Where(f => Math.Abs(Db(f) - Db(middle)) >= SteadyDb).ToArray();
        if (moving.Length * voice.Tracker.HopSeconds < LeastRampSeconds || moving.Max(Db) - moving.Min(Db) < LeastRampDb)
        {
            return null;
        }

        double Seconds(HarmonicFrame f) => (voice.From + f.CentreFrame) / voice.RateHz;
        return (Seconds(moving[0]), Seconds(moving[^1]), moving.Max(Db) - moving.Min(Db));
    }

    internal static string Word(Channel channel) => channel == Channel.Left ? "left" : "right";

    private static double Loudness(IReadOnlyList<HarmonicFrame> frames) => frames.Count == 0 ? 1e-12 : frames.Max(f => f.Fundamental);

    private static HarmonicFrame Median(IReadOnlyList<HarmonicFrame> frames) =>
        frames.OrderBy(f => f.Fundamental).ElementAt(frames.Count / 2);

    private static double Db(HarmonicFrame frame) => 20 * Math.Log10(Math.Max(frame.Fundamental, 1e-12));
}

/// <summary>One tone in one channel, as followed through the capture.</summary>
/// <param name="Tracker">Its harmonics.</param>
/// <param name="Clips">Where the interface clips in that channel.</param>
/// <param name="From">First frame of the capture that the tracker was given.</param>
/// <param name="To">Frame after the last.</param>
/// <param name="RateHz">Rate of the sound, Hz.</param>
internal sealed record Voice(HarmonicTracker Tracker, ClipMap Clips, long From, long To, int RateHz);
