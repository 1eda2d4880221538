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

    /// <summary><c>[[mark, time, quantity, unit, direction, speed, tape setting, channel, frequency, role, class, place, value],
    /// …]</c></summary>
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

    public static IReadOnlyList<TaskTime> ReadTasks(string text)
    {
        var from = new Arrays(text);
        var tasks = new List<TaskTime>();
        while (from.Next())
        {
            tasks.Add(
                new TaskTime(
                    from.Text()!,
                    from.Text()!,
                    Word<Stage>(from.Text()!),
                    (int)from.Whole(),
                    (int)from.Whole(),
                    Word<TaskState>(from.Text()!),
                    new TimeSpan(from.Whole())
                )
            );
        }

        return tasks;
    }

    /// <summary>The time that all tasks took together: the last figure of each.</summary>
    public static TimeSpan ReadSpent(string text)
    {
        var reader = new Utf8JsonReader(Encoding.UTF8.GetBytes(text));
        var (sum, last) = (0L, 0L);
        while (reader.Read())
        {
            if (reader.TokenType == JsonTokenType.Number)
                last = reader.GetInt64();
            else if (reader.TokenType == JsonTokenType.EndArray)
                (sum, last) = (sum + last, 0);
        }

        return new TimeSpan(sum);
    }

    public static IReadOnlyList<LastReading> ReadReadings(string text)
    {
        var from = new Arrays(text);
        var readings = new List<LastReading>();
        while (from.Next())
        {
            var (mark, at) = (StoredText.ToMark(from.Text()!), StoredText.Time(from.Text()!));
            var key = new FieldKey(
                from.Text()!,
                from.Text()!,
                StoredText.ToDirection(from.Text()!),
                from.Number()!.Value,
                from.Text(),
                StoredText.ToChannel(from.Text()!),
                from.Number(),
                from.Text(),
                from.Text(),
                from.Text()
            );
            readings.Add(new LastReading(key, mark, at, from.Number()!.Value));
        }

        return readings;
    }

    public static IReadOnlyList<RepeatSum> ReadRepeats(string text)
    {
        var from = new Arrays(text);
        var repeats = new List<RepeatSum>();
        while (from.Next())
            repeats.Add(new RepeatSum(from.Text()!, from.Text()!, from.Number()!.Value, (int)from.Whole(), (int)from.Whole()));
        return repeats;
    }

    private static T Word<T>(string word)
        where T : struct, Enum => Enum.Parse<T>(word.Replace("-", "", StringComparison.Ordinal), ignoreCase: true);

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

    /// <summary>Reads an array of arrays value by value. The same words come again and again in a digest, and are kept once.</summary>
    private ref struct Arrays
    {
        private readonly string?[] seen = new string?[32];
        private Utf8JsonReader reader;

        public Arrays(string text)
        {
            reader = new Utf8JsonReader(Encoding.UTF8.GetBytes(text));
            reader.Read();
        }

        /// <summary>Goes to the next of the arrays; false: there is none.</summary>
        public bool Next()
        {
            while (reader.Read())
            {
                if (reader.TokenType == JsonTokenType.StartArray)
                    return true;
            }

            return false;
        }

        public string? Text()
        {
            reader.Read();
            if (reader.TokenType == JsonTokenType.Null)
                return null;
            ref string? place = ref seen[reader.ValueSpan.Length % seen.Length];
            return place is not null && reader.ValueTextEquals(place) ? place : place = reader.GetString();
        }

        public double? Number()
        {
            reader.Read();
            return reader.TokenType == JsonTokenType.Null ? null : reader.GetDouble();
        }

        public long Whole()
        {
            reader.Read();
            return reader.GetInt64();
        }
    }
}
