using Spoolwright.Bench.Files;
using Spoolwright.Bench.Standards;

namespace Spoolwright.Bench.Causes;

/// <summary>Reads the file of one cause.</summary>
public static class CauseFile
{
    private static readonly NumberRange Chance = new(0.0001, 0.9, "");
    private static readonly NumberRange Share = new(0, 1, "");
    private static readonly NumberRange Size = NumberRange.Positive(1e6, "");
    private static readonly NumberRange Any = new(-1e6, 1e6, "");
    private static readonly string[] Places = ["deck", "direction", "channel", "setting", "speed"];
    private static readonly string[] Signs = ["positive", "either", "negative"];
    private static readonly string[] Bases = ["published", "memory", "practice", "computed"];

    /// <summary>Reads a cause. Bad text never throws: every problem is listed with its line, column and field.</summary>
    /// <param name="json">The file's text.</param>
    public static ParsedFile<Cause> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var cause = root is null ? null : Read(root, problems);
        return new ParsedFile<Cause>(problems.HasErrors ? null : cause, problems.InOrder());
    }

    private static Cause? Read(JsonPart root, ProblemList problems)
    {
        if (ObjectFields.Of(root, problems, "a cause {\"id\": …, \"name\": …, \"touches\": […], …}") is not { } fields)
            return null;
        var id = fields.Text("id", required: true);
        var name = fields.Text("name", required: true);
        var place = ReadPlace(fields);
        var of = fields.Text("class");
        var prior = fields.Number("prior", Chance, required: true);
        var amount = ReadAmount(fields.Any("amount", required: true), problems);
        var touches = fields.Items("touches", required: true).Select(t => ReadTouch(t, problems)).ToList();
        if (fields.Any("touches") is { Kind: JsonKind.Array, Closed: true, Items.Count: 0 } none)
            problems.Error(none, "the list is empty: a cause that touches no reading can never be told");
        var against = fields.Text("against", required: true);
        var check = ReadCheck(fields.Any("check", required: true), problems);
        var task = fields.Text("task", required: true);
        var planTasks = Texts(fields, "planTasks");
        if (planTasks.Count == 0)
            problems.Error(root, "\"planTasks\" is missing or empty: keys of the plan's tasks of which any mends the cause");
        var basis = fields.Word("basis", Bases, required: true);
        var sources = Texts(fields, "sources");
        var symptoms = Texts(fields, "symptoms");
        fields.ReportUnknown();
        if (basis == "published" && sources.Count == 0)
            problems.Error(fields.Any("basis")!, "\"published\" needs a key of docs/standards.md in \"sources\"");
        if (problems.HasErrors)
            return null;
        return new Cause
        {
            Id = id!,
            Name = name!,
            Place = place,
            Class = of,
            Prior = prior!.Value,
            Amount = amount!,
            Touches = [.. touches.Select(t => t!)],
            Against = against!,
            Check = check!,
            Task = task!,
            PlanTasks = planTasks,
            Basis = basis switch
            {
                "published" => Basis.Published,
                "memory" => Basis.Memory,
                "practice" => Basis.Practice,
                _ => Basis.Computed,
            },
            Sources = sources,
            Symptoms = symptoms,
        };
    }

    private static CausePlaceKinds ReadPlace(ObjectFields fields)
    {
        var place = CausePlaceKinds.Deck;
        foreach (var item in fields.Items("place", required: true))
        {
            place |= ObjectFields.WordOf(item, Places, fields.Problems) switch
            {
                "direction" => CausePlaceKinds.Direction,
                "channel" => CausePlaceKinds.Channel,
                "setting" => CausePlaceKinds.Setting,
                "speed" => CausePlaceKinds.Speed,
                _ => CausePlaceKinds.Deck,
            };
        }

        return place;
    }

    private static CauseAmount? ReadAmount(JsonPart? part, ProblemList problems)
    {
        if (
            part is null
            || ObjectFields.Of(part, problems, "an amount {\"name\": …, \"unit\": …, \"healthy\": …, \"typical\": …}") is not { } fields
        )
            return null;
        var name = fields.Text("name", required: true);
        var unit = fields.Text("unit", required: true);
        var healthy = fields.Number("healthy", new NumberRange(0, 1e6, ""), required: true);
        var typical = fields.Number("typical", Size, required: true);
        var ratio = fields.Number("ratio", new NumberRange(1.05, 10, ""), required: true);
        var sign = fields.Word("sign", Signs, required: true);
        fields.ReportUnknown();
        if (name is null || unit is null || healthy is null || typical is null || ratio is null || sign is null)
            return null;
        return new CauseAmount(
            name,
            unit,
            healthy.Value,
            typical.Value,
            ratio.Value,
            sign switch
            {
                "positive" => CauseSign.Positive,
                "either" => CauseSign.Either,
                _ => CauseSign.Negative,
            }
        );
    }

    private static CauseTouch? ReadTouch(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a touch {\"of\": \"playback/response\", \"law\": …}") is not { } fields)
            return null;
        var of = fields.Word("of", Observable.Names, required: true);
        var law = fields.Word("law", CauseLaw.Names, required: true);
        var factor = fields.Number("factor", Any);
        var hz = fields.Number("hz", NumberRange.Positive(200_000, "Hz"));
        var kind = fields.Word("part", Decks.DeckWords.Kinds);
        fields.ReportUnknown();
        if (law is not null && hz is null && CauseLaw.NeedsHz(law))
            problems.Error(part, $"the law \"{law}\" hangs on a frequency: \"hz\" is missing");
        return of is null || law is null ? null : new CauseTouch(of, law, factor ?? 1, hz, kind);
    }

    private static CauseCheck? ReadCheck(JsonPart? part, ProblemList problems)
    {
        if (
            part is null
            || ObjectFields.Of(part, problems, "a check {\"text\": …, \"hit\": …, \"falseAlarm\": …, \"minutes\": …}") is not { } fields
        )
            return null;
        var text = fields.Text("text", required: true);
        var hit = fields.Number("hit", Share, required: true);
        var alarm = fields.Number("falseAlarm", Share, required: true);
        var minutes = fields.Number("minutes", NumberRange.Positive(10_000, "min"), required: true);
        fields.ReportUnknown();
        return text is null || hit is null || alarm is null || minutes is null
            ? null
            : new CauseCheck(text, hit.Value, alarm.Value, minutes.Value);
    }

    private static List<string> Texts(ObjectFields fields, string name)
    {
        var texts = new List<string>();
        foreach (var item in fields.Items(name))
        {
            if (item.Kind == JsonKind.Text && item.Text.Length > 0)
                texts.Add(item.Text);
            else
                fields.Problems.Error(item, $"expected a text, found {item.Described}");
        }

        return texts;
    }
}
