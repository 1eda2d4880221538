using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Measurements;
using Spoolwright.Signal;

namespace Spoolwright.App.Cli;

/// <summary>Writes the contract's object: one capture's readings and notes, and verdicts where limits were given.</summary>
public static class ReadingsJson
{
    /// <summary>Writes the object and a line end.</summary>
    /// <exception cref="ArgumentException">A figure is not finite: the measurement broke its word, and no such figure may leave the
    /// program.</exception>
    public static void Write(MeasuredFile measured, bool withVerdicts, TextWriter to)
    {
        ArgumentNullException.ThrowIfNull(measured);
        ArgumentNullException.ThrowIfNull(to);
        using var buffer = new MemoryStream();
        // µ and ° stay themselves; what HTML would need escaped is nobody's business here.
        using (
            var json = new Utf8JsonWriter(
                buffer,
                new JsonWriterOptions { Indented = true, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping }
            )
        )
        {
            json.WriteStartObject();
            json.WriteString("measurement", measured.Result.Measurement);
            WriteCapture(json, measured.Capture);
            WriteArray(json, "readings", measured.Result.Readings, WriteReading);
            WriteArray(json, "notes", measured.Result.Notes, WriteNote);
            if (withVerdicts)
                WriteArray(json, "verdicts", measured.Judgements, WriteJudgement);
            json.WriteEndObject();
        }

        to.WriteLine(Encoding.UTF8.GetString(buffer.GetBuffer(), 0, (int)buffer.Length));
    }

    private static void WriteCapture(Utf8JsonWriter json, Capture capture)
    {
        json.WriteStartObject("capture");
        json.WriteString("file", OrNull(capture.File));
        json.WriteString("sha256", OrNull(capture.Sha256));
        Number(json, "sampleRateHz", capture.SampleRateHz);
        Number(json, "channels", capture.Channels);
        Number(json, "seconds", capture.Seconds);
        json.WriteEndObject();
    }

    private static string? OrNull(string text) => text.Length == 0 ? null : text;

    private static void WriteReading(Utf8JsonWriter json, Reading reading)
    {
        json.WriteString("quantity", reading.Quantity);
        Number(json, "value", reading.Value);
        json.WriteString("unit", reading.Unit);
        Number(json, "uncertainty", reading.Uncertainty);
        json.WriteString("channel", ContractWords.Of(reading.Channel));
        Number(json, "frequencyHz", reading.FrequencyHz);
        json.WriteString("method", reading.Method);
        json.WriteString("part", reading.Part);
        Number(json, "confidence", reading.Confidence);
        json.WriteBoolean("judgeable", reading.Judgeable);
        if (reading.Place is not null)
            json.WriteString("place", reading.Place);
        if (reading.Class is not null)
            json.WriteString("class", reading.Class);
        WriteArray(json, "uncertaintyParts", reading.Parts, static (json, part) =>
        {
            json.WriteString("name", part.Name);
            Number(json, "expanded", part.Expanded);
        });
    }

    private static void WriteNote(Utf8JsonWriter json, Note note)
    {
        json.WriteString("severity", ContractWords.Of(note.Severity));
        json.WriteString("code", note.Code);
        json.WriteString("text", note.Text);
    }

    private static void WriteJudgement(Utf8JsonWriter json, Judgement judgement)
    {
        var (limit, reading) = (judgement.Limit, judgement.Reading);
        var (min, max) = reading is not null ? Judge.Interval(reading, limit) : (limit.Min, limit.Max);
        json.WriteString("quantity", limit.Quantity);
        json.WriteString("verdict", ContractWords.Of(judgement.Verdict));
        Number(json, "min", min);
        Number(json, "max", max);
        json.WriteString("unit", reading?.Unit ?? Quantity.Find(limit.Quantity)?.Unit);
        json.WriteString("source", limit.Source);
        Number(json, "value", reading?.Value);
        Number(json, "uncertainty", reading?.Uncertainty);
        json.WriteString("channel", reading is null ? null : ContractWords.Of(reading.Channel));
        Number(json, "frequencyHz", reading?.FrequencyHz ?? limit.FrequencyHz);
        Number(json, "margin", judgement.Margin);
        if (reading?.Place is { } place)
            json.WriteString("place", place);
        json.WriteString("reason", judgement.Reason);
    }

    private static void WriteArray<T>(Utf8JsonWriter json, string name, IReadOnlyList<T> items, Action<Utf8JsonWriter, T> write)
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

    private static void Number(Utf8JsonWriter json, string name, double? value)
    {
        if (value is not { } number)
            json.WriteNull(name);
        else if (double.IsFinite(number))
            json.WriteNumber(name, number);
        else
            throw new ArgumentException($"{name} is {number}", nameof(value));
    }
}
