using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>
/// Goes twice through a capture of a level and response tape: once to find its tones, once to measure each where it stands. What
/// <c>playback</c> and <c>azimuth</c> both read from.
/// </summary>
public sealed record TapeTones
{
    /// <summary>How far the deck's speed may be off, as a fraction.</summary>
    public const double SpeedWithin = 0.025;

    private const double MostSecondsInWork = 600;

    // A run starts and ends some 50 ms inside its tone, as the survey's windows lie.
    private const double EdgesSeconds = 0.1;

    /// <summary>The tones found, in the tape's order.</summary>
    public required IReadOnlyList<FoundTone> Found { get; init; }

    /// <summary>Speed as a ratio to nominal, from all tones together.</summary>
    public required double Speed { get; init; }

    public required IReadOnlyList<Note> Notes { get; init; }

    public required int Channels { get; init; }

    /// <summary>Finds and measures.</summary>
    /// <param name="source">The sound; it must be able to start again.</param>
    /// <param name="tones">The tape's tones in their order.</param>
    /// <param name="progress">Told the share done, 0 to 1.</param>
    /// <param name="listed">Whether the tones' levels and order are a tape's; else frequency alone tells them.</param>
    /// <exception cref="CannotMeasureException">No tone of the tape was found.</exception>
    public static TapeTones Read(SoundSource source, IReadOnlyList<TestTone> tones, IProgress<double>? progress, bool listed = true)
    {
        if (!source.CanRewind)
        {
            throw new ArgumentException(
                "The sound is gone through twice, and this source cannot start again; give a file.",
                nameof(source)
            );
        }

        if (tones.Count == 0)
        {
            throw new ArgumentException("The test tape lists no tones.", nameof(tones));
        }

        // A tone above half the sample rate cannot be in the capture; it is named missing.
        var within = tones.Where(t => t.FrequencyHz * (1 + SpeedWithin) < source.SampleRateHz * 0.49).ToArray();
        if (within.Length == 0)
        {
            throw new CannotMeasureException(
                "no-tone",
                FormattableString.Invariant(
                    $"All of the tape's tones lie above what a capture at {source.SampleRateHz} Hz can hold. Capture at 48000 Hz or more."
                )
            );
        }

        var survey = new ToneSurvey(ToneIdentification.Candidates(within), SpeedWithin, source.SampleRateHz, source.Channels);
        var inspector = new SoundInspector(source.SampleRateHz, source.Channels);
        var frames = SoundPump.Run(source, survey.Add, inspector.Add, Half(progress, 0));
        Breaks.Refuse(inspector);
        var runs = survey.Runs();
        var identified = ToneIdentification.Identify(within, runs, listed);
        if (identified.Assigned.Count == 0)
        {
            if (identified.Notes.Any(n => n.Code == "ambiguous-tone"))
            {
                throw new CannotMeasureException(
                    "ambiguous-tone",
                    "Tones of the tape stand in this capture, but it cannot be told which of those of equal frequency and other level they are. Play the tape from its reference tone on."
                );
            }

            throw NothingFound(inspector, frames, source.SampleRateHz, tones);
        }

        var probes = identified.Assigned
            .SelectMany(a => a.Runs)
            .Distinct()
            .OrderBy(r => r.FirstFrame)
            .Select(r => Limited(r, source.SampleRateHz))
            .ToArray();
        source.Rewind();
        var measured = Measure(source, probes, Half(progress, 1));
        var notes = new List<Note>(source.Notes);
        notes.AddRange(inspector.Notes());
        notes.AddRange(identified.Notes);
        notes.AddRange(
            tones
                .Except(within)
                .Distinct()
                .Select(t => ToneIdentification.Missing(t, "lies above what this capture's sample rate can hold"))
        );
        notes.AddRange(
            identified.Assigned.SelectMany(a => a.Runs.Select(r => HumNear(a.Tone, r, source.SampleRateHz))).OfType<Note>().Distinct()
        );
        var found = new List<FoundTone>();
        foreach (var (tone, itsRuns) in identified.Assigned)
        {
            var figures = itsRuns.Select(r => measured.GetValueOrDefault(r)).OfType<ToneFigures>().ToArray();
            if (figures.Length == 0)
            {
                notes.Add(
                    Note.Warning(
                        "doubtful-tone",
                        $"{ToneIdentification.Name(tone)} stands in the capture too short or too unsteady to measure; nothing is said of it."
                    )
                );
                continue;
            }

            found.Add(new FoundTone(tone, itsRuns, ToneMean.Of(figures)));
        }

        if (found.Count == 0)
        {
            throw NothingFound(inspector, frames, source.SampleRateHz, tones);
        }

        return new TapeTones { Found = found, Speed = identified.Speed, Notes = notes, Channels = source.Channels };
    }

    // Hum nearer to a tone than two periods of its length cannot be told from it.
    private static Note? HumNear(TestTone tone, ToneRun run, int rate)
    {
        var seconds = run.Frames / (double)rate;
        var mains = new[] { 50.0, 60.0 }.FirstOrDefault(m =>
            Math.Abs(run.FrequencyHz - (Math.Max(1, Math.Round(run.FrequencyHz / m)) * m)) < 2 / seconds
        );
        return mains > 0 && run.HumPower > 1e-6 * run.Power
            ? Note.Warning(
                "hum-near-tone",
                FormattableString.Invariant(
                    $"Hum of {10 * Math.Log10(run.HumPower / run.Power):0} dB against it stands at the very frequency of {char.ToLowerInvariant(ToneIdentification.Name(tone)[0])}{ToneIdentification.Name(tone)[1..]}; its level may be off by {20 * Math.Log10(1 + Math.Sqrt(run.HumPower / run.Power)):0.00} dB beyond its uncertainty. Mend the hum first."
                )
            )
            : null;
    }

    private static Dictionary<ToneRun, ToneFigures?> Measure(
        SoundSource source,
        (ToneRun Run, long Last)[] probes,
        IProgress<double>? progress
    )
    {
        var measured = new Dictionary<ToneRun, ToneFigures?>();
        var open = new List<(ToneRun Run, long Last, ToneProbe Probe)>();
        var next = 0;
        long at = 0;
        SoundPump.Run(
            source,
            (left, right) =>
            {
                var end = at + left.Length;
                while (next < probes.Length && probes[next].Run.FirstFrame < end)
                {
                    var (run, last) = probes[next++];
                    var seconds = (last - run.FirstFrame) / (double)source.SampleRateHz;
                    open.Add((run, last, new ToneProbe(run.FrequencyHz, seconds, source.SampleRateHz, source.Channels, EdgesSeconds)));
                }

                for (var i = open.Count - 1; i >= 0; i--)
                {
                    var (run, last, probe) = open[i];
                    var from = (int)Math.Max(0, run.FirstFrame - at);
                    var to = (int)Math.Min(left.Length, last - at);
                    if (to > from)
                    {
                        probe.Add(left[from..to], right.IsEmpty ? default : right[from..to]);
                    }

                    if (last <= end)
                    {
                        measured[run] = probe.Finish();
                        open.RemoveAt(i);
                    }
                }

                at = end;
            },
            progress: progress);
        foreach (var (run, _, probe) in open)
        {
            measured[run] = probe.Finish();
        }

        return measured;
    }

    // A tone left running for an hour is measured by its first ten minutes: memory stays bounded.
    private static (ToneRun Run, long Last) Limited(ToneRun run, int rate) =>
        (run, Math.Min(run.LastFrame, run.FirstFrame + (long)(MostSecondsInWork * rate)));

    private static Progress? Half(IProgress<double>? progress, int half) => progress is null ? null : new Progress(progress, half);

    private static CannotMeasureException NothingFound(SoundInspector inspector, long frames, int rate, IReadOnlyList<TestTone> tones)
    {
        var silent = inspector.Notes().FirstOrDefault(n => n.Code == "silence");
        if (silent is not null)
        {
            return new CannotMeasureException(
                "silence",
                "The capture is silent from start to end. Check the cable, the input's level and the choice of channels."
            );
        }

        return new CannotMeasureException(
            "no-tone",
            FormattableString.Invariant(
                $"None of the tape's {tones.Count} tones ({tones.Min(t => t.FrequencyHz):0.##} to {tones.Max(t => t.FrequencyHz):0.##} Hz) stands steady in the {frames / (double)rate:0.0} s of this capture. Check that it is the capture of this tape, and its speed within 2 %."
            )
        );
    }

    private sealed class Progress(IProgress<double> whole, int half) : IProgress<double>
    {
        public void Report(double value) => whole.Report((half + value) / 2);
    }
}
