using System.Buffers;
using System.Text;
using System.Text.Json;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Field;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.Storage;

/// <summary>A job's digest as JSON: short, for a page reads hundreds of them. Figures in shortest round-trip decimals.</summary>
internal static class DigestJson
{
    /// <summary><c>[[key, title, stage, ordinal, minutes foreseen, state, ticks], …]</c></summary>
    public static string Write(IReadOnlyList<TaskTime> tasks) => Array(tasks, static (json, t) =>
    {
        json.WriteStringValue(t.Key);
        json.WriteStringValue(t.Title);
        json.WriteStringValue(KebabWord.Of(t.Stage));
        json.WriteNumberValue(t.Ordinal);
        json.WriteNumberValue(t.MinutesForeseen);
        json.WriteStringValue(KebabWord.Of(t.State));
        json.WriteNumberValue(t.Spent.Ticks);
    });

    /// <summary><c>[[mark, time, quantity, unit, direction, speed, tape setting, channel, frequency, role, class, place, value], …]</c></summary>
    public static string Write(IReadOnlyList<LastReading> readings) => Array(readings, static (json, r) =>
    {
        json.WriteStringValue(StoredText.Of(r.Mark));
        json.WriteStringValue(StoredText.Time(r.At));
        json.WriteStringValue(r.Key.Quantity);
        json.WriteStringValue(r.Key.Unit);
        json.WriteStringValue(StoredText.Of(r.Key.Direction));
        json.WriteNumberValue(r.Key.SpeedCmPerS);
        json.WriteStringValue(r.Key.TapeSetting);
        json.WriteStringValue(StoredText.Of(r.Key.Channel));
        if (r.Key.FrequencyHz is { } hz)
            json.WriteNumberValue(hz);
        else
            json.WriteNullValue();
        json.WriteStringValue(r.Key.Role);
        json.WriteStringValue(r.Key.Class);
        json.WriteStringValue(r.Key.Place);
        json.WriteNumberValue(r.Value);
    });

    /// <summary><c>[[quantity, unit, squares, freedom, groups], …]</c></summary>
    public static string Write(IReadOnlyList<RepeatSum> repeats) => Array(repeats, static (json, r) =>
    {
        json.WriteStringValue(r.Quantity);
        json.WriteStringValue(r.Unit);
        json.WriteNumberValue(r.Squares);
        json.WriteNumberValue(r.Freedom);
        json.WriteNumberValue(r.Groups);
    });

    public static IReadOnlyList<TaskTime> ReadTasks(string text) => Read(text, static v => new TaskTime(
        v[0].GetString()!, v[1].GetString()!, Enum.Parse<Stage>(Plain(v[2]), ignoreCase: true), v[3].GetInt32(), v[4].GetInt32(),
        Enum.Parse<TaskState>(Plain(v[5]), ignoreCase: true), new TimeSpan(v[6].GetInt64())));

    public static IReadOnlyList<LastReading> ReadReadings(string text) => Read(text, static v => new LastReading(
        new FieldKey(string.Intern(v[2].GetString()!), string.Intern(v[3].GetString()!), StoredText.ToDirection(v[4].GetString()!), v[5].GetDouble(), v[6].GetString(),
            StoredText.ToChannel(v[7].GetString()!), v[8].ValueKind == JsonValueKind.Null ? null : v[8].GetDouble(), v[9].GetString(), v[10].GetString(), v[11].GetString()),
        StoredText.ToMark(v[0].GetString()!), StoredText.Time(v[1].GetString()!), v[12].GetDouble()));

    public static IReadOnlyList<RepeatSum> ReadRepeats(string text) =>
        Read(text, static v => new RepeatSum(v[0].GetString()!, v[1].GetString()!, v[2].GetDouble(), v[3].GetInt32(), v[4].GetInt32()));

    private static string Plain(JsonElement word) => word.GetString()!.Replace("-", "", StringComparison.Ordinal);

    private static string Array<T>(IReadOnlyList<T> items, Action<Utf8JsonWriter, T> write)
    {
        var buffer = new ArrayBufferWriter<byte>();
        using (var json = new Utf8JsonWriter(buffer))
        {
            json.WriteStartArray();
            foreach (T item in items)
            {
                json.WriteStartArray();
                write(json, item);
                json.WriteEndArray();
            }

            json.WriteEndArray();
        }

        return Encoding.UTF8.GetString(buffer.WrittenSpan);
    }

    private static IReadOnlyList<T> Read<T>(string text, Func<JsonElement[], T> read)
    {
        if (text == "[]")
            return [];
        using var json = JsonDocument.Parse(text);
        return [.. json.RootElement.EnumerateArray().Select(v => read([.. v.EnumerateArray()]))];
    }
}
