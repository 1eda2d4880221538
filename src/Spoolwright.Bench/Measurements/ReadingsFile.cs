using System.Text.Json;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Measurements;

/// <summary>Reads back the object that <c>measure … --json</c> prints, as far as a later measurement needs it.</summary>
public static class ReadingsFile
{
    /// <summary>The measurement's id and readings.</summary>
    /// <param name="json">The file's text.</param>
    /// <exception cref="FormatException">It is no such object; the message says what is wrong.</exception>
    public static (string Measurement, IReadOnlyList<Reading> Readings) Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        try
        {
            using var document = JsonDocument.Parse(json);
            var root = document.RootElement;
            var readings = new List<Reading>();
            foreach (var item in root.GetProperty("readings").EnumerateArray())
            {
                readings.Add(new Reading
                {
                    Quantity = item.GetProperty("quantity").GetString() ?? throw new FormatException("a reading has no quantity"),
                    Value = Finite(item.GetProperty("value").GetDouble()),
                    Unit = item.GetProperty("unit").GetString() ?? "",
                    Uncertainty = Number(item, "uncertainty"),
                    FrequencyHz = Number(item, "frequencyHz") is not 0 and var hz ? hz : throw new FormatException("frequencyHz is 0"),
                    Channel = item.GetProperty("channel").GetString() switch
                    {
                        "left" => Channel.Left,
                        "right" => Channel.Right,
                        "both" => Channel.Both,
                        var word => throw new FormatException($"{Quoted.Text(word ?? "")} is no channel"),
                    },
                    Method = item.TryGetProperty("method", out var method) ? method.GetString() ?? "" : "",
                    Class = item.TryGetProperty("class", out var of) && of.ValueKind == JsonValueKind.String ? of.GetString() : null,
                    Part = item.TryGetProperty("part", out var part) && part.ValueKind == JsonValueKind.String ? part.GetString() : null,
                    Confidence = Number(item, "confidence"),
                    Place = item.TryGetProperty("place", out var place) && place.ValueKind == JsonValueKind.String ? place.GetString() : null,
                    Parts = item.TryGetProperty("uncertaintyParts", out var parts) && parts.ValueKind == JsonValueKind.Array
                        ? [.. parts.EnumerateArray().Select(p => new UncertaintyPart(p.GetProperty("name").GetString() ?? "", Number(p, "expanded")))]
                        : [],
                    Judgeable = !item.TryGetProperty("judgeable", out var judgeable) || judgeable.ValueKind != JsonValueKind.False,
                });
            }

            return (root.GetProperty("measurement").GetString() ?? "", readings);
        }
        catch (Exception e) when (e is JsonException or KeyNotFoundException or InvalidOperationException or ArgumentException)
        {
            throw new FormatException(
                "it is no object that spoolwright measure --json prints: " + e.Message.Split('.')[0].ReplaceLineEndings(" "),
                e
            );
        }
    }

    // Neither an uncertainty nor a frequency lies under 0.
    private static double? Number(JsonElement item, string name) =>
        !item.TryGetProperty(name, out var value) || value.ValueKind != JsonValueKind.Number ? null
        : Finite(value.GetDouble()) is >= 0 and var number ? number
        : throw new FormatException($"{name} lies under 0");

    private static double Finite(double value) =>
        Math.Abs(value) <= 1e9 ? value : throw new FormatException("a figure in it is far beyond any reading");
}
