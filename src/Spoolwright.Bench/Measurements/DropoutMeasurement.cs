using Spoolwright.Signal;
using Spoolwright.Signal.Levels;
using Spoolwright.Signal.Sound;

namespace Spoolwright.Bench.Measurements;

/// <summary>The <c>dropouts</c> measurement: places where the level of a steady tone falls, by depth and length, and how steady its level
/// is otherwise.</summary>
public static class DropoutMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "dropouts",
        "Dropouts",
        "Counts the dropouts of a steady tone by depth and length, and reads how steady its level is.",
        "Record a steady tone (3 to 10 kHz shows most; 1 kHz will do) on the tape in question 10 dB under reference level, and play a minute or more of it.",
        [Quantity.DropoutCount, Quantity.DropoutRate, Quantity.DropoutClass, Quantity.LevelStability],
        "practice",
        Measure)
    {
        Takes = SettingKinds.Deck | SettingKinds.Nominal | SettingKinds.Dropout,
    };

    private const double LeastSeconds = 1;
    private const double EnoughSeconds = 60;

    // In the band followed; below this, hiss alone makes falls of 6 dB now and then.
    private const double LeastSnrDb = 15;

    // Where tenths of a second begin, and power meaned within one, k = 2, dB [computed: DropoutTests].
    private const double StabilityMethodDb = 0.003;
    private static readonly double[] Depths = [6, 10, 15, 20];
    private static readonly double[] Lengths = [5, 10, 20, 50];

    /// <summary>Measures a source from its start to its end, twice over.</summary>
    /// <exception cref="CannotMeasureException">There is no steady tone, or it drowns in hiss.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        var capture = SelectiveCapture.Survey(source, "tone", progress, markers: true);
        capture.Program?.MustBe("dropouts", "erase");
        var runs = capture
            .Trail.Runs(LeastSeconds)
            .Where(r => r.Hz > 200 && r.Hz < 0.42 * capture.Rate && (settings.NominalHz is not { } n || Math.Abs(r.Hz - n) < 0.03 * n))
            .ToArray();
        var main =
            runs.MaxBy(r => r.Power * (r.LastFrame - r.FirstFrame))
            ?? throw new CannotMeasureException(
                "no-tone",
                settings.NominalHz is { } hz
                    ? FormattableString.Invariant(
                        $"No steady tone near {hz:0} Hz stands in the capture for {LeastSeconds:0} s. Play the tone recorded on blank tape for a minute or more; check --nominal."
                    )
                    : "No steady tone above 200 Hz stands in the capture for a second. Play a tone recorded on blank tape (1 to 10 kHz) for a minute or more."
            );
        var same = runs.Where(r => Math.Abs(r.Hz - main.Hz) < 0.01 * main.Hz && r.Power > main.Power / 4).ToArray();
        long first = same.Min(r => r.FirstFrame), last = same.Max(r => r.LastFrame);
        double[] amplitudes = capture.Channels == 2 ? [Math.Sqrt(main.Left), Math.Sqrt(main.Right)] : [Math.Sqrt(main.Left)];
        var meter = new DropoutMeter(main.Hz, amplitudes, settings.DropoutDepthDb, settings.DropoutMilliseconds, capture.Rate);
        long at = 0;
        source.Rewind();
        SoundPump.Run(source, (left, right) =>
        {
            int from = (int)Math.Clamp(first - at, 0, left.Length), to = (int)Math.Clamp(last - at, 0, left.Length);
            if (to > from)
            {
                meter.Add(left[from..to], right.IsEmpty ? default : right[from..to]);
            }

            at += left.Length;
        }, progress: progress);
        return Report(meter, capture, main, first / (double)capture.Rate, settings);
    }

    private static MeasurementResult Report(
        DropoutMeter meter,
        SelectiveCapture capture,
        TrailRun tone,
        double start,
        MeasurementSettings settings
    )
    {
        var notes = capture.Notes.Where(n => n.Code != "dead-channel").ToList();
        var readings = new List<Reading>();
        var traces = new List<Trace>();
        var channels = meter.Finish();
        var hz = settings.NominalHz ?? ToneWords.Nominal(tone.Hz);
        for (var c = 0; c < channels.Count; c++)
        {
            var channel = c == 0 ? Channel.Left : Channel.Right;
            var word = PlaybackMeasurement.Word(channel);
            var found = channels[c];
            if ((c == 0 ? tone.Left : tone.Right) < tone.Power / 1000)
            {
                notes.Add(Note.Error("dead-channel", $"The {word} channel does not carry the tone: its dropouts are not counted."));
                continue;
            }

            if (found.BandSnrDb < LeastSnrDb)
            {
                notes.Add(
                    Note.Error(
                        "drowned",
                        FormattableString.Invariant(
                            $"The tone stands only {found.BandSnrDb:0} dB over the hiss in the {word} channel's band: hiss would be counted for dropouts. Record the tone louder."
                        )
                    )
                );
                continue;
            }

            AddChannel(readings, notes, found, meter.PassHz, channel, hz, settings);
            traces.Add(
                new Trace(
                    "dropout-depth",
                    channel,
                    "s",
                    "dB",
                    [.. found.Dropouts.Select(d => start + d.Seconds)],
                    [.. found.Dropouts.Select(d => d.DepthDb)]
                )
            );
            traces.Add(
                new Trace(
                    "dropout-length",
                    channel,
                    "s",
                    "ms",
                    [.. found.Dropouts.Select(d => start + d.Seconds)],
                    [.. found.Dropouts.Select(d => d.Milliseconds)]
                )
            );
            traces.Add(
                new Trace(
                    "tone-level",
                    channel,
                    "s",
                    "dBFS",
                    [.. found.LevelDb.Select((_, i) => start + ((i + 0.5) * DropoutMeter.LevelSeconds))],
                    [.. found.LevelDb.Select(l => (double)l)]
                )
            );
        }

        if (readings.Count == 0)
        {
            throw new CannotMeasureException(
                "drowned",
                "The tone hardly stands over the hiss: dropouts cannot be told from hiss. Record the tone louder, at 10 dB under reference level or more."
            );
        }

        if (channels[0].Seconds < EnoughSeconds)
        {
            notes.Add(
                Note.Hint(
                    "short",
                    FormattableString.Invariant(
                        $"{channels[0].Seconds:0} s of tone say little of a tape: dropouts come in groups. Play a minute or more."
                    )
                )
            );
        }

        return new MeasurementResult("dropouts", readings, notes, traces);
    }

    private static void AddChannel(
        List<Reading> readings,
        List<Note> notes,
        ChannelDropouts found,
        double passHz,
        Channel channel,
        double hz,
        MeasurementSettings settings
    )
    {
        var how = FormattableString.Invariant(
            $"level of the tone within ±{passHz:0} Hz, held against its median over 1.5 s, over {found.Seconds:0.0} s"
        );
        var asked = FormattableString.Invariant(
            $"at least {settings.DropoutDepthDb:0.##} dB deep for at least {settings.DropoutMilliseconds:0.##} ms"
        );
        var count = found.Dropouts.Count;
        double either = Math.Max(found.Range.Loose - count, count - found.Range.Strict);
        UncertaintyPart Part(double value) => new("method", value);
        readings.Add(
            Uncertain.Reading(
                Quantity.DropoutCount,
                count,
                [Part(either)],
                $"{asked}; {how}; those within 0.3 dB and 0.4 ms of that count as uncertain",
                channel,
                hz
            )
        );
        var minutes = Math.Max(found.Seconds, 0.1) / 60;
        readings.Add(
            Uncertain.Reading(
                Quantity.DropoutRate,
                count / minutes,
                [Part(either / minutes)],
                $"{asked}; {how}; those found, per minute",
                channel,
                hz
            )
        );
        IEnumerable<(double Db, double Ms)> classes =
        [
            .. Depths.Where(d => d > settings.DropoutDepthDb).Select(d => (d, settings.DropoutMilliseconds)),
            .. Lengths.Where(l => l > settings.DropoutMilliseconds).Select(l => (settings.DropoutDepthDb, l)),
        ];
        foreach (var (db, ms) in classes)
        {
            int Of(double side) => found.Dropouts.Count(d => d.DepthDb >= db + (0.5 * side) && d.Milliseconds >= ms + (0.4 * side));
            if (Of(0) > 0)
            {
                readings.Add(
                    Uncertain.Reading(
                        Quantity.DropoutClass,
                        Of(0),
                        [Part(Math.Max(Of(-1) - Of(0), Of(0) - Of(1)))],
                        FormattableString.Invariant($"at least {db:0.##} dB deep for at least {ms:0.##} ms; {how}"),
                        channel
                    ) with
                    {
                        Class = FormattableString.Invariant($"{db:0.##} dB, {ms:0.##} ms"),
                    }
                );
            }
        }

        if (found.Stability is { } stability)
        {
            readings.Add(
                Uncertain.Reading(
                    Quantity.LevelStability,
                    stability.Db,
                    [new("noise", stability.Expanded), new("method", StabilityMethodDb)],
                    FormattableString.Invariant(
                        $"5th to 95th percentile of the level (mean power over {DropoutMeter.LevelSeconds:0.0} s, one after the other), noise taken off; {how}; dropouts are in it"
                    ),
                    channel,
                    hz
                )
            );
        }

        if (found.LostSeconds > 0)
        {
            notes.Add(
                Note.Warning(
                    "tone-lost",
                    FormattableString.Invariant(
                        $"The tone was gone in the {PlaybackMeasurement.Word(channel)} channel for {found.LostSeconds:0.0} s in stretches of over a second: no dropouts, but a stop or leader; left out."
                    )
                )
            );
        }
    }
}
