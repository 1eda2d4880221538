using System.CommandLine;
using System.CommandLine.Parsing;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Measurements.Typed;
using Spoolwright.Bench.Units;

namespace Spoolwright.App.Cli;

/// <summary>The options of a measurement that is typed in: a sheet, or one place straight in the call.</summary>
internal sealed class SheetOptions
{
    private readonly string id;

    public SheetOptions(MeasurementEntry entry, Option<Limit[]?> limits)
    {
        id = entry.Id;
        Limits = limits;
        Reading.HelpName = id == "wind-time" ? "TIME" : "AMOUNT";
        Reading.Description = $"One reading with its unit, such as {Example}; several times for repeats at one place. Instead of a file.";
        Reel.HelpName = id == "brakes" ? "left|right" : "supply|take-up";
        Reel.CompletionSources.Add(Reel.HelpName.Split('|'));
        Fill.CompletionSources.Add("full", "half", "empty");
        Direction.CompletionSources.Add([.. DeckWords.Directions]);
        Criterion.CompletionSources.Add([.. BenchSheetFile.Criteria]);
    }

    public string Example => id switch
    {
        "torque" => "\"300 g·cm\"",
        "brakes" => "\"1200 g·cm\"",
        "wind-time" => "1:35",
        "pinch-force" => "\"1.9 kgf\"",
        _ => "\"62 gf\"",
    };

    public Argument<string?> File { get; } = new("file")
    {
        HelpName = "SHEET.json",
        Description = "The sheet of readings (docs/guide/gauges.md).",
        Arity = ArgumentArity.ZeroOrOne,
    };

    public Option<string[]?> Reading { get; } = new("--reading") { Arity = ArgumentArity.OneOrMore };

    public Option<string[]?> Gauge { get; } =
        new("--gauge")
        {
            HelpName = "GAUGE.json",
            Description =
                "The gauge with its calibration; several times, one of a kind (tension, force, torque). Without it no uncertainty is known.",
            Arity = ArgumentArity.OneOrMore,
        };

    public Option<string?> Reel { get; } = new("--reel") { Description = "Which reel." };

    public Option<string?> Fill { get; } = new("--fill") { HelpName = "full|half|empty", Description = "How much tape is on it." };

    public Option<string?> Mode { get; } = new("--mode") { HelpName = "play|wind", Description = "What the deck did. Default: play." };

    public Option<string?> Turn { get; } = new("--turn") { HelpName = "unwind|wind", Description = "Which way the reel was turned." };

    public Option<string?> Criterion { get; } = new("--criterion")
    {
        HelpName = "WORD",
        Description = "What told that the roller was lifted: " + string.Join(", ", BenchSheetFile.Criteria) + ".",
    };

    public Option<Amount?> Radius { get; } =
        Length("--radius", "LENGTH", "Radius at which the force acts, of the tape or of a string on the hub, such as 60mm.");

    public Option<Amount?> TapeRadius { get; } = Length("--tape-radius", "LENGTH", "Radius of the tape whose tension the torque makes.");

    public Option<Amount?> HubRadius { get; } = Length("--hub-radius", "LENGTH", "Radius of the empty hub.");

    public Option<Amount?> FullRadius { get; } = Length("--full-radius", "LENGTH", "Radius of the tape on the full reel.");

    public Option<Amount?> TapeLength { get; } = Length("--tape-length", "LENGTH", "Length of the tape, such as 549m.");

    public Option<Amount?> TapeThickness { get; } = Length("--tape-thickness", "LENGTH", "Thickness of the tape, such as 35um.");

    public Option<Amount?> ReelRate { get; } =
        OfKind("--reel-rate", "RATE", "Steady rate of the driven reel, such as 600rpm.", Dimension.Rate);

    public Option<Amount?> WindSpeed { get; } = OfKind("--wind-speed", "SPEED", "Steady speed of the wind, such as 6m/s.", Dimension.Speed);

    public Option<string?> Tape { get; } =
        new("--tape") { HelpName = "KIND", Description = "Kind of tape that was threaded, as the gauge's file names it." };

    public Option<string?> Profile { get; } =
        new("--profile") { HelpName = "DECK.json", Description = "The deck's profile: its limits are judged, and its reels' radii used." };

    public Option<string?> Direction { get; } =
        new("--direction") { HelpName = "forward|reverse", Description = "Which way the tape ran, where the sheet does not say." };

    public Option<double?> Speed { get; } = new("--speed")
    {
        HelpName = "CM/S",
        Description = "Nominal tape speed in cm/s, for limits that hold at one speed.",
        CustomParser = Figures.Within(1, 200, "cm/s"),
    };

    public Option<string?> TapeSetting { get; } =
        new("--tape-setting") { HelpName = "NAME", Description = "The deck's tape setting, by its name in the profile." };

    public Option<Unit?> Unit { get; } =
        new("--unit")
        {
            HelpName = "UNIT",
            Description =
                "Tell every force or torque in this unit too (gf, N, cN, mN, oz, g·cm, mN·m, oz·in …). Default: as typed, else N or mN·m.",
            CustomParser = ReadUnit,
        };

    public Option<Limit[]?> Limits { get; }

    public Option<bool> Json { get; } = new("--json") { Description = "Print one JSON object and nothing else." };

    public Option<bool> Csv { get; } = new("--csv") { Description = "Print one line a reading, comma-separated." };

    /// <summary>The options that this entry takes, in the order they are shown.</summary>
    public IEnumerable<Option> All => id switch
    {
        "tension" => [Reading, Gauge, Reel, Fill, Mode, Radius, HubRadius, FullRadius, Tape, .. Deck],
        "torque" => [Reading, Gauge, Reel, Fill, Mode, Radius, TapeRadius, HubRadius, FullRadius, .. Deck],
        "brakes" => [Reading, Gauge, Reel, Turn, Radius, .. Deck],
        "wind-time" => [Reading, HubRadius, FullRadius, TapeLength, TapeThickness, ReelRate, WindSpeed, .. Deck],
        _ => [Reading, Gauge, Criterion, .. Deck],
    };

    private IEnumerable<Option> Deck => id == "wind-time"
        ? [Profile, Direction, Speed, TapeSetting, Limits, Json, Csv]
        : [Unit, Profile, Direction, Speed, TapeSetting, Limits, Json, Csv];

    private static Option<Amount?> Length(string name, string help, string description) =>
        OfKind(name, help, description, Dimension.Length);

    private static Option<Amount?> OfKind(string name, string help, string description, Dimension kind) => new(name)
    {
        HelpName = help,
        Description = description,
        CustomParser = result => ReadAmount(result, name, kind),
    };

    private static Amount? ReadAmount(ArgumentResult result, string name, Dimension kind)
    {
        if (!Amount.TryParse(result.Tokens[0].Value, [kind], null, out var amount, out var problem))
            result.AddError($"{name}: {problem}");
        else if (amount.Value <= 0)
            result.AddError($"{name}: expected an amount above 0, found {amount}");
        else
            return amount;
        return null;
    }

    private static Unit? ReadUnit(ArgumentResult result)
    {
        if (Bench.Units.Unit.Find(result.Tokens[0].Value) is { Dimension: Dimension.Force or Dimension.Torque } unit)
            return unit;
        result.AddError(
            $"--unit: \"{result.Tokens[0].Value}\" is no unit of force or torque; known are {Bench.Units.Unit.Known(Dimension.Force)}, {Bench.Units.Unit.Known(Dimension.Torque)}"
        );
        return null;
    }
}
