using System.CommandLine;
using System.Globalization;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Tape;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Cli;

/// <summary>One call of <c>measure</c>, with its files read and its options held against each other.</summary>
internal sealed record MeasureRequest(
    string File,
    ChannelPair? Channels,
    MeasurementSettings Settings,
    IReadOnlyList<Limit> Limits,
    OutputFormat Format
)
{
    /// <summary>Where the interface's figures are kept as its calibration; null: nowhere.</summary>
    public string? SaveCalibration { get; init; }

    /// <summary>Reads the request from the parsed call.</summary>
    /// <exception cref="CallException">A file cannot be read, or options do not go together.</exception>
    public static MeasureRequest From(ParseResult call, MeasureOptions options)
    {
        if (call.GetValue(options.Json) && call.GetValue(options.Csv))
            throw new CallException("--json and --csv exclude each other");
        var file = call.GetRequiredValue(options.File);
        InputFiles.MustBeReadable(file);
        var tape = Named(call, options.TestTape) is { } tapePath ? InputFiles.Parsed(tapePath, TestTapeFile.Parse, "check-tape") : null;
        var profile = Named(call, options.Profile) is { } profilePath
            ? InputFiles.Parsed(profilePath, DeckProfileFile.Parse, "check-profile")
            : null;
        var volts = Given(call, options.FullScaleVolts);
        var reference = Given(call, options.ReferenceLevel);
        var recorded = Named(call, options.Recorded);
        var recordedLevel = Given(call, options.RecordedLevel);
        if (recorded is not null && recordedLevel is not null)
            throw new CallException("--recorded and --recorded-level exclude each other");
        if (recorded is not null)
            InputFiles.MustBeReadable(recorded);
        var channels = call.GetValue(options.Channels);
        var loopback = Named(call, options.Loopback) is { } loopbackPath ? InputFiles.Parsed(loopbackPath, LoopbackFile.Parse, null) : null;
        if (loopback is null && Given(call, options.LoopbackMaxAge) is not null)
            throw new CallException("--loopback-max-age says how old --loopback may be; give that too");
        var saveTo = Named(call, options.SaveCalibration);
        if (saveTo is not null && string.IsNullOrWhiteSpace(Named(call, options.Interface)))
            throw new CallException("--save-calibration needs --interface: a calibration is of one interface, by its name");
        if (saveTo is not null && (System.IO.File.Exists(saveTo) || Directory.Exists(saveTo)))
            throw new CallException($"--save-calibration: {saveTo} exists already; give a new name");
        var settings = new MeasurementSettings
        {
            NominalHz = Given(call, options.Nominal),
            TestTape = tape,
            Profile = profile,
            Condition = ConditionOf(call, options, profile),
            SupplyRadiusMm = Given(call, options.SupplyRadius),
            TakeUpRadiusMm = Given(call, options.TakeUpRadius),
            ClockUncertaintyPpm = Given(call, options.ClockUncertainty),
            WantedDropDb = Given(call, options.WantedDrop),
            MonitorDelayMs = Given(call, options.MonitorDelay),
            PlaybackReadings = call.GetResult(options.Playback) is null
                ? []
                : [.. (call.GetValue(options.Playback) ?? []).SelectMany(PlaybackReadings)],
            RecordedTones = Named(call, options.Program) is { } tones
                ? InputFiles.Parsed(tones, TestTapeFile.Parse, "check-tape").Tones
                : null,
            FullScaleVoltsLeft = volts?.Left,
            FullScaleVoltsRight = volts?.Right,
            ReferenceLevelLeftDb = reference?.Left,
            ReferenceLevelRightDb = reference?.Right,
            RecordedLevelDb = recordedLevel,
            OpenRecorded = recorded is null ? null : () => InputFiles.Sound(recorded, channels),
            DropoutDepthDb = Given(call, options.DropoutDepth) ?? MeasurementSettings.None.DropoutDepthDb,
            DropoutMilliseconds = Given(call, options.DropoutLength) ?? MeasurementSettings.None.DropoutMilliseconds,
            Loopback = loopback,
            LoopbackMaxAgeDays = Given(call, options.LoopbackMaxAge),
            InterfaceName = Named(call, options.Interface),
            CapturedOn = Given(call, options.CapturedOn) ?? DateOnly.FromDateTime(System.IO.File.GetLastWriteTime(file)),
        };
        var limits = (profile?.Limits ?? []).Concat(call.GetValue(options.Limits) ?? []).ToList();
        var format = call.GetValue(options.Json) ? OutputFormat.Json : call.GetValue(options.Csv) ? OutputFormat.Csv : OutputFormat.Table;
        return new MeasureRequest(file, channels, settings, limits, format) { SaveCalibration = saveTo };
    }

    private static IReadOnlyList<Reading> PlaybackReadings(string path)
    {
        try
        {
            var (measurement, readings) = ReadingsFile.Parse(InputFiles.Text(path));
            return measurement is "playback" or "azimuth"
                ? readings
                : throw new CallException($"--playback: {path} holds readings of {measurement}, not of playback or azimuth");
        }
        catch (FormatException e)
        {
            throw new CallException($"--playback: {path} cannot be used: {e.Message}");
        }
    }

    private static Condition? ConditionOf(ParseResult call, MeasureOptions options, DeckProfile? profile)
    {
        var word = Named(call, options.Direction);
        var direction = word is null
            ? OnlyOne(profile?.Directions)
            : DeckWords.FindDirection(word)
                ?? throw new CallException($"--direction: \"{word}\" is neither {string.Join(" nor ", DeckWords.Directions)}");
        var speed = Given(call, options.Speed) ?? OnlyOne(profile?.SpeedsCmPerS);
        var setting = Named(call, options.TapeSetting);
        if (profile is null)
        {
            if (direction is null && speed is null && setting is null)
                return null;
            return direction is { } d && speed is { } s
                ? new Condition(d, s, setting)
                : throw new CallException("--direction and --speed say together how the tape ran; give both");
        }

        if (direction is not { } way)
            throw new CallException(
                $"--profile needs --direction: {profile.Name} runs {string.Join(" and ", profile.Directions.Select(DeckWords.Word))}"
            );
        if (speed is not { } asked)
            throw new CallException($"--profile needs --speed: {profile.Name} has {Speeds(profile)} cm/s");
        if (!profile.Directions.Contains(way))
            throw new CallException($"--direction: {profile.Name} does not run {DeckWords.Word(way)}");
        var nominal =
            TapeSpeed.Find(profile.SpeedsCmPerS, asked)
            ?? throw new CallException(
                $"--speed: {profile.Name} has {Speeds(profile)} cm/s, not {asked.ToString(CultureInfo.InvariantCulture)}{Inches(asked)}"
            );
        if (setting is not null && !profile.TapeSettings.Contains(setting))
            throw new CallException(
                $"--tape-setting: {profile.Name} has {(profile.TapeSettings.Count == 0 ? "none" : string.Join(", ", profile.TapeSettings))}, not \"{setting}\""
            );
        return new Condition(way, nominal, setting ?? (profile.TapeSettings.Count == 1 ? profile.TapeSettings[0] : null));
    }

    private static T? OnlyOne<T>(IReadOnlyList<T>? list)
        where T : struct => list is [var one] ? one : null;

    private static string Speeds(DeckProfile profile) =>
        string.Join(" and ", profile.SpeedsCmPerS.Select(s => s.ToString(CultureInfo.InvariantCulture)));

    private static string Inches(double asked) =>
        TapeSpeed.FromInches(asked) is { } speed ? $"; in cm/s that would be {speed.ToString(CultureInfo.InvariantCulture)}" : "";

    // An option that the entry does not take is not part of its command, and asking for its value gives its default.
    private static string? Named(ParseResult call, Option<string?> option) => call.GetResult(option) is null ? null : call.GetValue(option);

    private static T? Given<T>(ParseResult call, Option<T?> option)
        where T : struct => call.GetResult(option) is null ? null : call.GetValue(option);
}

/// <summary>How results are printed.</summary>
internal enum OutputFormat
{
    /// <summary>For people.</summary>
    Table,

    /// <summary>The contract's object.</summary>
    Json,

    /// <summary>One line a reading.</summary>
    Csv,
}
