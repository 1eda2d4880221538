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
            Description = $"Hold a reading against a limit, such as {MeasureExamples.Limit(entry)}: one figure is plus or minus, or the most allowed; "
                + $"LOW..HIGH an interval{(entry.MeasureSheet is null ? "; QUANTITY@HZ one tone alone" : ", with a unit such as 0.5..0.8N where it is not the quantity's own")}. May be given several times.",
            Arity = ArgumentArity.OneOrMore,
            CustomParser = result => ReadLimits(result, entry),
        };
        foreach (var quantity in entry.Yields)
            limits.CompletionSources.Add($"{quantity.Id}=");
        return limits;
    }

    public Argument<string> File { get; } = new("file") { HelpName = "FILE", Description = "The capture: WAV, AIFF or FLAC, 32 to 192 kHz." };

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

    private static string Elsewhere(string quantity) =>
        Catalogue.Entries.FirstOrDefault(e => e.Yields.Contains(Quantity.Find(quantity))) is { } other ? $"; measure {other.Id} does" : "";
}
