using System.CommandLine;
using System.CommandLine.Parsing;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal.Sound;

namespace Spoolwright.App.Cli;

/// <summary>The options of one measurement's command: those every measurement has, and those that its catalogue entry takes.</summary>
internal sealed class MeasureOptions
{
    public MeasureOptions(MeasurementEntry entry)
    {
        TestTape.Required = entry.Needs.HasFlag(SettingKinds.TestTape);
        Limits = LimitsOf(entry);
        Direction.CompletionSources.Add("forward", "reverse");
    }

    /// <summary>The option for limits, whether the entry is measured from sound or typed in.</summary>
    public static Option<Limit[]?> LimitsOf(MeasurementEntry entry)
    {
        var limits = new Option<Limit[]?>("--limit")
        {
            HelpName = "QUANTITY=VALUE",
            Description =
                $"Hold a reading against a limit, such as {MeasureExamples.Limit(entry)}: one figure is plus or minus, or the most allowed (the least, where more is better); "
                + $"LOW..HIGH an interval{(entry.MeasureSheet is null ? "; QUANTITY@HZ one tone alone" : ", with a unit such as 0.5..0.8N where it is not the quantity's own")}. May be given several times.",
            Arity = ArgumentArity.OneOrMore,
            CustomParser = result => ReadLimits(result, entry),
        };
        foreach (var quantity in entry.Yields)
            limits.CompletionSources.Add($"{quantity.Id}=");
        return limits;
    }

    public Argument<string> File { get; } =
        new("file") { HelpName = "FILE", Description = "The capture: WAV, AIFF or FLAC, 32 to 192 kHz." };

    public Option<bool> Json { get; } = new("--json") { Description = "Print one JSON object and nothing else." };

    public Option<bool> Csv { get; } = new("--csv") { Description = "Print one line a reading, comma-separated." };

    public Option<ChannelPair?> Channels { get; } = new("--channels")
    {
        HelpName = "L,R",
        Description = "Which channels of the file are left and right, from 1. Default: 1,2.",
        CustomParser = Figures.Channels,
    };

    public Option<Limit[]?> Limits { get; }

    public Option<double?> Nominal { get; } = new("--nominal")
    {
        HelpName = "HZ",
        Description = "Nominal frequency of the tone. Needed where it is not one of the usual ones, or the speed is off by more than 2 %.",
        CustomParser = Figures.Within(100, 20_000, "Hz"),
    };

    public Option<string?> TestTape { get; } = new("--test-tape")
    {
        HelpName = "TAPE.json",
        Description = "The test tape that was played, as its leaflet describes it.",
    };

    public Option<string?> Profile { get; } = new("--profile")
    {
        HelpName = "DECK.json",
        Description = "The deck's profile: its limits are judged, and its parts and tracks used.",
    };

    public Option<string?> Direction { get; } = new("--direction")
    {
        HelpName = "forward|reverse",
        Description = "Which way the tape ran.",
    };

    public Option<double?> Speed { get; } = new("--speed")
    {
        HelpName = "CM/S",
        Description = "Nominal tape speed in cm/s.",
        CustomParser = Figures.Within(1, 200, "cm/s"),
    };

    public Option<string?> TapeSetting { get; } = new("--tape-setting")
    {
        HelpName = "NAME",
        Description = "The deck's tape setting, by its name in the profile.",
    };

    public Option<double?> SupplyRadius { get; } = new("--supply-radius")
    {
        HelpName = "MM",
        Description = "Radius of the tape on the supply reel, in the middle of the capture.",
        CustomParser = Figures.Within(5, 200, "mm"),
    };

    public Option<double?> TakeUpRadius { get; } = new("--takeup-radius")
    {
        HelpName = "MM",
        Description = "The same of the take-up reel.",
        CustomParser = Figures.Within(5, 200, "mm"),
    };

    public Option<double?> ClockUncertainty { get; } = new("--clock-uncertainty")
    {
        HelpName = "PPM",
        Description = "How far the interface's sample clock may be off (k = 2); goes into the uncertainty of the speed.",
        CustomParser = Figures.Within(0, 10_000, "ppm"),
    };

    public Option<(double Left, double Right)?> FullScaleVolts { get; } = new("--full-scale-volts")
    {
        HelpName = "V",
        Description = "Volts rms of a full-scale sine at the interface, by a meter; V,V for left and right. Gives the output level.",
        CustomParser = Figures.Volts,
    };

    public Option<(double Left, double Right)?> ReferenceLevel { get; } =
        new("--reference-level")
        {
            HelpName = "DBFS",
            Description =
                "Level of the deck's reference level at the interface, as playback reads it; L,R for left and right. Ratios are held against it.",
            CustomParser = Figures.Levels,
        };

    public Option<double?> RecordedLevel { get; } = new("--recorded-level")
    {
        HelpName = "DBFS",
        Description = "Level of the tone before it was erased, where the capture holds the erased part alone.",
        CustomParser = Figures.Within(-80, 3, "dBFS"),
    };

    public Option<string?> Recorded { get; } = new("--recorded")
    {
        HelpName = "FILE",
        Description = "A capture of the tone before it was erased, at the same gain.",
    };

    public Option<double?> DropoutDepth { get; } = new("--depth")
    {
        HelpName = "DB",
        Description = "Least depth of a dropout. Default: 6.",
        CustomParser = Figures.Within(1, 40, "dB"),
    };

    public Option<double?> DropoutLength { get; } = new("--length")
    {
        HelpName = "MS",
        Description = "Least length of a dropout. Default: 5.",
        CustomParser = Figures.Within(0.5, 1000, "ms"),
    };

    public Option<string?> Loopback { get; } = new("--loopback")
    {
        HelpName = "CAL.json",
        Description = "The interface's own calibration, as measure loopback saved it: its response, skew and phase are taken out.",
    };

    public Option<double?> LoopbackMaxAge { get; } = new("--loopback-max-age")
    {
        HelpName = "DAYS",
        Description = "Refuse a calibration made more than so many days before or after the capture.",
        CustomParser = Figures.Within(0, 36_500, "days"),
    };

    public Option<string?> Interface { get; } = new("--interface")
    {
        HelpName = "NAME",
        Description = "The interface that made the capture, as you call it.",
    };

    public Option<DateOnly?> CapturedOn { get; } = new("--captured-on")
    {
        HelpName = "DATE",
        Description = "Day of the capture, such as 2026-03-31. Default: the day of the file.",
        CustomParser = Figures.Day,
    };

    public Option<string?> SaveCalibration { get; } = new("--save-calibration")
    {
        HelpName = "OUT.json",
        Description = "Keep the interface's figures as its calibration in a new file; needs --interface.",
    };

    public Option<double?> WantedDrop { get; } = new("--wanted-drop")
    {
        HelpName = "DB",
        Description = "The drop wanted past the bias peak, where the profile's tape setting does not say it.",
        CustomParser = Figures.Within(0.1, 20, "dB"),
    };

    public Option<double?> MonitorDelay { get; } = new("--monitor-delay")
    {
        HelpName = "MS",
        Description = "Delay from record head to playback head: times are then those of the control.",
        CustomParser = Figures.Within(0, 5000, "ms"),
    };

    public Option<string[]> Playback { get; } = new("--playback")
    {
        HelpName = "READINGS.json",
        Description = "What measure playback --json or measure azimuth --json printed for the same condition; may be given twice.",
    };

    public Option<string?> Program { get; } = new("--program")
    {
        HelpName = "TONES.json",
        Description = "The tones that were recorded, as a test tape's file lists them, where they are no program of spoolwright signal.",
    };

    /// <summary>The options in the order they are shown.</summary>
    public IEnumerable<Option> For(SettingKinds takes)
    {
        IEnumerable<Option> taken(SettingKinds kind, params Option[] options) => takes.HasFlag(kind) ? options : [];
        return
        [
            .. taken(SettingKinds.Nominal, Nominal),
            .. taken(SettingKinds.TestTape, TestTape),
            .. taken(SettingKinds.Deck, Profile, Direction, Speed, TapeSetting),
            .. taken(SettingKinds.ReelRadii, SupplyRadius, TakeUpRadius),
            .. taken(SettingKinds.Clock, ClockUncertainty),
            .. taken(SettingKinds.FullScaleVolts, FullScaleVolts),
            .. taken(SettingKinds.ReferenceLevel, ReferenceLevel),
            .. taken(SettingKinds.Recorded, RecordedLevel, Recorded),
            .. taken(SettingKinds.Dropout, DropoutDepth, DropoutLength),
            .. taken(SettingKinds.Loopback, Loopback, LoopbackMaxAge, Interface, CapturedOn),
            .. taken(SettingKinds.Calibration, SaveCalibration, Interface, CapturedOn),
            .. taken(SettingKinds.WantedDrop, WantedDrop, MonitorDelay),
            .. taken(SettingKinds.PlaybackReadings, Playback),
            .. taken(SettingKinds.RecordedTones, Program),
            Limits, Channels, Json, Csv,
        ];
    }

    private static Limit[]? ReadLimits(ArgumentResult result, MeasurementEntry entry)
    {
        var limits = new List<Limit>();
        foreach (var token in result.Tokens)
        {
            if (!LimitOption.TryParse(token.Value, out var limit, out var problem))
                result.AddError($"--limit: {problem}");
            else if (!entry.Yields.Any(q => string.Equals(q.Id, limit.Quantity, StringComparison.Ordinal)))
                result.AddError($"--limit: measure {entry.Id} does not read {limit.Quantity}{Elsewhere(limit.Quantity)}");
            else
                limits.Add(limit);
        }

        return [.. limits];
    }

    private static string Elsewhere(string quantity)
    {
        string[] others = [.. Catalogue.Entries.Where(e => e.Yields.Contains(Quantity.Find(quantity))).Select(e => e.Id)];
        return others switch
        {
            [] => "",
            [var one] => $"; measure {one} does",
            _ => $"; measure {string.Join(", ", others[..^1])} and {others[^1]} do",
        };
    }
}
