using Spoolwright.Signal;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>The <c>erase</c> measurement: how far below the recorded tone lies what is left of it after erasure, at the tone's own
/// frequency.</summary>
public static class EraseMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "erase",
        "Depth of erasure",
        "Reads how far what is left of an erased tone lies below the tone as it was recorded, at its own frequency.",
        "Record a 1 kHz tone at full level, erase a part of it by recording with no signal, and capture the tone and the erased part in one, in either order, 5 seconds "
        + "or more of each; 30 seconds see deeper. Or capture the erased part alone and say what the tone was: --recorded or --recorded-level.",
        [Quantity.EraseDepth],
        "[IEC60094-3:1979]",
        Measure)
    {
        Takes = SettingKinds.Deck | SettingKinds.Nominal | SettingKinds.Recorded,
    };

    private const double DefaultHz = 1000;
    private const double SpeedWithin = 0.02;

    // Speed may differ by so much between the recorded part and the erased one.
    private const double DriftWithin = 0.002;
    private const double LeastSeconds = 1;
    private const double StillSeconds = 1;
    private const double LeastDepth = 4; // 6 dB
    private const double MethodDb = 0.1;

    /// <summary>Measures a source from its start to its end, twice over.</summary>
    /// <exception cref="CannotMeasureException">The recorded or the erased part was not found.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        var nominal = settings.NominalHz ?? DefaultHz;
        var capture = SelectiveCapture.Survey(source, "recorded tone", progress, markers: true);
        capture.Program?.MustBe("erase", "dropouts", "blank"); // the last is what one erases with
        var notes = capture.Notes.ToList();
        if (settings.OpenRecorded is { } open)
        {
            using var sound = open();
            var before = SelectiveCapture.Survey(sound, "recorded tone", null);
            if (before.Channels != capture.Channels)
            {
                throw new CannotMeasureException(
                    "channels-differ",
                    $"The recorded capture has {before.Channels} {(before.Channels == 1 ? "channel" : "channels")}, the erased one {capture.Channels}. Capture both alike."
                );
            }

            var recorded = Recorded(before, nominal, settings.NominalHz is not null);
            return Report(recorded, Tone(before, recorded), capture, (0, capture.Frames), nominal, true, notes);
        }

        if (settings.RecordedLevelDb is { } level)
        {
            return AgainstLevel(capture, level, nominal, settings.NominalHz is not null, notes);
        }

        var run = Recorded(capture, nominal, settings.NominalHz is not null);
        var erased = Erased(capture, run, notes);
        return Report(run, Tone(capture, run), capture, erased, nominal, false, notes);
    }

    // The loudest steady tone within 2 % of the nominal; without a nominal given, the loudest of all where none is near 1 kHz.
    private static TrailRun Recorded(SelectiveCapture capture, double nominal, bool given)
    {
        var runs = capture.Trail.Runs(LeastSeconds);
        var most = runs.Select(r => r.Power).DefaultIfEmpty(0).Max();
        var near = runs.Where(r => Math.Abs(r.Hz - nominal) <= SpeedWithin * nominal * 1.05 && r.Power > most / 30).ToArray();
        if (near.Length == 0 && !given)
        {
            near = [.. runs.Where(r => r.Power > most / 2 && r.Hz > 200 && r.Hz < 0.4 * capture.Rate)];
        }

        if (near.Length == 0)
        {
            throw new CannotMeasureException(
                "no-tone",
                FormattableString.Invariant(
                    $"No steady tone within 2 % of {nominal:0} Hz stands in the capture: the recorded part is missing. Capture the recorded tone and the erased part in one, or give --recorded or --recorded-level; give --nominal for another tone."
                )
            );
        }

        var loudest = near.Max(r => r.Power);
        return near.Where(r => r.Power > 0.5 * loudest).MaxBy(r => r.LastFrame - r.FirstFrame)!;
    }

    // The longest stretch in which nothing of the tone comes within 6 dB of it; where the tape stood still for a part, the part in which it
    // ran.
    private static (long First, long Last) Erased(SelectiveCapture capture, TrailRun recorded, List<Note> notes)
    {
        var trail = capture.Trail;
        bool IsTone(int w) =>
            trail
                .Tones(w)
                .Any(t => Math.Abs(t.Hz - recorded.Hz) < 0.02 * recorded.Hz && t.Power * LeastDepth > recorded.Left + recorded.Right);
        bool Touches(int w) => trail.FirstFrame(w) < recorded.LastFrame && trail.FirstFrame(w) + trail.WindowFrames > recorded.FirstFrame;
        // Of a program of ours only what lies between its markers was ever recorded with the tone.
        var within = capture.Program is { } p ? (From: p.FromSeconds * capture.Rate, To: p.ToSeconds * capture.Rate) : (0, double.PositiveInfinity);
        bool Held(int w) => trail.FirstFrame(w) >= within.From && trail.FirstFrame(w) + trail.WindowFrames <= within.To;
        var free = Enumerable.Range(0, trail.Count).Where(w => Held(w) && !IsTone(w) && !Touches(w)).ToArray();
        if (free.Length > 0)
        {
            var noise = free.Select(trail.Noise).Order().ElementAt(free.Length / 2);
            var still = free.Count(w => trail.Noise(w) <= noise / 4);

            // The windows in which the tone begins or ends, a marker or a switch are louder; they are no part of what was erased, and no
            // news either.
            free = [.. free.Where(w => trail.Noise(w) > noise / 4 && trail.Noise(w) < noise * 30)];
            if (still * trail.WindowFrames / 2 >= StillSeconds * capture.Rate)
            {
                notes.Add(
                    Note.Hint(
                        "part-left-out",
                        FormattableString.Invariant(
                            $"For {still * trail.WindowFrames / 2.0 / capture.Rate:0.0} s of what follows or precedes the tone the hiss is far lower (the tape standing?): the part with the hiss of most of it was taken for the erased one."
                        )
                    )
                );
            }
        }

        (int First, int Last) best = (0, -1);
        for (var i = 0; i < free.Length;)
        {
            var j = i;
            while (j + 1 < free.Length && free[j + 1] == free[j] + 1)
            {
                j++;
            }

            best = free[j] - free[i] > best.Last - best.First ? (free[i], free[j]) : best;
            i = j + 1;
        }

        // The outermost windows may hold the end of the tone, or a switch being thrown.
        long first = trail.FirstFrame(best.First) + (best.First > 0 ? trail.WindowFrames : 0);
        long last = best.Last < 0 ? 0 : trail.FirstFrame(best.Last) + (best.Last < trail.Count - 1 ? 0 : trail.WindowFrames);
        return last - first >= LeastSeconds * capture.Rate
            ? (first, last)
            : throw new CannotMeasureException(
                "no-erased-part",
                FormattableString.Invariant(
                    $"The tone of {recorded.Hz:0} Hz stands from {recorded.FirstFrame / (double)capture.Rate:0.0} to {recorded.LastFrame / (double)capture.Rate:0.0} s, and nowhere for {LeastSeconds:0} s or more does it lie 6 dB lower: no part of the capture stands beside another as recorded beside erased. If the tone was erased throughout, give a capture from before with --recorded, or its level with --recorded-level. Else capture the tone and then the erased part, 5 s or more of it."
                )
            );
    }

    private static NarrowBand Tone(SelectiveCapture capture, TrailRun recorded) =>
        capture.Listen([(recorded.Hz, SelectiveCapture.PassHz, recorded.FirstFrame, recorded.LastFrame)])[0];

    private static MeasurementResult Report(
        TrailRun recorded,
        NarrowBand tone,
        SelectiveCapture capture,
        (long First, long Last) erased,
        double nominal,
        bool otherPass,
        List<Note> notes
    )
    {
        var rest = capture.Listen([(recorded.Hz, SelectiveCapture.PassHz, erased.First, erased.Last)])[0];
        var hz = Math.Abs(recorded.Hz - nominal) <= 0.03 * nominal ? nominal : ToneWords.Nominal(recorded.Hz);
        if (!hz.Equals(nominal))
        {
            notes.Add(
                Note.Hint(
                    "nominal-assumed",
                    FormattableString.Invariant($"The recorded tone is {recorded.Hz:0} Hz, not {nominal:0} Hz; it was taken.")
                )
            );
        }

        if (
            otherPass
            && capture
                .Trail.Runs(LeastSeconds)
                .Any(r => Math.Abs(r.Hz - recorded.Hz) < 0.02 * recorded.Hz && r.Power * LeastDepth > recorded.Power)
        )
        {
            throw new CannotMeasureException(
                "no-erased-part",
                FormattableString.Invariant(
                    $"The tone of {recorded.Hz:0} Hz stands in the erased capture nearly as loud as in the recorded one. If that is the right file, nothing was erased."
                )
            );
        }

        var readings = new List<Reading>();
        for (var c = 0; c < capture.Channels; c++)
        {
            var channel = c == 0 ? Channel.Left : Channel.Right;
            var before = tone.Spectrum(c);
            var middle = before.Middle(20);
            var half = Math.Max(before.HalfWidth(middle), 1);
            var full = before.Line(middle, half);
            if (full.Power * 1000 < recorded.Power || !full.IsSeen)
            {
                notes.Add(
                    Note.Error(
                        "dead-channel",
                        $"The {PlaybackMeasurement.Word(channel)} channel does not carry the recorded tone: its erasure is not measured."
                    )
                );
                continue;
            }

            var after = rest.Spectrum(c);
            var (at, line) = Residue.Find(after, middle, DriftWithin * recorded.Hz, half);
            Add(
                readings,
                notes,
                after,
                recorded.Hz,
                at,
                half,
                full.Power,
                line,
                channel,
                hz,
                FormattableString.Invariant(
                    $"tone before ({10 * Math.Log10(full.Power):0.0} dBFS, {before.Seconds:0.0} s) over what is left at its frequency as this deck plays it ({recorded.Hz + middle:0.0} Hz ±{half + (DriftWithin * recorded.Hz):0.0} Hz, {after.Seconds:0.0} s), noise taken off, after [IEC60094-3:1979] from memory"
                )
            );
        }

        return new MeasurementResult("erase", readings, notes, []);
    }

    private static MeasurementResult AgainstLevel(SelectiveCapture capture, double level, double nominal, bool given, List<Note> notes)
    {
        var rest = capture.Listen([(nominal, SelectiveCapture.PassHz, 0, capture.Frames)])[0];
        if (!given)
        {
            notes.Add(
                Note.Hint(
                    "nominal-assumed",
                    FormattableString.Invariant(
                        $"What is left was looked for within ±2 % of {nominal:0} Hz. If another tone was recorded, give --nominal."
                    )
                )
            );
        }

        const double half = 3;
        var readings = new List<Reading>();
        for (var c = 0; c < capture.Channels; c++)
        {
            var channel = c == 0 ? Channel.Left : Channel.Right;
            var after = rest.Spectrum(c);
            var (at, line) = Residue.Find(after, 0, SpeedWithin * nominal, half);
            Add(
                readings,
                notes,
                after,
                nominal,
                at,
                half,
                Math.Pow(10, level / 10),
                line,
                channel,
                nominal,
                FormattableString.Invariant(
                    $"recorded level given, {level:0.00} dBFS, over the line found within ±2 % of {nominal:0.##} Hz, ±{half:0} Hz and noise taken off, {after.Seconds:0.0} s, after [IEC60094-3:1979] from memory"
                ),
                new UncertaintyPart("recorded-level", null)
            );
        }

        return new MeasurementResult("erase", readings, notes, []);
    }

    private static void Add(
        List<Reading> readings,
        List<Note> notes,
        BandSpectrum after,
        double centre,
        double at,
        double half,
        double full,
        LinePower line,
        Channel channel,
        double hz,
        string method,
        params UncertaintyPart[] more
    )
    {
        if (
            line.IsSeen
            && SelectiveCapture.HumAt(after, centre + at, centre, half, line.Power, PlaybackMeasurement.Word(channel)) is { } hum
        )
        {
            notes.Add(hum);
        }

        readings.Add(
            SelectiveReading.Ratio(Quantity.EraseDepth, full, line, MethodDb, method, channel, hz, notes, "depth of erasure", more)
        );
    }
}
