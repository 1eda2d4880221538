using System.Text.Json;

namespace Spoolwright.Bench.Files;

/// <summary>
/// Reads JSON, with comments and trailing commas allowed, into parts that know their line and column. Bad text becomes problems;
/// what stands before it is kept, so that the rest of the file's problems can be listed with it.
/// </summary>
internal static class LocatedJson
{
    /// <summary>Longest text read, characters: a hundred times any file of these kinds.</summary>
    public const int LongestText = 1 << 20;

    /// <summary>Deepest nesting read; the files themselves need four.</summary>
    public const int DeepestNesting = 16;

    private const int LongestReason = 200;

    /// <summary>The outermost value, or null when there is none to speak of.</summary>
    public static JsonPart? Read(string text, ProblemList problems)
    {
        if (text.Length > LongestText)
        {
            Fail(
                new JsonText(""),
                0,
                null,
                $"the file is longer than {LongestText / 1024} Ki characters: it is no file of this kind",
                problems
            );
            return null;
        }

        var source = new JsonText(text);
        var builder = new Builder(source, problems);
        var reader = new Utf8JsonReader(source.Bytes, new JsonReaderOptions
        {
            AllowTrailingCommas = true,
            CommentHandling = JsonCommentHandling.Skip,
            MaxDepth = DeepestNesting + 8,
        });
        try
        {
            while (reader.Read())
            {
                if (reader.CurrentDepth >= DeepestNesting && reader.TokenType is JsonTokenType.StartArray or JsonTokenType.StartObject)
                {
                    Fail(source, (int)reader.TokenStartIndex, builder.Open, $"nested deeper than {DeepestNesting} levels", problems);
                    break;
                }

                builder.Take(ref reader);
            }
        }
        catch (JsonException broken)
        {
            var offset = source.Offset(broken.LineNumber ?? 0, broken.BytePositionInLine ?? 0);
            Fail(source, offset, builder.Open, Explain(source, offset, broken.Message), problems);
        }

        return builder.Root;
    }

    private static void Fail(JsonText source, int offset, JsonPart? open, string text, ProblemList problems)
    {
        problems.Add(FileProblemSeverity.Error, source, offset, open?.Path ?? "", text);
        problems.Unfinished = true;
    }

    private static string Explain(JsonText source, int offset, string message)
    {
        if (source.Bytes.AsSpan().Trim(" \t\r\n"u8).IsEmpty)
            return "the file is empty; expected an object {…}";
        if (offset >= source.Bytes.Length)
            return "the file ends in the middle: a closing bracket, brace or quote is missing";
        var here = (char)source.Bytes[offset];
        var nameExpected = message.Contains("property name", StringComparison.Ordinal);
        var hint = here switch
        {
            '\'' => "text stands in double quotes",
            'N' or 'I' when !nameExpected => "NaN and Infinity are no numbers in JSON",
            ',' => "a comma too many",
            '"' => "a comma or colon is missing before this, or a quote is missing further up",
            '}' or ']' => "this bracket closes something else than what was opened last, or a value is missing before it",
            '{' or '[' when nameExpected => "a closing } or ] is missing before this, or a name with a colon",
            '.' or '+' => "a number starts with a digit or a minus, such as 0.5",
            >= '0' and <= '9' when nameExpected => "a name in double quotes is missing; in a number, decimals take a point, not a comma",
            >= 'A' and <= 'z' when nameExpected => "names stand in double quotes",
            _ => "not JSON from here on",
        };
        var tail = message.IndexOf(" LineNumber:", StringComparison.Ordinal);
        var reason = Quoted.Bare(tail < 0 ? message : message[..tail], LongestReason);
        return $"{hint} ({reason})";
    }

    /// <summary>Puts tokens together to parts.</summary>
    private sealed class Builder(JsonText source, ProblemList problems)
    {
        private readonly Stack<JsonPart> open = new();
        private string? name;
        private int nameOffset;

        public JsonPart? Root { get; private set; }

        public JsonPart? Open => open.Count == 0 ? null : open.Peek();

        public void Take(ref Utf8JsonReader reader)
        {
            var offset = (int)reader.TokenStartIndex;
            switch (reader.TokenType)
            {
                case JsonTokenType.PropertyName:
                    name = String(ref reader, offset);
                    nameOffset = offset;
                    break;
                case JsonTokenType.EndObject or JsonTokenType.EndArray:
                    open.Pop().Closed = true;
                    break;
                default:
                    Place(Value(ref reader, offset));
                    break;
            }
        }

        private JsonPart Value(ref Utf8JsonReader reader, int offset)
        {
            var (kind, text, number) = (JsonKind.Null, "", 0.0);
            switch (reader.TokenType)
            {
                case JsonTokenType.StartObject:
                    kind = JsonKind.Object;
                    break;
                case JsonTokenType.StartArray:
                    kind = JsonKind.Array;
                    break;
                case JsonTokenType.String:
                    (kind, text) = (JsonKind.Text, String(ref reader, offset));
                    break;
                case JsonTokenType.Number:
                    (kind, number) = (JsonKind.Number, Number(ref reader, offset));
                    break;
                case JsonTokenType.True or JsonTokenType.False:
                    kind = JsonKind.Truth;
                    break;
            }

            return new JsonPart(source, offset, kind, Open, name, Open?.Items.Count ?? 0)
            {
                NameOffset = name is null ? offset : nameOffset,
                Text = text,
                Number = number,
                Truth = reader.TokenType == JsonTokenType.True,
            };
        }

        private void Place(JsonPart part)
        {
            var holder = Open;
            if (holder is null)
                Root ??= part;
            else if (holder.Kind == JsonKind.Array)
                holder.Items.Add(part);
            else if (!holder.Members.TryAdd(part.Name!, part))
                Twice(holder.Members[part.Name!], part);
            name = null;
            if (part.Kind is JsonKind.Object or JsonKind.Array)
                open.Push(part);
        }

        private void Twice(JsonPart first, JsonPart second)
        {
            var line = source.Place(first.NameOffset).Line;
            problems.Add(FileProblemSeverity.Error, source, second.NameOffset, second.Path,
                $"{Quoted.Text(second.Name!)} stands twice, first on line {line}; keep one");
        }

        private string String(ref Utf8JsonReader reader, int offset)
        {
            try
            {
                return reader.GetString() ?? "";
            }
            catch (InvalidOperationException)
            {
                // Half of a surrogate pair written as an escape: text that no encoding can hold.
                problems.Add(
                    FileProblemSeverity.Error,
                    source,
                    offset,
                    Open?.Path ?? "",
                    "this text holds half a character (a lone \\ud800 to \\udfff)"
                );
                return "";
            }
        }

        private double Number(ref Utf8JsonReader reader, int offset)
        {
            if (reader.TryGetDouble(out var number) && double.IsFinite(number))
                return number;
            problems.Add(FileProblemSeverity.Error, source, offset, Open?.Path ?? "", "this number is too large to be held");
            return double.NaN;
        }
    }
}
