using System.Buffers;
using System.Data;
using System.Data.Common;
using System.Security.Cryptography;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using Dapper;

namespace Spoolwright.Storage;

/// <summary>
/// A whole book as lines that people can read: first what it is and which schema steps it has had; then each table's name and columns,
/// and its rows by their keys, one JSON
/// array a line; last how many rows there were and the hash of everything before. The same book gives the same lines on every engine, to
/// the byte.
/// </summary>
internal static class BookLines
{
    private const string Form = "spoolwright service book";

    private static readonly JsonWriterOptions Readable = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>Writes every row of one moment of the book. Returns how many.</summary>
    public static long Write(BookEngine engine, Stream to) => engine.Read(connection =>
    {
        using DbTransaction transaction = engine.BeginReading(connection);
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var line = new ArrayBufferWriter<byte>(1 << 12);
        using var json = new Utf8JsonWriter(line, Readable);
        to.SetLength(0); // the work may run again after a server was lost
        long rows = 0;
        Put(() =>
        {
            json.WriteStartObject();
            json.WriteString("form", Form);
            json.WriteStartArray("steps");
            foreach (int step in SchemaSteps.Had(connection, transaction).Order())
                json.WriteNumberValue(step);
            json.WriteEndArray();
            json.WriteEndObject();
        });
        foreach (BookTable table in engine.Tables(connection, transaction).Where(t => !BookTable.Apart.Contains(t.Name)).OrderBy(t => t.Name, StringComparer.Ordinal))
        {
            Put(() =>
            {
                json.WriteStartObject();
                json.WriteString("table", table.Name);
                json.WriteStartObject("columns");
                foreach (BookColumn column in table.Columns)
                    json.WriteString(column.Name, column.Kind.ToString().ToLowerInvariant());
                json.WriteEndObject();
                json.WriteEndObject();
            });
            using IDataReader row = connection.ExecuteReader(table.Select, transaction: transaction);
            while (row.Read())
            {
                // Where captures lie, what is searchable and what is summed up, holds for that one book alone.
                if (table.Name == "setting" && row.GetString(0) is "captures" or SearchIndex.VersionSetting or Summaries.VersionSetting)
                    continue;
                Put(() =>
                {
                    json.WriteStartArray();
                    for (int i = 0; i < table.Columns.Count; i++)
                        PutValue(json, table.Columns[i].Plain(row.GetValue(i)));
                    json.WriteEndArray();
                });
                rows++;
            }
        }

        string sum = Convert.ToHexStringLower(hash.GetCurrentHash());
        Put(() =>
        {
            json.WriteStartObject();
            json.WriteNumber("rows", rows);
            json.WriteString("sha256", sum);
            json.WriteEndObject();
        });
        return rows;

        void Put(Action write)
        {
            line.ResetWrittenCount();
            json.Reset(line);
            write();
            json.Flush();
            line.Write("\n"u8);
            hash.AppendData(line.WrittenSpan);
            to.Write(line.WrittenSpan);
        }
    });

    /// <summary>
    /// Reads such lines after their hash has been checked, and hands them to the work: the schema steps, and the tables with their rows
    /// one by one.
    /// </summary>
    /// <exception cref="ServiceBookException"><c>damaged</c>: they are not whole.</exception>
    public static void Read(string path, Action<IReadOnlySet<int>, IEnumerable<TableRows>> work)
    {
        CheckHash(path);
        using var reader = new StreamReader(path, Encoding.UTF8);
        HashSet<int> steps;
        using (JsonDocument first = JsonDocument.Parse(reader.ReadLine()!))
            steps = [.. first.RootElement.GetProperty("steps").EnumerateArray().Select(n => n.GetInt32())];
        string? line = reader.ReadLine();
        work(steps, Tables());

        IEnumerable<TableRows> Tables()
        {
            while (line is not null)
            {
                using JsonDocument header = JsonDocument.Parse(line);
                if (!header.RootElement.TryGetProperty("table", out JsonElement name))
                    yield break;
                BookColumn[] columns = [.. header.RootElement.GetProperty("columns").EnumerateObject()
                    .Select(c => new BookColumn(c.Name, Enum.Parse<ColumnKind>(c.Value.GetString()!, ignoreCase: true)))];
                line = reader.ReadLine();
                var table = new TableRows(name.GetString()!, columns, Rows(columns));
                yield return table;
                // What the work did not read is passed over.
                while (line is ['[', ..])
                    line = reader.ReadLine();
            }
        }

        IEnumerable<object?[]> Rows(BookColumn[] columns)
        {
            for (; line is ['[', ..]; line = reader.ReadLine())
            {
                using JsonDocument row = JsonDocument.Parse(line);
                yield return [.. row.RootElement.EnumerateArray().Select((v, i) => Value(columns[i].Kind, v))];
            }
        }
    }

    private static void CheckHash(string path)
    {
        // The last line holds the hash of all others.
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        string? before = null, sum = null;
        try
        {
            using var reader = new StreamReader(path, new UTF8Encoding(false, throwOnInvalidBytes: true));
            if (reader.ReadLine() is not { } first || !first.StartsWith($$"""{"form":"{{Form}}",""", StringComparison.Ordinal))
                throw new ServiceBookException("not-a-book", $"{path} is not a copy of a service book; name another file.");
            before = first;
            while (reader.ReadLine() is { } line)
            {
                hash.AppendData(Encoding.UTF8.GetBytes(before + "\n"));
                before = line;
            }

            using JsonDocument last = JsonDocument.Parse(before);
            sum =
                last.RootElement.ValueKind == JsonValueKind.Object && last.RootElement.TryGetProperty("sha256", out JsonElement told)
                    ? told.GetString()
                    : null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw ServiceBookException.From(e, $"the copy {path}");
        }
        catch (Exception e) when (e is JsonException or DecoderFallbackException)
        {
            // Cut short or spoilt: said below.
        }

        if (sum is null || sum != Convert.ToHexStringLower(hash.GetHashAndReset()))
            throw new ServiceBookException(
                "damaged",
                $"The copy {path} is not whole: it was cut short or changed since it was written. Take another."
            );
    }

    private static void PutValue(Utf8JsonWriter json, object? value)
    {
        switch (value)
        {
            case null: json.WriteNullValue(); break;
            case string text: json.WriteStringValue(text); break;
            case long whole: json.WriteNumberValue(whole); break;
            case double real: json.WriteNumberValue(real); break;
            case byte[] bytes: json.WriteBase64StringValue(bytes); break;
        }
    }

    private static object? Value(ColumnKind kind, JsonElement value) => value.ValueKind == JsonValueKind.Null ? null : kind switch
    {
        ColumnKind.Whole => value.GetInt64(),
        ColumnKind.Real => value.GetDouble(),
        ColumnKind.Bytes => value.GetBytesFromBase64(),
        _ => value.GetString(),
    };
}
