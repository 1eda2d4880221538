using Spoolwright.Bench.Instruments;
using Spoolwright.Signal;
using Spoolwright.Signal.Sound;
using Spoolwright.Signal.Tones;

namespace Spoolwright.Bench.Measurements;

/// <summary>The <c>playback</c> measurement: level, response and balance from the tones of a level and response tape.</summary>
public static class PlaybackMeasurement
{
    /// <summary>How everything else knows it.</summary>
    public static MeasurementEntry Entry { get; } = new(
        "playback",
        "Playback level and response",
        "Finds the tones of a level and response test tape by itself and reads level, response and balance of both channels.",
        "Play the level and response test tape from its reference tone to its last tone in one pass, and capture both channels without touching "
        + "any level. Announcements and gaps may stay in; the capture may start late and end early.",
        [
            Quantity.ToneLevel, Quantity.Response, Quantity.ResponseMax, Quantity.ResponseMin, Quantity.ChannelBalance, Quantity.PlaybackLevel,
            Quantity.OutputLevel, Quantity.TrebleTilt, Quantity.BassTilt,
        ],
        "computed",
        Measure)
    {
        Takes = SettingKinds.TestTape | SettingKinds.Deck | SettingKinds.FullScaleVolts | SettingKinds.Loopback,
        Needs = SettingKinds.TestTape,
    };

    // Width taken for a track that no profile describes: the narrowest in use, so that more tones are left unjudged rather than fewer.
    private static readonly TrackBand NarrowestTrack = new(0, 1.0);

    /// <summary>Measures a source from its start to its end.</summary>
    /// <exception cref="ArgumentException">No test tape is named.</exception>
    /// <exception cref="CannotMeasureException">No tone of the tape was found, or its reference tone was not.</exception>
    public static MeasurementResult Measure(SoundSource source, MeasurementSettings settings, IProgress<double>? progress)
    {
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(settings);
        if (settings.TestTape is not { } tape)
        {
            throw new ArgumentException("Playback is measured against a test tape; none is named.", nameof(settings));
        }

        settings.Loopback?.MustFit(source.SampleRateHz, settings);
        return Report(TapeTones.Read(source, tape.Tones, progress), tape, settings);
    }

    /// <summary>Turns what was found into readings.</summary>
    public static MeasurementResult Report(TapeTones tones, TestTape tape, MeasurementSettings settings)
    {
        var notes = new List<Note>(tones.Notes);
        var readings = new List<Reading>();
        var reference = Reference(tape);
        var found = tones.Found.FirstOrDefault(f => f.Tone == reference);
        if (found is null)
        {
            notes.Add(
                Note.Error(
                    "no-reference",
                    $"{ToneIdentification.Name(reference)} was not found, so response, balance and level against it are not measured. Play the tape from its reference tone."
                )
            );
        }

        var channels = new[] { Channel.Left, Channel.Right };
        foreach (var channel in channels.Take(tones.Channels))
        {
            readings.AddRange(tones.Found.Where(f => FiguresOf(f, channel) is not null).Select(f => Level(f, channel)));
        }

        foreach (var channel in channels.Take(tones.Channels))
        {
            if (tones.Found.All(f => FiguresOf(f, channel) is null))
            {
                notes.Add(
                    Note.Error(
                        "dead-channel",
                        $"The {Word(channel)} channel holds none of the tape's tones: it is not measured. Check its cable and the deck's output."
                    )
                );
            }
        }

        if (found is not null)
        {
            var unknown = new SortedSet<double>();
            foreach (var channel in channels.Take(tones.Channels).Where(c => FiguresOf(found, c) is not null))
            {
                var track = Track(settings, channel);
                var responses = new PlaybackResponse(
                    tape,
                    settings.SpeedCmPerS ?? tape.SpeedCmPerS,
                    track ?? NarrowestTrack,
                    track is not null,
                    channel,
                    found,
                    settings.Loopback
                );
                readings.AddRange(responses.Readings(tones.Found, unknown));
            }

            if (unknown.Count > 0)
            {
                notes.Add(
                    Note.Warning(
                        "fringing-unknown",
                        FormattableString.Invariant(
                            $"At {string.Join(", ", unknown.Select(f => f.ToString("0.##", System.Globalization.CultureInfo.InvariantCulture)))} Hz the wavelength is longer than the track is wide, and it is not known what the tape's recorded width adds; these tones are shown and never judged. Say recordedTracks and fringingCompensated in the tape's file, and give --profile."
                        )
                    )
                );
            }

            readings.AddRange(PlaybackLevels.Readings(found, tape, settings, channels.Take(tones.Channels), c => Track(settings, c)));
        }

        LoopbackNotes.Add(settings.Loopback, tones.Found.Select(f => f.Tone.FrequencyHz), "response", notes);
        if (tape.Tones.Any(t => Uncertainty(tape, t) is null))
        {
            notes.Add(
                Note.Hint(
                    "tape-uncertainty-unknown",
                    "The tape's file states no uncertainty for some of its levels; the figures' uncertainty leaves that part out."
                )
            );
        }

        if (Math.Abs(tones.Speed - 1) > 0.01)
        {
            notes.Add(
                Note.Warning(
                    "speed",
                    FormattableString.Invariant(
                        $"The tape ran {(tones.Speed - 1) * 100:+0.0;-0.0;0.0} % off its speed; set the speed before the response."
                    )
                )
            );
        }

        return new MeasurementResult("playback", readings, notes, []);
    }

    /// <summary>The reference tone: the one with that role nearest in level to the response tones.</summary>
    public static TestTone Reference(TestTape tape)
    {
        var responses = tape.Tones.Where(t => t.Role == ToneRole.Response).Select(t => t.LevelDb).Order().ToArray();
        var middle = responses.Length == 0 ? 0 : responses[responses.Length / 2];
        return tape.Tones.Where(t => t.Role == ToneRole.Reference).MinBy(t => Math.Abs(t.LevelDb - middle))
            ?? throw new ArgumentException("The test tape has no tone with the role reference.", nameof(tape));
    }

    /// <summary>Level the tape holds at a tone, its certificate's correction added, dB.</summary>
    internal static double TapeLevel(TestTape tape, TestTone tone) => tone.LevelDb + (Correction(tape, tone)?.Db ?? 0);

    /// <summary>Expanded uncertainty of that level, dB; null where the file does not say.</summary>
    internal static double? Uncertainty(TestTape tape, TestTone tone)
    {
        var correction = Correction(tape, tone)?.UncertaintyDb;
        return tone.UncertaintyDb is null && correction is null
            ? null
            : Math.Sqrt(Math.Pow(tone.UncertaintyDb ?? 0, 2) + Math.Pow(correction ?? 0, 2));
    }

    internal static ChannelFigures? FiguresOf(FoundTone tone, Channel channel) =>
        channel == Channel.Left ? tone.Figures.Left is { LevelDb: > -180 } left ? left : null : tone.Figures.Right;

    internal static string Word(Channel channel) => channel == Channel.Left ? "left" : "right";

    private static ToneCorrection? Correction(TestTape tape, TestTone tone) =>
        tape.Corrections.FirstOrDefault(c => c.FrequencyHz.Equals(tone.FrequencyHz));

    private static TrackBand? Track(MeasurementSettings settings, Channel channel)
    {
        var tracks = settings.Profile?.Tracks.FirstOrDefault(t => t.Direction == (settings.Condition?.Direction ?? Direction.Forward));
        return channel == Channel.Left ? tracks?.Left : tracks?.Right;
    }

    private static Reading Level(FoundTone tone, Channel channel)
    {
        var figures = FiguresOf(tone, channel)!.Value;
        return Uncertain.Reading(
            Quantity.ToneLevel,
            figures.LevelDb,
            [
                new UncertaintyPart("noise", figures.LevelNoiseDb),
                new UncertaintyPart("method", figures.LevelMethodDb),
                new UncertaintyPart("interface-response", null),
            ],
            FormattableString.Invariant(
                $"power of the tone brought to 0 Hz, noise taken off, averaged over {tone.Figures.Seconds:0.0} s, through flutter; the bound of a sine fit [IEEE1057:2017]"
            ),
            channel,
            tone.Tone.FrequencyHz
        ) with
        {
            Role = RoleWord(tone.Tone.Role),
        };
    }

    internal static string RoleWord(ToneRole role) => role switch
    {
        ToneRole.Reference => "reference",
        ToneRole.Azimuth => "azimuth",
        _ => "response",
    };
}
