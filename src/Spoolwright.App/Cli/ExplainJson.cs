using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Decks;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary>Writes an explanation as one JSON object.</summary>
internal static class ExplainJson
{
    public static void Write(Explanation explanation, IReadOnlyList<CauseMended> mended, CauseLessons? lessons, TextWriter to)
    {
        using var buffer = new MemoryStream();
        using (
            var json = new Utf8JsonWriter(
                buffer,
                new JsonWriterOptions { Indented = true, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping }
            )
        )
        {
            json.WriteStartObject();
            json.WriteString(
                "outcome",
                explanation.Word switch
                {
                    ExplanationWord.Named => "named",
                    ExplanationWord.NothingFound => "nothing-found",
                    _ => "not-enough-to-tell",
                }
            );
            json.WriteNumber("figures", explanation.Figures);
            json.WriteNumber("sound", explanation.Sound);
            if (explanation.Unexplained is { } open)
                json.WriteNumber("unexplained", open);
            else
                json.WriteNull("unexplained");
            json.WriteStartArray("causes");
            foreach (var finding in explanation.Findings)
                Finding(json, finding);
            json.WriteEndArray();
            json.WriteStartArray("unnamed");
            foreach (var (place, probability) in explanation.Unnamed)
            {
                json.WriteStartObject();
                Place(json, place);
                json.WriteNumber("probability", probability);
                json.WriteEndObject();
            }

            json.WriteEndArray();
            json.WriteStartArray("mended");
            foreach (var m in mended)
            {
                json.WriteStartObject();
                json.WriteString("cause", m.Finding.Id);
                Place(json, m.Finding.Place);
                json.WriteNumber("asFound", m.Finding.Probability);
                if (m.After.Share is { } share)
                    json.WriteNumber("asLeft", share);
                else
                    json.WriteNull("asLeft");
                json.WriteString("taskDone", m.TaskDone);
                json.WriteString("right", m.Word);
                json.WriteEndObject();
            }

            json.WriteEndArray();
            // What the book's finished jobs taught; files teach nothing.
            if (lessons is not null)
            {
                json.WriteStartObject("learned");
                json.WriteNumber("finishedJobs", lessons.Finished);
                json.WriteNumber("weighedJobs", lessons.Weighed);
                json.WriteNumber("taughtJobs", lessons.Taught);
                json.WriteEndObject();
            }

            if (explanation.Check is { } next)
            {
                json.WriteStartObject("nextCheck");
                json.WriteString("cause", next.Cause.Id);
                Place(json, next.Of.Place);
                json.WriteString("text", next.Cause.Check.Text);
                json.WriteNumber("minutes", next.Cause.Check.Minutes);
                json.WriteNumber("bits", next.Bits);
                json.WriteEndObject();
            }
            else
            {
                json.WriteNull("nextCheck");
            }

            json.WriteEndObject();
        }

        to.WriteLine(Encoding.UTF8.GetString(buffer.GetBuffer(), 0, (int)buffer.Length));
    }

    private static void Finding(Utf8JsonWriter json, CauseFinding finding)
    {
        json.WriteStartObject();
        json.WriteStartArray("ids");
        foreach (var cause in finding.Causes)
            json.WriteStringValue(cause.Id);
        json.WriteEndArray();
        json.WriteString("name", finding.Name);
        Place(json, finding.Place);
        json.WriteNumber("probability", finding.Probability);
        json.WriteString("amountName", finding.Causes[0].Amount.Name);
        json.WriteNumber("amount", finding.Amount);
        json.WriteNumber("amountUncertainty", finding.AmountUncertainty);
        json.WriteString("unit", finding.Causes[0].Amount.Unit);
        json.WriteNumber("explains", finding.Explains);
        Evidence(json, "for", finding.For);
        Evidence(json, "against", finding.Against);
        json.WriteStartArray("knowledge");
        foreach (var cause in finding.Causes)
        {
            json.WriteStartObject();
            json.WriteString("id", cause.Id);
            json.WriteNumber("prior", cause.Prior);
            json.WriteString("against", cause.Against);
            json.WriteString("check", cause.Check.Text);
            json.WriteString("task", cause.Task);
            json.WriteString("basis", cause.Basis.ToString().ToLowerInvariant());
            Texts(json, "sources", cause.Sources);
            Texts(json, "symptoms", cause.Symptoms);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Evidence(Utf8JsonWriter json, string name, IReadOnlyList<CauseEvidence> all)
    {
        json.WriteStartArray(name);
        foreach (var evidence in all)
        {
            json.WriteStartObject();
            json.WriteString("figure", evidence.Figure.Of.Name);
            Place(json, evidence.Figure.Place);
            if (evidence.Figure.FrequencyHz is { } hertz)
                json.WriteNumber("frequencyHz", hertz);
            json.WriteNumber("value", evidence.Figure.Shown);
            json.WriteString("unit", evidence.Figure.Unit);
            json.WriteNumber("off", evidence.Off);
            json.WriteNumber("offWith", evidence.OffWith);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void Place(Utf8JsonWriter json, CausePlace place)
    {
        json.WriteString("direction", place.Direction is { } d ? DeckWords.Word(d) : null);
        json.WriteString("channel", place.Channel is { } c ? ContractWords.Of(c) : null);
        json.WriteString("tapeSetting", place.Setting);
        if (place.SpeedCmPerS is { } v)
            json.WriteNumber("speedCmPerS", v);
        else
            json.WriteNull("speedCmPerS");
    }

    private static void Texts(Utf8JsonWriter json, string name, IReadOnlyList<string> texts)
    {
        json.WriteStartArray(name);
        foreach (var text in texts)
            json.WriteStringValue(text);
        json.WriteEndArray();
    }
}
