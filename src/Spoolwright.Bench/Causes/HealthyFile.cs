using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Causes;

/// <summary>Reads the file that says what is expected of a sound deck, kind of figure by kind of figure.</summary>
public static class HealthyFile
{
    private static readonly string[] Same = ["direction", "channel", "setting", "speed", "frequency"];
    private static readonly NumberRange Any = new(-1e6, 1e6, "");
    private static readonly NumberRange Positive = NumberRange.Positive(1e6, "");

    /// <summary>Reads the file; every problem is listed with its line, column and field.</summary>
    /// <param name="json">The file's text.</param>
    public static ParsedFile<IReadOnlyList<Observable>> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var kinds = new List<Observable>();
        if (LocatedJson.Read(json, problems) is { } root && ObjectFields.Of(root, problems, "an object {\"figures\": […]}") is { } fields)
        {
            foreach (var item in fields.Items("figures", required: true))
            {
                if (ReadKind(item, problems) is { } kind)
                {
                    if (kinds.Exists(k => k.Name == kind.Name))
                        problems.Error(item, $"\"{kind.Name}\" stands twice");
                    kinds.Add(kind);
                }
            }

            fields.ReportUnknown();
        }

        return new ParsedFile<IReadOnlyList<Observable>>(problems.HasErrors ? null : kinds, problems.InOrder());
    }

    private static Observable? ReadKind(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a kind of figure {\"of\": …, \"words\": …, \"spreads\": […]}") is not { } fields)
            return null;
        var name = fields.Word("of", Observable.Names, required: true);
        var words = fields.Text("words", required: true);
        var mean = fields.Number("mean", Any);
        var floor = fields.Number("floor", Positive);
        var logarithmic = fields.Truth("logarithmic") ?? false;
        var reference = fields.Truth("againstReference") ?? false;
        var frequency = fields.Truth("byFrequency") ?? false;
        fields.Text("basis", required: true);
        var spreads = fields.Items("spreads", required: true).Select(s => ReadSpread(s, problems)).OfType<HealthySpread>().ToList();
        fields.ReportUnknown();
        if (logarithmic && (floor is null || mean is not > 0))
            problems.Error(part, "a logarithmic figure needs \"mean\" and \"floor\" above 0");
        return name is null || words is null ? null : new Observable
        {
            Name = name,
            Words = words,
            Mean = mean ?? 0,
            Logarithmic = logarithmic,
            Floor = floor ?? 0,
            AgainstReference = reference,
            ByFrequency = frequency,
            Spreads = spreads,
        };
    }

    private static HealthySpread? ReadSpread(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a spread {\"deviation\": …, \"same\": […]}") is not { } fields)
            return null;
        var deviation = fields.Number("deviation", Positive);
        var same = fields.Items("same").Select(s => ObjectFields.WordOf(s, Same, problems)).OfType<string>().ToList();
        var over = fields.Word("over", ["frequency", "wavelength"]);
        var octaves = fields.Number("octaves", NumberRange.Positive(20, "octaves"), required: over is not null);
        var group = fields.Text("group");
        var common = fields.Truth("common") ?? false;
        var points = new List<(double, double)>();
        foreach (var item in fields.Items("points"))
        {
            if (
                item
                    is
                {
                    Kind: JsonKind.Array,
                    Items: [{ Kind: JsonKind.Number, Number: > 0 } at, { Kind: JsonKind.Number, Number: >= 0 } spread]
                }
                && (points.Count == 0 || at.Number > points[^1].Item1)
            )
                points.Add((at.Number, spread.Number));
            else
                problems.Error(item, "expected a pair [Hz or µm, deviation], rising from pair to pair");
        }

        fields.ReportUnknown();
        if (deviation is null && points.Count == 0)
            problems.Error(part, "\"deviation\" or \"points\" is missing");
        return new HealthySpread(deviation ?? 0, same, over, octaves ?? 1, points, group, common);
    }
}
