using Spoolwright.Signal;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Markers;
using Spoolwright.Signal.Programs;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>The course of a bias tone in one channel.</summary>
/// <param name="LevelDb">Level, dBFS, point after point; dropouts bridged.</param>
/// <param name="SecondsAt">Time in the capture of a point's middle, s.</param>
internal sealed record BiasCourse(IReadOnlyList<double> LevelDb, Func<double, double> SecondsAt);

/// <summary>Finds the bias tone of a capture and follows its level; goes through the sound twice.</summary>
internal sealed class BiasSound
{
    private const double CompanionHz = 1000;
    private const double SpeedWithin = 0.03;
    private const double LeastRatio = 8;
    private const double LongerThanAMarkerSeconds = MarkerSweep.MarkerSeconds + 0.5;

    /// <summary>The bias tone as heard, Hz.</summary>
    public required double FrequencyHz { get; init; }

    /// <summary>Its nominal frequency, Hz.</summary>
    public required double NominalHz { get; init; }

    /// <summary>By channel (0 left, 1 right): the tone's course, null where the channel does not hold it.</summary>
    public required BiasCourse?[] Tone { get; init; }

    /// <summary>By channel: the course of 1 kHz over the same points; null where there is none.</summary>
    public required BiasCourse?[] Companion { get; init; }

    /// <summary>By channel: from when to when it is clipped while the tone stands, s; null where it is not.</summary>
    public required (double From, double To)?[] Clipped { get; init; }

    public required IReadOnlyList<Note> Notes { get; init; }

    /// <summary>What of the bias itself stands in the channels.</summary>
    public required IReadOnlyList<Reading> Leak { get; init; }

    public static BiasSound Read(SoundSource source, double? nominalHz, IProgress<double>? progress)
    {
        if (!source.CanRewind)
        {
            throw new ArgumentException(
                "The sound is gone through twice, and this source cannot start again; give a file.",
                nameof(source)
            );
        }

        var lines = new SteadyLines(source.SampleRateHz, source.Channels);
        var search = new MarkerSearch(source.SampleRateHz, source.Channels);
        var inspector = new SoundInspector(source.SampleRateHz, source.Channels);
        var frames = SoundPump.Run(
            source,
            (SoundSink)lines.Add + search.Add,
            inspector.Add,
            progress);
        Breaks.Refuse(inspector);
        var seconds = frames / (double)source.SampleRateHz;
        if (seconds < 2)
        {
            throw new CannotMeasureException(
                "too-short",
                FormattableString.Invariant(
                    $"The capture lasts {seconds:0.0} s; capture the bias tone from before the peak to past it, slowly: 15 s or more."
                )
            );
        }

        var markers = search.Finish();
        HeardProgram.Of(markers)?.MustBe("bias", "erase", "dropouts");
        var found = lines.Find();
        if (inspector.Notes().Any(n => n.Code == "silence") || found.Count == 0)
        {
            throw found.Count == 0 && !inspector.Notes().Any(n => n.Code == "silence")
                ? new CannotMeasureException(
                    "no-tone",
                    "No steady tone stands in this capture. Record a tone of 10 kHz (spoolwright signal bias) and capture it while the bias is turned."
                )
                : new CannotMeasureException(
                    "silence",
                    "The capture is silent from start to end. Check the cable, the input's level and the choice of channels."
                );
        }

        var (tone, companion, nominal) = Choose(found, nominalHz, Sent(markers));
        source.Rewind();
        var courses = Enumerable.Range(0, source.Channels).Select(_ => new LevelCourse(tone.FrequencyHz, source.SampleRateHz)).ToArray();
        var bias = BiasLeak.Of(found, source.SampleRateHz);
        var leaks = bias is { } b ? courses.Select(_ => new LevelCourse(b.FrequencyHz, source.SampleRateHz)).ToArray() : [];
        var beside = companion is { } c ? courses.Select(_ => new LevelCourse(c.FrequencyHz, source.SampleRateHz)).ToArray() : [];
        BiasClipping[] clipping = [.. courses.Select((_, i) => new BiasClipping(inspector.Ceiling(i), source.SampleRateHz))];
        SoundPump.Run(source, (left, right) =>
        {
            for (var channel = 0; channel < courses.Length; channel++)
            {
                var sound = channel == 0 ? left : right;
                courses[channel].Add(sound);
                clipping[channel].Add(sound);
                if (beside.Length > 0)
                {
                    beside[channel].Add(sound);
                }

                if (leaks.Length > 0)
                {
                    leaks[channel].Add(sound);
                }
            }
        });
        var notes = new List<Note>(source.Notes);
        notes.AddRange(inspector.Notes());
        notes.AddRange(BiasLeak.Told(bias, source.SampleRateHz) is { } told ? [told] : []);
        var spans = courses.Select((course, channel) => Span(course, tone.NoiseDensity, markers, channel)).ToArray();
        return new BiasSound
        {
            FrequencyHz = tone.FrequencyHz,
            NominalHz = nominal,
            Tone = [.. courses.Select((course, i) => spans[i] is { } span ? Course(course, span, tone.NoiseDensity) : null)],
            Companion =
            [
                .. courses.Select(
                    (_, i) =>
                        beside.Length > 0 && spans[i] is { } span
                            ? Course(beside[i], Moved(span, courses[i], beside[i]), companion!.Value.NoiseDensity)
                            : null
                ),
            ],
            Notes = notes,
            Clipped =
            [
                .. courses.Select((course, i) =>
                    spans[i] is { } span ? clipping[i].Between(course.SecondsAt(span.From), course.SecondsAt(span.To)) : null),
            ],
            Leak =
            [
                .. leaks
                    .Select(
                        (leak, i) =>
                            spans[i] is { } span
                                ? BiasLeak.Reading(
                                    leak,
                                    Moved(span, courses[i], leak).To,
                                    bias!.Value,
                                    i == 0 ? Channel.Left : Channel.Right,
                                    source.SampleRateHz
                                )
                                : null
                    )
                    .OfType<Reading>(),
            ],
        };
    }

    // What the marker says was sent, if one was heard.
    private static double? Sent(IReadOnlyList<FoundMarker> markers) =>
        markers
            .Select(m => ProgramList.OfMarker(m.Word.Program, m.Word.Variant))
            .FirstOrDefault(p => p?.Name == "bias")
            ?.Steps[0]
            .Tones[0]
            .FrequencyHz;

    private static (SteadyLine Tone, SteadyLine? Companion, double Nominal) Choose(
        IReadOnlyList<SteadyLine> all,
        double? nominalHz,
        double? sentHz
    )
    {
        // Bias that leaks into the output may be the strongest line of all, and is no tone.
        SteadyLine[] lines = [.. all.Where(l => l.FrequencyHz < BiasLeak.LowestHz)];
        if (lines.Length == 0)
        {
            throw new CannotMeasureException(
                "no-tone",
                FormattableString.Invariant(
                    $"The only steady line, at {all[0].FrequencyHz / 1000:0.0} kHz, is no tone of a tape. Record a tone of 10 kHz (spoolwright signal bias) and capture it while the bias is turned."
                )
            );
        }

        bool Near(SteadyLine line, double hz) => Math.Abs((line.FrequencyHz / hz) - 1) < SpeedWithin;
        SteadyLine? companion = lines.Where(l => Near(l, CompanionHz)).Select(l => (SteadyLine?)l).FirstOrDefault();
        if ((nominalHz ?? sentHz) is { } asked)
        {
            var tone =
                lines.Where(l => Near(l, asked)).Select(l => (SteadyLine?)l).FirstOrDefault()
                ?? throw new CannotMeasureException(
                    "no-tone",
                    FormattableString.Invariant(
                        $"No tone within 3 % of {asked:0.##} Hz stands in this capture; its strongest line lies at {lines[0].FrequencyHz:0} Hz. Say with --nominal what was recorded."
                    )
                );
            return (tone, Math.Abs(asked - CompanionHz) < 100 ? null : companion, asked);
        }

        // The tone is a high one; harmonics of the 1 kHz beside it lie far under that.
        var high = lines
            .Where(l => l.FrequencyHz > 1900 && (companion is not { } c || l.Power > 0.002 * c.Power))
            .Select(l => (SteadyLine?)l)
            .FirstOrDefault();
        var chosen = high ?? lines[0];
        double[] usual = [315, 400, 500, 1000, 2500, 5000, 6300, 8000, 10_000, 12_500, 15_000, 16_000, 20_000];
        var nominal = usual.Where(u => Near(chosen, u)).Select(u => (double?)u).FirstOrDefault() ?? Math.Round(chosen.FrequencyHz);
        return (chosen, high is null ? null : companion, nominal);
    }

    // Points in which the tone stands: from its first long stay to its last one, without the points at its edges. Between them it may have
    // gone under, as where the control was turned far beyond the peak and back.
    private static (int From, int To)? Span(LevelCourse course, double density, IReadOnlyList<FoundMarker> markers, int channel)
    {
        var stays = Stays(course, density, [.. markers.Where(m => m.CaptureChannel == channel)]);
        var longest = stays.DefaultIfEmpty().MaxBy(s => s.To - s.From);
        if (longest.To - longest.From < LevelCourse.PerSecond)
        {
            return null;
        }

        var counted = stays.Where(s => s == longest || (s.To - s.From >= LongerThanAMarkerSeconds * LevelCourse.PerSecond)).ToArray();
        return (counted[0].From + 1, counted[^1].To);
    }

    // Stays of the tone, breaks of half a second and less with them.
    private static List<(int From, int To)> Stays(LevelCourse course, double density, FoundMarker[] own)
    {
        bool InMarker(int i) =>
            own.Any(m =>
                course.SecondsAt(i) > m.StartSeconds - 0.1 && course.SecondsAt(i) < m.StartSeconds + MarkerSweep.MarkerSeconds + 0.2
            );
        // What lies 30 dB under the tone is no bias that anyone sets, but what a marker that the capture cuts off leaves in the tone's
        // band.
        var least = course.Power.Count == 0 ? 0 : course.Power.Order().ElementAt((int)(0.95 * (course.Power.Count - 1))) / 1000;
        var noise = density * course.NoiseBandwidthHz;

        // Our own program has half a second of silence between the tone and its end marker, which the capture may have cut off; else a
        // break is a dropout.
        var longest = own.Length > 0 ? LevelCourse.PerSecond * SignalProgram.PauseSeconds / 2 : LevelCourse.PerSecond / 2;
        var stays = new List<(int From, int To)>();
        for (var i = 0; i < course.Power.Count; i++)
        {
            if (course.Power[i] < LeastRatio * noise || course.Power[i] < Math.Max(1e-12, least) || InMarker(i))
            {
                continue;
            }

            if (stays.Count > 0 && i - stays[^1].To <= longest && (i - stays[^1].To == 1 || ComesBack(course, stays[^1].To, i)))
            {
                stays[^1] = (stays[^1].From, i);
            }
            else
            {
                stays.Add((i, i));
            }
        }

        return stays;
    }

    // After a dropout the tone is as loud as before it, and goes on; what a marker leaves in its band is far lower, or comes in bursts.
    private static bool ComesBack(LevelCourse course, int before, int after)
    {
        const int Points = 8;
        double Middle(int from, int to) =>
            Enumerable
                .Range(Math.Max(0, from), Math.Max(1, Math.Min(to, course.Power.Count) - Math.Max(0, from)))
                .Select(i => course.Power[Math.Min(i, course.Power.Count - 1)])
                .Order()
                .ElementAt(Math.Max(0, Math.Min(to, course.Power.Count) - Math.Max(0, from) - 1) / 2);
        return Middle(after + 1, after + 1 + Points) > Middle(before - Points, before) / 30;
    }

    private static (int From, int To) Moved((int From, int To) span, LevelCourse of, LevelCourse to)
    {
        var by = (int)Math.Round((of.FirstSeconds - to.FirstSeconds) * LevelCourse.PerSecond);
        return (Math.Clamp(span.From + by, 0, to.Power.Count - 1), Math.Clamp(span.To + by, 1, to.Power.Count));
    }

    private static BiasCourse? Course(LevelCourse course, (int From, int To) span, double density)
    {
        var noise = density * course.NoiseBandwidthHz;
        var level = new double[span.To - span.From];
        if (level.Length < LevelCourse.PerSecond)
        {
            return null;
        }

        for (var i = 0; i < level.Length; i++)
        {
            var power = course.Power[span.From + i];
            level[i] = 10 * Math.Log10(Math.Max(power - noise, power / 10));
        }

        return new BiasCourse(Bridged(level), index => course.SecondsAt(span.From + index));
    }

    // A dropout is no bias: a point far under those around it takes their middle one's level.
    private static double[] Bridged(double[] level)
    {
        const int Reach = 6;
        var bridged = (double[])level.Clone();
        for (var i = 0; i < level.Length; i++)
        {
            int from = Math.Max(0, i - Reach), to = Math.Min(level.Length, i + Reach + 1);
            var around = level[from..to];
            Array.Sort(around);
            var middle = around[around.Length / 2];
            var spread = around[around.Length * 3 / 4] - around[around.Length / 4];
            if (i > 1 && i < level.Length - 2 && level[i] < middle - Math.Max(1.5, 5 * spread))
            {
                bridged[i] = middle;
            }
        }

        return bridged;
    }
}
