using System.Text;
using System.Text.Json;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;

namespace Spoolwright.App.Web;

/// <summary>
/// What was turned on which job's deck, and when: a file of lines beside the book, only ever added to. The matrix puts in doubt by it what was measured before.
/// </summary>
internal sealed class AdjustedLog(string path)
{
    private readonly Lock _lock = new();

    /// <summary>Notes a turn.</summary>
    public void Add(Guid job, Adjusted adjusted)
    {
        var line = WebJson.Bytes(json =>
        {
            json.WriteString("job", job);
            json.WriteString("what", adjusted.What);
            json.WriteString("direction", DeckWords.Word(adjusted.Condition.Direction));
            json.WriteNumber("speedCmPerS", adjusted.Condition.SpeedCmPerS);
            json.WriteString("tapeSetting", adjusted.Condition.TapeSetting);
            json.WriteString("at", adjusted.At);
        });
        lock (_lock)
        {
            using var file = new FileStream(path, FileMode.Append, FileAccess.Write, FileShare.Read);
            file.Write(line.Span);
            file.Write("\n"u8);
        }
    }

    /// <summary>What was turned on a job's deck. A line that was cut off, as a machine leaves it that loses its power, is passed over.</summary>
    public IReadOnlyList<Adjusted> Of(Guid job)
    {
        lock (_lock)
        {
            return File.Exists(path) ? [.. File.ReadAllLines(path, Encoding.UTF8).Select(l => Read(l, job)).OfType<Adjusted>()] : [];
        }
    }

    private static Adjusted? Read(string line, Guid job)
    {
        try
        {
            using var json = JsonDocument.Parse(line);
            var root = json.RootElement;
            return root.ValueKind == JsonValueKind.Object && root.TryGetProperty("job", out var of) && of.TryGetGuid(out var id) && id == job
                && WebJson.Text(root, "what") is { } what && DeckWords.FindDirection(WebJson.Text(root, "direction")) is { } direction
                && WebJson.Number(root, "speedCmPerS") is { } speed && root.TryGetProperty("at", out var at) && at.TryGetDateTimeOffset(out var when)
                ? new Adjusted(what, new Condition(direction, speed, WebJson.Text(root, "tapeSetting")), when)
                : null;
        }
        catch (JsonException)
        {
            return null;
        }
    }
}
