using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Controls;

/// <summary>Reads the file in which a person writes down controls, targets, and what was turned and read.</summary>
public static class MovesFile
{
    private static readonly string[] Kinds =
    [
        "other", "azimuth-screw", "playback-level", "playback-equalization", "bias", "record-level", "record-equalization", "speed",
    ];
    private static readonly string[] Approaches = ["cw", "ccw", "up", "down"];
    private static readonly string[] Channels = ["both", "left", "right"];
    private static readonly NumberRange Dial = new(-1e6, 1e6, "");

    /// <summary>Reads the file. Bad text never throws: every problem is listed with its line and column.</summary>
    /// <param name="json">The file's text.</param>
    /// <param name="measured">
    /// Gives the text of a file that <c>measure … --json</c> printed, by the name written in the moves; null where there is none. The room
    /// is pure: whoever calls knows the folder.
    /// </param>
    public static ParsedFile<Adjustment> Parse(string json, Func<string, string?> measured)
    {
        ArgumentNullException.ThrowIfNull(json);
        ArgumentNullException.ThrowIfNull(measured);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var adjustment = root is null ? null : Read(root, problems, measured);
        return new ParsedFile<Adjustment>(problems.HasErrors ? null : adjustment, problems.InOrder());
    }

    private static Adjustment? Read(JsonPart root, ProblemList problems, Func<string, string?> measured)
    {
        if (ObjectFields.Of(root, problems, "{\"controls\": […], \"targets\": […], \"asFound\": …, \"moves\": […]}") is not { } fields)
            return null;
        var controlParts = Counted(fields, "controls", Adjustment.MostControls);
        var targetParts = Counted(fields, "targets", Adjustment.MostTargets);
        var controls = controlParts.Select(p => ReadControl(p, problems)).OfType<Control>().ToList();
        var targets = targetParts.Select(p => ReadTarget(p, problems)).OfType<TurnTarget>().ToList();
        foreach (var twice in controls.GroupBy(c => c.Name, StringComparer.Ordinal).Where(g => g.Count() > 1))
            problems.Error(fields.Part, $"two controls are called {Quoted.Text(twice.Key)}");
        var complete = controls.Count == controlParts.Count && targets.Count == targetParts.Count;
        var readings = new MoveReadings(targets, measured, problems);
        var asFound = fields.Any("asFound", required: true) is { } found && complete ? readings.Read(found) : null;
        var moves = new List<TurnMove>();
        foreach (var part in fields.Items("moves"))
        {
            if (complete && ReadMove(part, controls, readings, problems) is { } move)
                moves.Add(move);
        }

        if (moves.Count > Adjustment.MostMoves)
            problems.Error(fields.Any("moves")!, $"more than {Adjustment.MostMoves} moves; leave the oldest out");
        fields.ReportUnknown(FileProblemSeverity.Warning);
        return asFound is null || problems.HasErrors
            ? null
            : new Adjustment
            {
                Controls = controls,
                Targets = targets,
                AsFound = asFound,
                Moves = moves,
            };
    }

    private static IReadOnlyList<JsonPart> Counted(ObjectFields fields, string name, int most)
    {
        var items = fields.Items(name, required: true);
        if (fields.Any(name) is { Kind: JsonKind.Array, Closed: true } list && (items.Count == 0 || items.Count > most))
            fields.Problems.Error(list, $"expected 1 to {most} {name}, found {items.Count}");
        return items;
    }

    private static Control? ReadControl(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a control {\"name\": …, \"unit\": …, \"range\": […, …]}") is not { } fields)
            return null;
        var name = fields.Text("name", required: true);
        var unitWord = fields.Text("unit", required: true);
        var kind = fields.Word("kind", Kinds);
        var approach = fields.Word("approach", Approaches);
        var backlash = fields.Number("backlash", new NumberRange(0, 1e6, ""));
        var (raises, lowers) = (Words(fields, "raises"), Words(fields, "lowers"));
        var (rangePart, startPart) = (fields.Any("range", required: true), fields.Any("start"));
        fields.ReportUnknown(FileProblemSeverity.Warning);
        if (name is null || unitWord is null || rangePart is null)
            return null;
        if (unitWord.Length > 20)
        {
            problems.Error(fields.Any("unit")!, "the unit is longer than 20 characters");
            return null;
        }

        var unit = TurnUnit.Of(unitWord);
        if (rangePart is not { Kind: JsonKind.Array, Items.Count: 2 })
        {
            problems.Error(
                rangePart,
                $"expected the two ends, such as [-1, 1] or [\"7 o'clock\", \"5 o'clock\"], found {rangePart.Described}"
            );
            return null;
        }

        var (from, to) = (Place(rangePart.Items[0], unit, problems), Place(rangePart.Items[1], unit, problems));
        var start = startPart is null ? 0 : Place(startPart, unit, problems);
        if (from is null || to is null || start is null)
            return null;
        if (from >= to)
        {
            problems.Error(rangePart, "the range must run upwards (clockwise)");
            return null;
        }

        if (start < from || start > to)
        {
            problems.Error(
                startPart ?? part,
                $"the control starts at {Quoted.Number(start.Value)}, outside its range; say where it stands as \"start\""
            );
            return null;
        }

        if (backlash > (to - from) / 2)
        {
            problems.Error(fields.Any("backlash")!, "the backlash is more than half of the range");
            return null;
        }

        return new Control
        {
            Name = name,
            Unit = unit,
            From = from.Value,
            To = to.Value,
            Start = start.Value,
            MostBacklash = backlash,
            Raises = raises,
            Lowers = lowers,
            Kind = kind is null ? ControlKind.Other : (ControlKind)Array.IndexOf(Kinds, kind),
            Approach = approach is "ccw" or "down" ? -1 : 1,
        };
    }

    private static List<string> Words(ObjectFields fields, string name)
    {
        var words = new List<string>();
        foreach (var part in fields.Items(name))
        {
            if (part.Kind == JsonKind.Text)
                words.Add(part.Text);
            else
                fields.Problems.Error(part, $"expected a quantity in double quotes, found {part.Described}");
        }

        return words;
    }

    private static double? Place(JsonPart part, TurnUnit unit, ProblemList problems)
    {
        if (part.Kind == JsonKind.Number)
            return ObjectFields.NumberOf(part, Dial, problems);
        if (part.Kind == JsonKind.Text && TurnText.Place(part.Text, unit) is { } place && Math.Abs(place) <= 1e6)
            return place;
        problems.Error(
            part,
            $"expected a place of the dial in {unit.Label}, or such as \"2 o'clock\" (a trimmer's gap lies at 6), found {part.Described}"
        );
        return null;
    }

    private static TurnTarget? ReadTarget(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a target {\"quantity\": …, \"min\": …, \"max\": …}") is not { } fields)
            return null;
        var quantity = fields.Text("quantity", required: true);
        var figure = new NumberRange(-1e6, 1e6, "");
        var (min, max, aim) = (fields.Number("min", figure), fields.Number("max", figure), fields.Number("aim", figure));
        var (unit, channel) = (fields.Text("unit"), fields.Word("channel", Channels));
        var hz = fields.Number("frequencyHz", NumberRange.Positive(200_000, "Hz"));
        fields.ReportUnknown(FileProblemSeverity.Warning);
        if (quantity is null)
            return null;
        if (min is null && max is null)
        {
            problems.Error(part, "the target has no figure: give min, max or both");
            return null;
        }

        if (min > max)
        {
            problems.Error(part, "min lies above max");
            return null;
        }

        if (aim < min || aim > max)
            problems.Error(fields.Any("aim")!, "the aim lies outside the limits");
        var known = Quantity.Find(quantity);
        if (known is null)
            problems.Warning(
                fields.Any("quantity")!,
                $"{Quoted.Text(quantity)} is no quantity of ours: typed readings alone can be used{NearestWord.Question(quantity, Quantity.All.Select(q => q.Id))}"
            );
        return new TurnTarget
        {
            Quantity = quantity,
            Unit = unit ?? known?.Unit ?? "",
            Min = min,
            Max = max,
            Aim = aim,
            FrequencyHz = hz,
            Channel = channel is null ? Channel.Both : (Channel)Array.IndexOf(Channels, channel),
        };
    }

    private static TurnMove? ReadMove(JsonPart part, List<Control> controls, MoveReadings readings, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a move {\"turned\": {…}, \"readings\": …}") is not { } fields)
            return null;
        var turned = fields.Any("turned", required: true);
        var after = fields.Any("readings", required: true) is { } found ? readings.Read(found) : null;
        fields.ReportUnknown(FileProblemSeverity.Warning);
        if (turned is null || ObjectFields.Of(turned, problems, "what was turned {\"control\": \"quarter turn cw\", …}") is not { } amounts)
            return null;
        var legs = controls.Select(c => amounts.Any(c.Name) is { } amount ? ReadLegs(amount, c.Unit, problems) : []).ToList();
        amounts.ReportUnknown();
        return after is null ? null : new TurnMove(legs, after);
    }

    private static IReadOnlyList<double> ReadLegs(JsonPart part, TurnUnit unit, ProblemList problems)
    {
        if (part.Kind == JsonKind.Number)
            return ObjectFields.NumberOf(part, Dial, problems) is { } one ? [one] : [];
        if (part.Kind == JsonKind.Array)
            return [.. part.Items.SelectMany(i => i.Kind == JsonKind.Array ? Wrong(i) : ReadLegs(i, unit, problems))];
        if (part.Kind != JsonKind.Text)
            return Wrong(part);
        if (TurnText.Legs(part.Text, unit, out var problem) is { } legs)
            return legs;
        problems.Error(part, $"{problem}, found {part.Described}");
        return [];

        IReadOnlyList<double> Wrong(JsonPart what)
        {
            problems.Error(what, $"expected a turn such as \"quarter turn cw\" or 0.25, found {what.Described}");
            return [];
        }
    }
}
