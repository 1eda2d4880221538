using Spoolwright.Signal;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// The <c>crosstalk</c> measurement: what of a tone on one channel stands in the other, and what leaks from the tracks of the other
/// direction.
/// </summary>
public static class CrosstalkMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "crosstalk",
        "Crosstalk",
        "Reads the separation of the channels from tones on one channel, and the leak of the other direction's tracks.",
        "Play a tone recorded on one channel only, then on the other, or different tones left and right at the same time, each for 5 seconds or more. For the "
        + "leak of the other direction: a tone on the tracks of the other direction, nothing on these, and --reference-level.",
        [Quantity.Separation, Quantity.ReverseLeak],
        "[IEC60094-3:1979]",
        Measure)
    {
        Takes = SettingKinds.Deck | SettingKinds.ReferenceLevel | SettingKinds.Nominal,
    };

    private const double LeastSeconds = 1;

    // Less apart than this, both channels carry the tone.
    private const double LeastDifferenceDb = 6;

    // A leak may wander in phase as azimuth does.
    private const double CoherentHz = 0.5;
    private const double MethodDb = 0.05;

    /// <summary>Measures a source from its start to its end, twice over.</summary>
    /// <exception cref="CannotMeasureException">No tone stands on one channel alone.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        var capture = SelectiveCapture.Survey(source, "tone", progress);
        var runs = capture.Channels == 2 ? Driven(capture.Trail.Runs(LeastSeconds)) : [];
        var notes = capture.Notes.Where(n => n.Code != "dead-channel").ToList();
        var one = runs.Where(r => r.DifferenceDb >= LeastDifferenceDb && !IsLeak(r, settings)).ToArray();
        if (one.Length > 0)
        {
            return Separations(capture, one, runs, notes);
        }

        if (settings.ReferenceLevelLeftDb is not null)
        {
            return ReverseLeak.Measure(capture, settings, notes);
        }

        throw capture.Channels == 1
            ? new CannotMeasureException(
                "one-channel",
                "The capture holds one channel; separation needs both. Capture in stereo, with the tone on one channel."
            )
        : runs.Count > 0
            ? new CannotMeasureException(
                "both-channels",
                FormattableString.Invariant(
                    $"The tone of {runs[0].Hz:0} Hz stands in both channels, {runs[0].DifferenceDb:0.0} dB apart: neither can be told for the leak. Play a tone that is recorded on one channel only, or different tones left and right."
                )
            )
        : new CannotMeasureException(
            "no-tone",
            "No steady tone stands in the capture. Play a tone recorded on one channel; for the leak of the other direction's tracks give --reference-level."
        );
    }

    // The loudest tones: harmonics and products of others that stand 20 dB under them are no tones of the program.
    private static List<TrailRun> Driven(IReadOnlyList<TrailRun> runs)
    {
        var most = runs.Select(r => r.Power).DefaultIfEmpty(0).Max();
        return
        [
            .. runs.Where(r =>
                r.Power > most / 1000 && !runs.Any(o => o != r && Overlap(o, r) && o.Power > 30 * r.Power && IsProduct(r.Hz, o.Hz))
            ),
        ];
    }

    private static bool IsProduct(double hz, double of) => hz > 1.5 * of && Math.Abs((hz / of) - Math.Round(hz / of)) < 0.01;

    private static bool Overlap(TrailRun a, TrailRun b) => a.FirstFrame < b.LastFrame && b.FirstFrame < a.LastFrame;

    // With a reference level stated, what lies 20 dB under it in both channels is no tone of this direction.
    private static bool IsLeak(TrailRun run, MeasurementSettings settings) =>
        settings.ReferenceLevelLeftDb is { } left
        && settings.ReferenceLevelRightDb is { } right
        && 10 * Math.Log10(run.Power) < Math.Min(left, right) - 20;

    private static MeasurementResult Separations(SelectiveCapture capture, TrailRun[] one, IReadOnlyList<TrailRun> all, List<Note> notes)
    {
        var bands = capture.Listen([.. one.Select(r => (r.Hz, Pass(r, all), r.FirstFrame, r.LastFrame))]);
        var found = new List<(TrailRun Run, LinePower Leak, double Driven)>();
        for (var i = 0; i < one.Length; i++)
        {
            if (bands[i].Count < 20)
            {
                continue;
            }

            int driven = one[i].IsLeft ? 0 : 1, other = 1 - driven;
            var own = bands[i].Coherent(driven, driven).Line(0, 2).Power;
            found.Add((one[i], bands[i].Coherent(other, driven).Line(0, CoherentHz), own));
            var with = all.FirstOrDefault(r =>
                r != one[i] && Overlap(r, one[i]) && r.IsLeft != one[i].IsLeft && IsProduct(one[i].Hz, r.Hz)
            );
            if (with is not null)
            {
                notes.Add(
                    Note.Warning(
                        "harmonic-near-tone",
                        FormattableString.Invariant(
                            $"The tone of {one[i].Hz:0} Hz falls on a harmonic of the {with.Hz:0} Hz tone in the other channel: distortion reads as leak there. Use tones that are no multiples of each other."
                        )
                    )
                );
            }
        }

        var readings = new List<Reading>();
        foreach (
            var group in found
                .GroupBy(f => (f.Run.IsLeft, Hz: ToneWords.Nominal(f.Run.Hz)))
                .OrderBy(g => !g.Key.IsLeft)
                .ThenBy(g => g.Key.Hz)
        )
        {
            // A tone that comes twice is averaged by length.
            var seconds = group.Sum(f => f.Run.LastFrame - f.Run.FirstFrame);
            double Mean(Func<(TrailRun Run, LinePower Leak, double Driven), double> of) =>
                group.Sum(f => of(f) * (f.Run.LastFrame - f.Run.FirstFrame)) / seconds;
            var sigma = Math.Sqrt(group.Sum(f => Math.Pow(f.Leak.Sigma * (f.Run.LastFrame - f.Run.FirstFrame) / seconds, 2)));
            var leak = new LinePower(Mean(f => f.Leak.Power), sigma);
            var channel = group.Key.IsLeft ? Channel.Left : Channel.Right;
            var method = FormattableString.Invariant(
                $"level of the {group.Key.Hz:0.##} Hz tone in the {PlaybackMeasurement.Word(channel)} channel, which carries it, over what is coherent with it in the other, through flutter, within ±{CoherentHz:0.0} Hz and noise taken off, {seconds / (double)capture.Rate:0.0} s [IEC60094-3:1979] from memory"
            );
            readings.Add(
                SelectiveReading.Ratio(
                    Quantity.Separation,
                    Mean(f => f.Driven),
                    leak,
                    MethodDb,
                    method,
                    channel,
                    group.Key.Hz,
                    notes,
                    "separation"
                )
            );
        }

        if (readings.Count == 0)
        {
            throw new CannotMeasureException(
                "too-short",
                "The tones stand too short to measure the leak beside them. Hold each for 5 s or more."
            );
        }

        foreach (var channel in new[] { Channel.Left, Channel.Right }.Where(c => readings.All(r => r.Channel != c)))
        {
            notes.Add(
                Note.Hint(
                    "one-way",
                    $"No tone stands on the {PlaybackMeasurement.Word(channel)} channel alone: separation was measured one way only."
                )
            );
        }

        return new MeasurementResult("crosstalk", readings, notes, []);
    }

    // Tones that play at the same time must not reach into each other's band.
    private static double Pass(TrailRun run, IReadOnlyList<TrailRun> all) =>
        all.Where(r => r != run && Overlap(r, run)).Select(r => 0.3 * Math.Abs(r.Hz - run.Hz)).Append(60).Min();
}
