using System.Text.RegularExpressions;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Service.Checks;

/// <summary>Reads the file that lists a kind of deck's functions: single checks, and keys that are tried from states.</summary>
public static partial class CheckListFile
{
    /// <summary>
    /// Reads a list. Bad text never throws: every problem is listed with its line and column; an unknown property is an error.
    /// </summary>
    public static ParsedFile<CheckList> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var list = root is null ? null : Read(root, problems);
        return new ParsedFile<CheckList>(problems.HasErrors ? null : list, problems.InOrder());
    }

    /// <summary>
    /// The list as a file, keys and states written out as single checks; <see cref="Parse"/> reads the same list from it.
    /// </summary>
    public static string ToJson(CheckList list)
    {
        ArgumentNullException.ThrowIfNull(list);
        return JsonFields.Write(json =>
        {
            json.WriteString("name", list.Name);
            json.WriteList("checks", list.Checks, (j, c) =>
            {
                j.WriteStartObject();
                j.WriteString("key", c.Key);
                j.WriteString("area", c.Area);
                j.WriteString("title", c.Title);
                j.WriteString("what", c.What);
                if (c.CouldRecord)
                    j.WriteBoolean("couldRecord", true);
                j.WriteList("only", c.Only, (k, o) => k.WriteStringValue(o));
                j.WriteEndObject();
            });
        });
    }

    internal static CheckList? Read(JsonPart root, ProblemList problems)
    {
        if (ObjectFields.Of(root, problems, "a list of checks {\"name\": …, \"checks\": […]}") is not { } fields)
            return null;
        var name = fields.Text("name", required: true);
        var keys = fields.Items("keys").Select(k => ReadKey(k, problems)).OfType<TransportKey>().ToList();
        var states = fields.Items("states").Select(s => ReadState(s, problems)).OfType<TransportState>().ToList();
        var checks = keys.SelectMany(k => states.Where(s => s.State != k.Key).Select(s => Of(k, s))).ToList();
        var parts = fields.Items("checks");
        foreach (var part in parts)
        {
            if (ReadCheck(part, problems) is not { } check)
                continue;
            if (checks.Exists(c => c.Key == check.Key))
                problems.Error(part, $"the key {Quoted.Text(check.Key)} stands twice");
            checks.Add(check);
        }

        fields.ReportUnknown();
        if (checks.Count == 0 && !problems.HasErrors)
            problems.Error(root, "the list holds nothing to try");
        return name is null || problems.HasErrors ? null : new CheckList(name, checks);
    }

    private static FunctionCheck Of(TransportKey key, TransportState state) => new(
        $"{key.Key}-from-{state.State}", "transport", $"{key.Title} while {state.While}",
            $"Press the key while {state.While}: {key.Leads}.",
        state.CouldRecord, [.. new[] { key.Only, state.Only }.OfType<string>().Distinct()]);

    private static TransportKey? ReadKey(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a key {\"key\": …, \"title\": …, \"leads\": …}") is not { } fields)
            return null;
        var (key, title, leads, only) = (KeyOf(fields, "key"), fields.Text("title", required: true), fields.Text("leads", required: true),
            fields.Word("only", DeckFeature.Words));
        fields.ReportUnknown();
        return key is null || title is null || leads is null ? null : new TransportKey(key, title, leads, only);
    }

    private static TransportState? ReadState(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a state {\"state\": …, \"while\": …}") is not { } fields)
            return null;
        var (state, during, records, only) = (KeyOf(fields, "state"), fields.Text("while", required: true), fields.Truth("couldRecord"),
            fields.Word("only", DeckFeature.Words));
        fields.ReportUnknown();
        return state is null || during is null ? null : new TransportState(state, during, records ?? false, only);
    }

    private static FunctionCheck? ReadCheck(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a check {\"key\": …, \"area\": …, \"title\": …, \"what\": …}") is not { } fields)
            return null;
        var key = KeyOf(fields, "key");
        var (area, title, what) = (fields.Text("area", required: true), fields.Text("title", required: true),
            fields.Text("what", required: true));
        var (records, only) = (fields.Truth("couldRecord"), OnlyOf(fields));
        fields.ReportUnknown();
        return key is null || area is null || title is null || what is null ? null
            : new FunctionCheck(key, area, title, what, records ?? false, only);
    }

    // One feature, or a list of them.
    private static string[] OnlyOf(ObjectFields fields) => fields.Any("only") is { Kind: JsonKind.Array } list
        ? [.. list.Items.Select(i => ObjectFields.WordOf(i, DeckFeature.Words, fields.Problems)).OfType<string>()]
        : fields.Word("only", DeckFeature.Words) is { } one ? [one] : [];

    private static string? KeyOf(ObjectFields fields, string name)
    {
        var key = fields.Text(name, required: true);
        if (key is null || Key().IsMatch(key))
            return key;
        fields.Problems.Error(fields.Any(name)!,
            $"{Quoted.Text(key)} is no key; expected small letters, digits and dashes, such as search-zero");
        return null;
    }

    private sealed record TransportKey(string Key, string Title, string Leads, string? Only);

    private sealed record TransportState(string State, string While, bool CouldRecord, string? Only);

    [GeneratedRegex("^[a-z0-9][a-z0-9-]{0,59}$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Key();
}
