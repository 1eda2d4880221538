using System.Globalization;
using System.Text.Json;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Signal;

namespace Spoolwright.Storage;

/// <summary>How values that SQL has no common type for are written in the book: always as text, always the same on every engine.</summary>
internal static class StoredText
{
    private const string TimeFormat = "yyyy-MM-dd'T'HH:mm:ss.fffffff'Z'";

    private static readonly JsonSerializerOptions Json = new() { PropertyNamingPolicy = JsonNamingPolicy.CamelCase };

    public static string Id(Guid id) => id.ToString("D");

    public static string? Id(Guid? id) => id?.ToString("D");

    public static Guid Id(string text) => Guid.ParseExact(text, "D");

    public static Guid? MaybeId(string? text) => text is null ? null : Id(text);

    public static string Time(DateTimeOffset time) => time.UtcDateTime.ToString(TimeFormat, CultureInfo.InvariantCulture);

    public static DateTimeOffset Time(string text) =>
        DateTimeOffset.ParseExact(text, TimeFormat, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);

    public static string Of(Mark mark) => mark switch
    {
        Mark.AsFound => "as-found",
        Mark.FirstRun => "first-run",
        Mark.AsLeft => "as-left",
        _ => throw new ArgumentOutOfRangeException(nameof(mark), mark, "unknown mark"),
    };

    public static Mark ToMark(string text) => text switch
    {
        "as-found" => Mark.AsFound,
        "first-run" => Mark.FirstRun,
        "as-left" => Mark.AsLeft,
        _ => throw Unknown("mark", text),
    };

    public static string Of(Direction direction) => direction == Direction.Forward ? "forward" : "reverse";

    public static Direction ToDirection(string text) => text switch
    {
        "forward" => Direction.Forward,
        "reverse" => Direction.Reverse,
        _ => throw Unknown("direction", text),
    };

    public static string Of(Channel channel) => channel switch { Channel.Left => "left", Channel.Right => "right", _ => "both" };

    public static Channel ToChannel(string text) => text switch
    {
        "left" => Channel.Left,
        "right" => Channel.Right,
        "both" => Channel.Both,
        _ => throw Unknown("channel", text),
    };

    public static string Of(NoteSeverity severity) =>
        severity switch { NoteSeverity.Hint => "hint", NoteSeverity.Warning => "warning", _ => "error" };

    public static NoteSeverity ToSeverity(string text) => text switch
    {
        "hint" => NoteSeverity.Hint,
        "warning" => NoteSeverity.Warning,
        "error" => NoteSeverity.Error,
        _ => throw Unknown("severity", text),
    };

    // System.Text.Json writes the shortest decimal that reads back to the same double, so nothing is lost here either.
    public static string? Of(IReadOnlyList<UncertaintyPart> parts) => parts.Count == 0 ? null : JsonSerializer.Serialize(parts, Json);

    public static IReadOnlyList<UncertaintyPart> ToParts(string? text) => text is null ? []
        : JsonSerializer.Deserialize<UncertaintyPart[]>(text, Json) ?? [];

    public static string Of(IReadOnlyList<Limit> limits) => JsonSerializer.Serialize(limits, Json);

    public static IReadOnlyList<Limit> ToLimits(string text) => JsonSerializer.Deserialize<Limit[]>(text, Json) ?? [];

    private static ServiceBookException Unknown(string what, string text) =>
        new("damaged", $"The service book holds a {what} that this program does not know: {text}.");
}
