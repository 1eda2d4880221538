using System.Reflection;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Causes;

/// <summary>The symptom table: data that comes with the program.</summary>
public static class SymptomBook
{
    private const string Name = "symptoms.json";
    private static readonly char[] Gaps = [' ', ',', '.', ';', ':', '/'];
    private static readonly Lazy<IReadOnlyList<Symptom>> Loaded = new(Load);

    /// <summary>Every row, in the table's order.</summary>
    /// <exception cref="FormatException">The file of it is wrong; the message names file, line and field.</exception>
    public static IReadOnlyList<Symptom> All => Loaded.Value;

    /// <summary>The rows that hold every word, by the words' beginnings; those that have them in what is seen or heard first.</summary>
    /// <param name="words">What a person says of it; blank: every row.</param>
    public static IReadOnlyList<Symptom> Find(string words)
    {
        ArgumentNullException.ThrowIfNull(words);
        var asked = words.Split(Gaps, StringSplitOptions.RemoveEmptyEntries);
        static bool Has(string text, string word) =>
            text.Split(Gaps, StringSplitOptions.RemoveEmptyEntries).Any(t => t.StartsWith(word, StringComparison.OrdinalIgnoreCase));
        return
        [
            .. All.Where(s => asked.All(w => Has(s.Said, w) || Has(s.Means, w) || Has(s.Try, w)))
                .OrderBy(s => asked.All(w => Has(s.Said, w)) ? 0 : 1),
        ];
    }

    /// <summary>Reads a table; every problem is listed with its line, column and field.</summary>
    /// <param name="json">The file's text.</param>
    public static ParsedFile<IReadOnlyList<Symptom>> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var rows = new List<Symptom>();
        if (LocatedJson.Read(json, problems) is { } root && ObjectFields.Of(root, problems, "an object {\"symptoms\": […]}") is { } fields)
        {
            foreach (var item in fields.Items("symptoms", required: true))
            {
                if (Row(item, problems) is { } row)
                    rows.Add(row);
            }

            fields.ReportUnknown();
        }

        return new ParsedFile<IReadOnlyList<Symptom>>(problems.HasErrors ? null : rows, problems.InOrder());
    }

    private static Symptom? Row(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a symptom {\"row\": …, \"said\": …, \"means\": …}") is not { } fields)
            return null;
        var number = fields.Number("row", new NumberRange(1, 1000, ""), required: true);
        var said = fields.Text("said", required: true);
        var means = fields.Text("means", required: true);
        var test = fields.Text("try", required: true);
        var causes = fields.Items("causes").Select(c => c.Kind == JsonKind.Text ? c.Text : "").ToArray();
        var tag = fields.Text("tag", required: true);
        fields.ReportUnknown();
        return number is null || said is null || means is null || test is null || tag is null
            ? null
            : new Symptom((int)number.Value, said, means, test, causes, tag);
    }

    private static IReadOnlyList<Symptom> Load()
    {
        using var reader = new StreamReader(Assembly.GetExecutingAssembly().GetManifestResourceStream("Symptoms/" + Name)!);
        var parsed = Parse(reader.ReadToEnd());
        return parsed.Value ?? throw new FormatException($"{Name}:{parsed.Errors.First()}");
    }
}
