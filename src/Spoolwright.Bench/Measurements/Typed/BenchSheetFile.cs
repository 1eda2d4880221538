using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Units;

namespace Spoolwright.Bench.Measurements.Typed;

/// <summary>Reads the sheet of readings that a person writes at the bench.</summary>
public static class BenchSheetFile
{
    /// <summary>Words for what told that the pinch roller was lifted.</summary>
    public static IReadOnlyList<string> Criteria { get; } = ["roller-leaves", "roller-stops", "tape-stops"];

    internal static readonly string[] Reels = ["supply", "take-up"];
    internal static readonly string[] Sides = ["left", "right"];
    internal static readonly string[] Fills = ["full", "half", "empty"];
    internal static readonly string[] Modes = ["play", "wind"];
    internal static readonly string[] Turns = ["unwind", "wind"];

    private static readonly Dimension[] Pull = [Dimension.Force, Dimension.Torque];

    /// <summary>
    /// Reads a sheet. Bad text never throws: every problem is listed with its line and column. An unknown property is an error: a reading
    /// that is silently left out would be taken as read.
    /// </summary>
    /// <param name="json">The file's text.</param>
    public static ParsedFile<BenchSheet> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var sheet = root is null ? null : Read(root, problems);
        return new ParsedFile<BenchSheet>(problems.HasErrors ? null : sheet, problems.InOrder());
    }

    private static BenchSheet? Read(JsonPart root, ProblemList problems)
    {
        if (ObjectFields.Of(root, problems, "a sheet {\"tape\": …, \"tension\": […], …}") is not { } fields)
            return null;
        fields.Text("name");
        fields.Text("remarks");
        var tape = fields.Text("tape");
        var hub = Millimetres(fields, "hubRadius");
        var full = Millimetres(fields, "fullRadius");
        if (hub >= full)
            problems.Error(
                fields.Any("fullRadius")!,
                $"the full reel's radius, {Quoted.Number(full.Value)} mm, must lie above the hub's, {Quoted.Number(hub.Value)} mm"
            );
        var sheet = new BenchSheet
        {
            Tape = tape,
            HubRadiusMm = hub,
            FullRadiusMm = full,
            Wind = new WindFacts
            {
                LengthM = Within(fields, "tapeLength", Unit.Metre, 0.1, 10_000),
                ThicknessMicrometres = Within(fields, "tapeThickness", Unit.Micrometre, 1, 1000),
                RateHz = Within(fields, "reelRate", Unit.PerSecond, 0.01, 1000),
                SpeedMPerS = Within(fields, "windSpeed", Unit.MetrePerSecond, 0.01, 100),
            },
            Tension = Rows(fields, "tension", Pull, reel: true),
            Torque = Rows(fields, "torque", Pull, reel: true),
            Brakes = Rows(fields, "brakes", Pull, brake: true),
            WindTime = Rows(fields, "windTime", [Dimension.Time]),
            PinchForce = Rows(fields, "pinchForce", [Dimension.Force]),
            Stops = [.. fields.Items("stops").Select(s => Stop(s, problems)).OfType<StopRow>()],
        };
        fields.ReportUnknown();
        return sheet;
    }

    private static List<SheetRow> Rows(ObjectFields sheet, string section, Dimension[] expected, bool reel = false, bool brake = false) =>
        [.. sheet.Items(section).Select(part => Row(part, sheet.Problems, expected, reel, brake)).OfType<SheetRow>()];

    private static SheetRow? Row(JsonPart part, ProblemList problems, Dimension[] expected, bool reel, bool brake)
    {
        if (ObjectFields.Of(part, problems, "a row {\"readings\": [\"62 gf\"], …}") is not { } fields)
            return null;
        var row = new SheetRow
        {
            Reel = reel ? Word<ReelRole>(fields, "reel", Reels, required: true) : null,
            Side = brake ? Word<ReelSide>(fields, "reel", Sides, required: true) : null,
            Turn = brake ? Word<BrakeTurn>(fields, "turn", Turns, required: true) : null,
            Fill = reel ? Word<ReelFill>(fields, "fill", Fills) : null,
            Mode = reel ? Word<TransportMode>(fields, "mode", Modes) ?? TransportMode.Play : TransportMode.Play,
            Direction = brake ? null : DirectionOf(fields),
            Criterion = expected is [Dimension.Force] ? fields.Word("criterion", [.. Criteria]) : null,
            RadiusMm = reel || brake ? Millimetres(fields, "radius") : null,
            RadiusUncertaintyMm = reel || brake ? Within(fields, "radiusUncertainty", Unit.Millimetre, 0.001, 100) : null,
            TapeRadiusMm = reel ? Millimetres(fields, "tapeRadius") : null,
            Readings = Readings(fields, expected),
            Uncertainty = AmountFields.Positive(fields, "uncertainty", expected, null),
        };
        fields.Text("remarks");
        fields.ReportUnknown();
        if (row.Readings.Count > 0 && row.Uncertainty is { } u && u.Unit.Dimension != row.Readings[0].Unit.Dimension)
            problems.Error(fields.Any("uncertainty")!, $"the uncertainty {u} is not of the same kind as the readings");
        return row.Readings.Count == 0 ? null : row;
    }

    private static List<Amount> Readings(ObjectFields fields, Dimension[] expected)
    {
        var problems = fields.Problems;
        var many = fields.Any("readings");
        var one = fields.Any("reading", required: many is null);
        if (many is not null && one is not null)
            problems.Error(one, "give either reading or readings, not both");
        var parts = many is null ? one is null ? [] : [one] : fields.Items("readings");
        if (many is { Kind: JsonKind.Array, Closed: true, Items.Count: 0 })
            problems.Error(many, "the list of readings is empty");
        var read = new List<Amount>();
        foreach (var part in parts)
        {
            if (AmountFields.Of(part, expected, null, problems) is not { } amount)
                continue;
            if (amount.Value < 0)
                problems.Error(part, $"expected a reading of 0 or more, found {amount}");
            else if (read.Count > 0 && read[0].Unit.Dimension != amount.Unit.Dimension)
                problems.Error(part, $"{amount} is not of the same kind as {read[0]}");
            else
                read.Add(amount);
        }

        return read;
    }

    private static StopRow? Stop(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a stop {\"direction\": …, \"loop\": false, \"stretch\": false}") is not { } fields)
            return null;
        var direction = DirectionOf(fields);
        var fill = Word<ReelFill>(fields, "fill", Fills);
        var (loop, stretch) = (fields.Truth("loop"), fields.Truth("stretch"));
        var time = AmountFields.Positive(fields, "time", [Dimension.Time], Unit.Second);
        fields.ReportUnknown();
        if (loop is null || stretch is null)
            problems.Error(
                part,
                "a stop says whether it threw a loop and whether it stretched the tape: \"loop\" and \"stretch\", true or false"
            );
        return loop is { } l && stretch is { } s ? new StopRow(direction, fill, l, s, time) : null;
    }

    private static Direction? DirectionOf(ObjectFields fields) =>
        DeckWords.FindDirection(fields.Word("direction", [.. DeckWords.Directions]));

    private static T? Word<T>(ObjectFields fields, string name, string[] words, bool required = false)
        where T : struct, Enum => fields.Word(name, words, required) is { } word ? (T)(object)Array.IndexOf(words, word) : null;

    // From the smallest hub that anybody would wind to well over the largest reel.
    private static double? Millimetres(ObjectFields fields, string name) => Within(fields, name, Unit.Millimetre, 1, 500);

    private static double? Within(ObjectFields fields, string name, Unit unit, double least, double most)
    {
        if (AmountFields.Positive(fields, name, [unit.Dimension], null) is not { } amount)
            return null;
        var value = amount.In(unit);
        if (value >= least && value <= most)
            return value;
        fields.Problems.Error(
            fields.Any(name)!,
            $"{amount} makes no sense here; expected from {Quoted.Number(least)} to {Quoted.Number(most)} {unit.Symbol}"
        );
        return null;
    }
}
