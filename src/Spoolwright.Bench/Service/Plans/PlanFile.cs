using System.Text.Json;
using System.Text.RegularExpressions;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Service.Plans;

/// <summary>Reads and writes the file that describes a plan.</summary>
public static partial class PlanFile
{
    /// <summary>
    /// Reads a plan. Bad text never throws: every problem is listed with its line and column. A property that is not known is an error: a
    /// caution or
    /// prerequisite that is silently not read could hurt.
    /// </summary>
    public static ParsedFile<Plan> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var plan = root is null ? null : Read(root, problems);
        return new ParsedFile<Plan>(problems.HasErrors ? null : plan, problems.InOrder());
    }

    /// <summary>The plan as a file; <see cref="Parse"/> reads the same plan from it.</summary>
    public static string ToJson(Plan plan)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return JsonFields.Write(json =>
        {
            json.WriteString("name", plan.Name);
            json.WriteOptional("for", plan.For);
            json.WriteList("stages", [.. plan.Tasks.GroupBy(t => t.Stage)], WriteStage);
        });
    }

    private static void WriteStage(Utf8JsonWriter json, IGrouping<Stage, PlanTask> stage)
    {
        json.WriteStartObject();
        json.WriteString("stage", KebabWord.Of(stage.Key));
        json.WriteList("tasks", [.. stage], WriteTask);
        json.WriteEndObject();
    }

    private static void WriteTask(Utf8JsonWriter json, PlanTask task)
    {
        json.WriteStartObject();
        json.WriteString("key", task.Key);
        json.WriteString("title", task.Title);
        json.WriteString("why", task.Why);
        json.WriteNumber("minutes", task.Minutes);
        json.WriteList("before", task.Before, (j, b) => j.WriteStringValue(b));
        json.WriteList("cautions", task.Cautions, (j, c) => j.WriteStringValue(c));
        json.WriteOptional("caution", task.Caution);
        json.WriteOptional("only", task.Only);
        json.WriteEndObject();
    }

    internal static Plan? Read(JsonPart root, ProblemList problems)
    {
        if (ObjectFields.Of(root, problems, "a plan {\"name\": …, \"stages\": […]}") is not { } fields)
            return null;
        var name = fields.Text("name", required: true);
        var purpose = fields.Text("for");
        var places = new List<(JsonPart Part, PlanTask Task)>();
        Stage? last = null;
        foreach (var part in fields.Items("stages", required: true))
            last = ReadStage(part, places, last, problems);
        fields.ReportUnknown();
        CheckBefore(places, problems);
        if (places.Count == 0 && !problems.HasErrors)
            problems.Error(root, "the plan has no task");
        return name is null || problems.HasErrors ? null : new Plan(name, purpose, [.. places.Select(p => p.Task)]);
    }

    private static Stage? ReadStage(JsonPart part, List<(JsonPart Part, PlanTask Task)> places, Stage? last, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a stage {\"stage\": …, \"tasks\": […]}") is not { } fields)
            return last;
        var word = fields.Word("stage", [.. KebabWord.All<Stage>()], required: true);
        var stage = word is null ? Stage.Intake : KebabWord.Parse<Stage>(word, "stage");
        if (word is not null && stage <= last)
            problems.Error(
                fields.Any("stage")!,
                $"{word} stands after {KebabWord.Of(last.Value)}; the stages go in the order of the trade: {string.Join(", ", KebabWord.All<Stage>())}"
            );
        foreach (var item in fields.Items("tasks", required: true))
        {
            if (ReadTask(item, stage, problems) is not { } task)
                continue;
            if (places.Exists(p => p.Task.Key == task.Key))
                problems.Error(item, $"the key {Quoted.Text(task.Key)} stands twice");
            else
                places.Add((item, task));
        }

        fields.ReportUnknown();
        return word is null ? last : stage;
    }

    private static PlanTask? ReadTask(JsonPart part, Stage stage, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a task {\"key\": …, \"title\": …, \"why\": …, \"minutes\": …}") is not { } fields)
            return null;
        var key = fields.Text("key", required: true);
        if (key is not null && !Key().IsMatch(key))
            problems.Error(fields.Any("key")!,
                $"{Quoted.Text(key)} is no key; expected small letters, digits and dashes, such as clean-path");
        var title = fields.Text("title", required: true);
        var why = fields.Text("why", required: true);
        var minutes = fields.Number("minutes", new NumberRange(0, 60_000, "minutes"), required: true);
        string[] before = [.. fields.Items("before").Where(b => IsText(b, problems)).Select(b => b.Text)];
        string[] cautions = [.. fields.Items("cautions").Select(c => ObjectFields.WordOf(c, Cautions.Words, problems)).OfType<string>()];
        var caution = fields.Text("caution");
        var only = fields.Word("only", DeckFeature.Words);
        fields.ReportUnknown();
        return key is null || title is null || why is null || minutes is null ? null
            : new PlanTask(stage, key, title, why, (int)Math.Round(minutes.Value), before, cautions, caution, only);
    }

    private static bool IsText(JsonPart part, ProblemList problems)
    {
        if (part.Kind == JsonKind.Text)
            return true;
        problems.Error(part, $"expected the key of a task, found {part.Described}");
        return false;
    }

    // What must be done before has to stand before: then no two tasks can wait for each other.
    private static void CheckBefore(List<(JsonPart Part, PlanTask Task)> places, ProblemList problems)
    {
        var seen = new HashSet<string>(StringComparer.Ordinal);
        foreach (var (part, task) in places)
        {
            foreach (var before in task.Before.Where(b => !seen.Contains(b)))
            {
                problems.Error(part, places.Exists(p => p.Task.Key == before)
                    ? $"{Quoted.Text(before)} must be done before {Quoted.Text(task.Key)} but does not stand before it"
                    : $"no task has the key {Quoted.Text(before)}{NearestWord.Question(before, places.Select(p => p.Task.Key))}");
            }

            seen.Add(task.Key);
        }
    }

    [GeneratedRegex("^[a-z0-9][a-z0-9-]{0,59}$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Key();
}
