using System.Globalization;
using System.Text;
using System.Text.Json;
using Microsoft.AspNetCore.Http;
using Spoolwright.Bench.Service;

namespace Spoolwright.App.Web.Book;

/// <summary>Sends a page's data, or one table of it as a file: <c>?table=stock&amp;as=csv</c> at the same address.</summary>
internal static class PageSender
{
    /// <summary>Sends it.</summary>
    public static Task Send(HttpContext context, BookPage page)
    {
        if (context.Request.Query["table"].ToString() is { Length: > 0 } name)
        {
            var table =
                page.Tables.FirstOrDefault(t => t.Id == name)
                ?? throw new EntryException($"this page has no table {name}; it has {string.Join(", ", page.Tables.Select(t => t.Id))}");
            return SendFile(context, table.Id, [.. table.Columns.Select(c => c.Key)], table.Rows.Select(r => r.Cells));
        }

        return WebJson.Send(context, json => Write(json, page));
    }

    /// <summary>Sends rows as CSV, or as JSON where the address asks for it.</summary>
    public static Task SendFile(HttpContext context, string name, IReadOnlyList<string> columns, IEnumerable<IReadOnlyList<object?>> rows)
    {
        var asJson = context.Request.Query["as"] == "json";
        context.Response.ContentType = asJson ? "application/json; charset=utf-8" : "text/csv; charset=utf-8";
        context.Response.Headers.ContentDisposition = $"attachment; filename=\"{name}.{(asJson ? "json" : "csv")}\"";
        return context.Response.Body.WriteAsync(asJson ? Json(columns, rows) : Csv(columns, rows)).AsTask();
    }

    private static void Write(Utf8JsonWriter json, BookPage page)
    {
        json.WriteString("title", page.Title);
        Words(json, "lines", page.Lines);
        Words(json, "warnings", page.Warnings);
        WebJson.Array(json, "links", page.Links, static (json, link) =>
        {
            json.WriteString("text", link.Text);
            json.WriteString("to", link.To);
            json.WriteBoolean("apart", link.Apart);
        });
        WebJson.Array(json, "tables", page.Tables, static (json, table) =>
        {
            json.WriteString("id", table.Id);
            json.WriteString("title", table.Title);
            json.WriteString("empty", table.Empty);
            json.WriteNumber("count", table.Count ?? table.Rows.Count);
            WebJson.Array(json, "columns", table.Columns, static (json, column) =>
            {
                json.WriteString("head", column.Head);
                json.WriteString("kind", KebabWord.Of(column.Kind));
            });
            WebJson.Array(json, "rows", [.. table.Rows.Take(BookVisit.MostRows)], static (json, row) =>
            {
                json.WriteString("id", row.Id);
                json.WriteString("to", row.To);
                json.WriteStartArray("cells");
                foreach (var cell in row.Cells)
                    Value(json, cell);
                json.WriteEndArray();
            });
        });
        page.More?.Invoke(json);
    }

    internal static void Words(Utf8JsonWriter json, string name, IEnumerable<string> words)
    {
        json.WriteStartArray(name);
        foreach (var word in words)
            json.WriteStringValue(word);
        json.WriteEndArray();
    }

    private static void Value(Utf8JsonWriter json, object? value)
    {
        switch (value)
        {
            case null: json.WriteNullValue(); break;
            case int n: json.WriteNumberValue(n); break;
            case long n: json.WriteNumberValue(n); break;
            case decimal n: json.WriteNumberValue(n); break;
            case double n when double.IsFinite(n): json.WriteNumberValue(n); break;
            case double: json.WriteNullValue(); break;
            case bool b: json.WriteBooleanValue(b); break;
            default: json.WriteStringValue(Convert.ToString(value, CultureInfo.InvariantCulture)); break;
        }
    }

    private static byte[] Json(IReadOnlyList<string> columns, IEnumerable<IReadOnlyList<object?>> rows)
    {
        using var buffer = new MemoryStream();
        using (var json = new Utf8JsonWriter(buffer, WebJson.Options))
        {
            json.WriteStartArray();
            foreach (var row in rows)
            {
                json.WriteStartObject();
                for (var i = 0; i < columns.Count; i++)
                {
                    json.WritePropertyName(columns[i]);
                    Value(json, row[i]);
                }

                json.WriteEndObject();
            }

            json.WriteEndArray();
        }

        return buffer.ToArray();
    }

    private static byte[] Csv(IReadOnlyList<string> columns, IEnumerable<IReadOnlyList<object?>> rows)
    {
        var text = new StringBuilder().AppendJoin(',', columns.Select(Field)).Append("\r\n");
        foreach (var row in rows)
            text.AppendJoin(',', row.Select(Field)).Append("\r\n");
        return Encoding.UTF8.GetBytes(text.ToString());
    }

    // By RFC 4180: quoted where it must be, quotes doubled.
    private static string Field(object? value)
    {
        var text = value is double d && !double.IsFinite(d) ? "" : Convert.ToString(value, CultureInfo.InvariantCulture) ?? "";
        return text.AsSpan().IndexOfAny(",\"\n\r") < 0 ? text : $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
    }
}
