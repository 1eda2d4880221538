using System.Buffers;
using System.Text.Encodings.Web;
using System.Text.Json;
using Microsoft.AspNetCore.Http;

namespace Spoolwright.App.Web;

/// <summary>JSON as the pages get and send it.</summary>
internal static class WebJson
{
    /// <summary>µ and ° stay themselves: it is served as JSON and never put into a page's markup.</summary>
    public static readonly JsonWriterOptions Options = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>Answers with one object.</summary>
    public static Task Send(HttpContext context, Action<Utf8JsonWriter> write)
    {
        context.Response.ContentType = "application/json; charset=utf-8";
        return context.Response.Body.WriteAsync(Bytes(write)).AsTask();
    }

    /// <summary>One object as bytes.</summary>
    public static ReadOnlyMemory<byte> Bytes(Action<Utf8JsonWriter> write)
    {
        var buffer = new ArrayBufferWriter<byte>(4096);
        using (var json = new Utf8JsonWriter(buffer, Options))
        {
            json.WriteStartObject();
            write(json);
            json.WriteEndObject();
        }

        return buffer.WrittenMemory;
    }

    /// <summary>Refuses in one plain line: as JSON, or as the page where a person has opened an address of the record.</summary>
    public static Task Refuse(HttpContext context, string why)
    {
        if (context.Request.Path.StartsWithSegments("/record"))
            return PageFiles.SendNothing(context, why);
        context.Response.StatusCode = StatusCodes.Status422UnprocessableEntity;
        return Send(context, json => json.WriteString("problem", why));
    }

    /// <summary>Reads the call's object; anything that is none reads as an empty one.</summary>
    public static async Task<JsonDocument> Body(HttpContext context)
    {
        try
        {
            var read = await JsonDocument
                .ParseAsync(context.Request.Body, new JsonDocumentOptions { MaxDepth = 16 }, context.RequestAborted)
                .ConfigureAwait(false);
            return read.RootElement.ValueKind == JsonValueKind.Object ? read : JsonDocument.Parse("{}");
        }
        catch (JsonException)
        {
            return JsonDocument.Parse("{}");
        }
    }

    /// <summary>A text of an object, or null.</summary>
    public static string? Text(JsonElement of, string name) =>
        of.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;

    /// <summary>A finite number of an object, or null.</summary>
    public static double? Number(JsonElement of, string name) =>
        of.TryGetProperty(name, out var value)
        && value.ValueKind == JsonValueKind.Number
        && value.TryGetDouble(out var number)
        && double.IsFinite(number)
            ? number
            : null;

    /// <summary>Writes a number, or null.</summary>
    public static void Number(Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number)
            json.WriteNumber(name, number);
        else
            json.WriteNull(name);
    }

    /// <summary>Writes a list of objects.</summary>
    public static void Array<T>(Utf8JsonWriter json, string name, IReadOnlyList<T> items, Action<Utf8JsonWriter, T> write)
    {
        json.WriteStartArray(name);
        foreach (var item in items)
        {
            json.WriteStartObject();
            write(json, item);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}
