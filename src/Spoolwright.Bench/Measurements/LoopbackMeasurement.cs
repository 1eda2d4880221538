using Spoolwright.Signal;
using Spoolwright.Signal.Distortion;
using Spoolwright.Signal.Lines;
using Spoolwright.Signal.Sound;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>The <c>loopback</c> measurement: the interface wired to itself. Its tones are found by themselves: in a row, many at once, or
/// one.</summary>
public static class LoopbackMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "loopback",
        "Interface loopback",
        "Reads the interface wired to itself: level, response, skew and phase between its channels, noise, distortion; kept as its calibration.",
        "Connect the interface's outputs to its own inputs, play tones (one after the other for half a second and more, several at once, or one alone) "
        + "at the level and sample rate of later captures, and capture both channels. Nothing else may run through the interface meanwhile.",
        [
            Quantity.ToneLevel, Quantity.Response, Quantity.ChannelBalance, Quantity.TimeSkew, Quantity.Phase, Quantity.Thd, Quantity.ThirdHarmonic,
            Quantity.SecondHarmonic, Quantity.NoiseUnweighted,
        ],
        "computed",
        Measure)
    {
        Takes = SettingKinds.Calibration,
    };

    private const double ReachMicroseconds = 600;
    private const double DeadDb = 60;
    private const double ReferenceHz = 1000;
    private const int MostHarmonicTones = 40;

    // Steps of the phase beyond this from one window to the next, rad, are no wire's; held from both sides by LoopbackTests.
    private const double MostUnrest = 0.05;
    private const int LeastWindows = 4;

    // The window's own transform and single-precision samples, k = 2, dB and degrees: the tests hold it.
    private const double MethodDb = 0.0005;
    private const double MethodDegrees = 0.003;

    /// <summary>Measures a source from its start to its end.</summary>
    /// <exception cref="ArgumentException">The source cannot start again.</exception>
    /// <exception cref="CannotMeasureException">No steady tone was found.</exception>
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

        var survey = new LineSurvey(source.SampleRateHz, source.Channels);
        var inspector = new SoundInspector(source.SampleRateHz, source.Channels);
        var frames = SoundPump.Run(source, survey.Add, inspector.Add, Halves.Of(progress, 0));
        Breaks.Refuse(inspector);
        var notes = new List<Note>(source.Notes);
        notes.AddRange(inspector.Notes());
        var lines = survey.Lines();
        if (lines.Count == 0)
        {
            throw notes.Exists(n => n.Code == "silence")
                ? new CannotMeasureException(
                    "silence",
                    "The capture is silent from start to end. Check that the interface's outputs are wired to its inputs."
                )
                : new CannotMeasureException(
                    "no-tone",
                    FormattableString.Invariant(
                        $"No steady tone stands in the {frames / (double)source.SampleRateHz:0.0} s of this capture. Play tones of half a second and more each through the interface, with nothing between output and input."
                    )
                );
        }

        double Best(Func<SteadyLine, (double Db, double Noise)> of) => lines.Max(l => of(l).Db);
        var (bestLeft, bestRight) = (Best(l => l.Left), Best(l => l.Right));
        var channels = new[] { Channel.Left, Channel.Right }.Take(source.Channels)
            .Where(c => (c == Channel.Left ? bestLeft : bestRight) > Math.Max(bestLeft, bestRight) - DeadDb).ToArray();
        if (channels.Length < source.Channels && !notes.Exists(n => n.Code == "dead-channel"))
        {
            notes.Add(Note.Warning("dead-channel", "One channel holds none of the tones: it is not measured. Check its cable."));
        }

        if (notes.Exists(n => n.Code == "clipped"))
        {
            notes.Add(Note.Warning("clipped-loopback", "The interface clips, so its distortion is not judged. Lower the tones' level."));
        }

        if (
            lines.Where(l => l.Windows >= LeastWindows).OrderByDescending(l => l.Unrest).FirstOrDefault() is
            { Unrest: > MostUnrest } wanders
        )
        {
            notes.Add(
                Note.Warning(
                    "unsteady-tone",
                    FormattableString.Invariant(
                        $"The tone at {wanders.FrequencyHz:0.#} Hz wanders, as one from tape does and a wire's does not: its level is read some hundredths of a decibel low. A loopback is the interface wired to itself, with no deck between."
                    )
                )
            );
        }

        var readings = new List<Reading>();
        foreach (var channel in channels)
        {
            readings.AddRange(Levels(lines, channel));
        }

        if (channels.Length == 2)
        {
            readings.AddRange(Between(lines, notes));
        }

        source.Rewind();
        readings.AddRange(Harmonics(source, lines, channels, notes.Exists(n => n.Code == "clipped"), Halves.Of(progress, 1)));
        readings.AddRange(channels.Select(c => Noise(lines, c)));
        var order = Quantity.All.Select(q => q.Id).ToList();
        return new MeasurementResult("loopback", [.. readings.OrderBy(r => order.IndexOf(r.Quantity))], notes, []);
    }

    // A frequency as a person would write it: whole periods of a clock common to both directions come out to a millionth.
    internal static double Named(double hz) => Math.Abs(hz - Math.Round(hz, 1)) < 2e-6 * hz + 0.002 ? Math.Round(hz, 1) : Math.Round(hz, 3);

    private static (double Db, double Noise) LevelOf(SteadyLine line, Channel channel) => channel == Channel.Left ? line.Left : line.Right;

    private static IEnumerable<Reading> Levels(IReadOnlyList<SteadyLine> lines, Channel channel)
    {
        var reference = lines.MinBy(l => Math.Abs(Math.Log(l.FrequencyHz / ReferenceHz)))!;
        foreach (var line in lines)
        {
            var level = LevelOf(line, channel);
            yield return Uncertain.Reading(
                Quantity.ToneLevel,
                level.Db,
                [new("noise", level.Noise), new("method", MethodDb)],
                "level of the line by its rms, while it stood steady",
                channel,
                Named(line.FrequencyHz)
            );
        }

        foreach (var line in lines)
        {
            var (here, there) = (LevelOf(line, channel), LevelOf(reference, channel));
            var same = line == reference;
            yield return Uncertain.Reading(
                Quantity.Response,
                same ? 0 : here.Db - there.Db,
                same
                    ? [new("method", 0)]
                    :
                    [
                        new("noise", double.Hypot(here.Noise, there.Noise)),
                        new("method", Math.Sqrt(2) * MethodDb),
                        new("source-level", null),
                    ],
                FormattableString.Invariant(
                    $"level less that at {Named(reference.FrequencyHz):0.##} Hz, of output and input together; all tones taken to be sent alike"
                ),
                channel,
                Named(line.FrequencyHz)
            );
        }
    }

    private static IEnumerable<Reading> Between(IReadOnlyList<SteadyLine> lines, List<Note> notes)
    {
        if (notes.Exists(n => n.Code == "identical-channels"))
        {
            yield break;
        }

        var fit = SkewFit.Of(
            [.. lines.Select(l => new TonePhase(l.FrequencyHz, l.Phase.Degrees, double.Hypot(l.Phase.Noise, MethodDegrees)))],
            ReachMicroseconds
        );
        if (!fit.Resolved)
        {
            notes.Add(
                Note.Warning(
                    "cycle-unresolved",
                    "These tones do not tell one cycle from the next; the delay nearest to none was taken. Play a lower tone too."
                )
            );
        }

        if (fit.PolarityReversed)
        {
            notes.Add(
                Note.Warning(
                    "polarity-reversed",
                    "All tones agree on one delay only if one channel is turned over: check the wiring of the loop."
                )
            );
        }

        var reference = lines.MinBy(l => Math.Abs(Math.Log(l.FrequencyHz / ReferenceHz)))!;
        yield return Uncertain.Reading(
            Quantity.ChannelBalance,
            reference.Left.Db - reference.Right.Db,
            [new("noise", double.Hypot(reference.Left.Noise, reference.Right.Noise)), new("method", MethodDb)],
            "left level less right level, of output and input together",
            frequencyHz: Named(reference.FrequencyHz)
        );
        yield return Uncertain.Reading(
            Quantity.TimeSkew, fit.Microseconds, [new("noise", fit.UncertaintyMicroseconds)],
            $"one delay fitted to the phase of {lines.Count} {(lines.Count == 1 ? "tone" : "tones")}, of output and input together");
        foreach (var line in lines)
        {
            yield return Uncertain.Reading(
                Quantity.Phase, line.Phase.Degrees, [new("noise", line.Phase.Noise), new("method", MethodDegrees)],
                "right minus left, mean product of one channel with the other's conjugate", frequencyHz: Named(line.FrequencyHz));
        }
    }

    // Beside other tones a harmonic cannot be told from their products, so harmonics are read of tones that stand alone.
    private static List<Reading> Harmonics(
        SoundSource source,
        IReadOnlyList<SteadyLine> lines,
        Channel[] channels,
        bool clipped,
        IProgress<double>? progress
    )
    {
        var alone = lines
            .Where(l =>
                l.Alone && l.FrequencyHz >= 20 && 2 * l.FrequencyHz < Math.Min(HarmonicTracker.HighestHz, 0.455 * source.SampleRateHz)
            )
            .Take(MostHarmonicTones)
            .ToArray();
        var trackers = alone.Select(l => channels.Select(_ => new HarmonicTracker(l.FrequencyHz, source.SampleRateHz)).ToArray()).ToArray();
        long at = 0;
        SoundPump.Run(
            source,
            (left, right) =>
            {
                for (var i = 0; i < alone.Length; i++)
                {
                    var from = (int)Math.Clamp(alone[i].FirstFrame - at, 0, left.Length);
                    var to = (int)Math.Clamp(alone[i].LastFrame - at, from, left.Length);
                    for (var c = 0; c < channels.Length; c++)
                    {
                        trackers[i][c].Add(channels[c] == Channel.Left ? left[from..to] : right[from..to]);
                    }
                }

                at += left.Length;
            },
            progress: progress);
        var readings = new List<Reading>();
        for (var i = 0; i < alone.Length; i++)
        {
            for (var c = 0; c < channels.Length; c++)
            {
                if (LevelPoint.Steady(trackers[i][c]) is { Count: >= 4 } steady)
                {
                    var all = HarmonicReadings.Of(
                        HarmonicFigures.Of(trackers[i][c], steady),
                        clipped,
                        channels[c],
                        Named(alone[i].FrequencyHz),
                        "of output and input together",
                        null
                    );
                    readings.AddRange(all);
                }
            }
        }

        return readings;
    }

    private static Reading Noise(IReadOnlyList<SteadyLine> lines, Channel channel)
    {
        // The quietest tone's residue: products of several tones at once, and skirts of a step's edge, only add.
        double Residue(SteadyLine l) => channel == Channel.Left ? l.ResidueLeft : l.ResidueRight;
        var quietest = lines.MinBy(Residue)!;
        var mean = Math.Max(Residue(quietest), 1e-30);

        // Some 8000 bins of noise each window: their mean is known to a hundredth, and the share left out beside the lines is filled by the
        // rest.
        var scatter = 2 * 4.34 / Math.Sqrt(4000.0 * quietest.Windows);
        return Uncertain.Reading(
            Quantity.NoiseUnweighted,
            10 * Math.Log10(2 * mean),
            [new("noise", scatter), new("method", 0.1)],
            "root mean square from 22.4 Hz to 22.4 kHz while a tone plays, the tone and its harmonics left out; a full-scale sine is 0 [IEC60268-1]",
            channel
        );
    }
}
