using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using Spoolwright.Bench.Controls;

namespace Spoolwright.App.Cli;

/// <summary>Writes the advice as one JSON object, with the trail that a page draws.</summary>
internal static class TurnJson
{
    public static void Write(Adjustment adjustment, TurnAdvice advice, TextWriter to)
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
            json.WriteString("outcome", Word(advice.Outcome));
            json.WriteString("reason", advice.Reason);
            json.WriteBoolean("probe", advice.IsProbe);
            WriteArray(json, "turns", advice.Turns, WriteTurn);
            WriteArray(json, "expected", advice.Expected, static (json, e) =>
            {
                WriteTarget(json, e.Target);
                json.WriteNumber("value", e.Value);
                json.WriteNumber("spread", e.Spread);
            });
            WriteArray(json, "effects", advice.Effects, static (json, e) =>
            {
                json.WriteString("control", e.Control.Name);
                json.WriteString("quantity", e.Target.Quantity);
                json.WriteNumber("perUnit", e.PerUnit);
                json.WriteNumber("uncertainty", e.Uncertainty);
                json.WriteBoolean("found", e.Found);
            });
            WriteArray(json, "backlash", advice.Backlash, static (json, b) =>
            {
                json.WriteString("control", b.Control.Name);
                json.WriteNumber("amount", b.Amount);
                json.WriteNumber("uncertainty", b.Uncertainty);
            });
            WriteArray(json, "trail", TurnTrail.Of(adjustment), (json, p) => WritePoint(json, p, adjustment));
            WriteArray(json, "notes", advice.Notes, static (json, n) =>
            {
                json.WriteString("severity", ContractWords.Of(n.Severity));
                json.WriteString("code", n.Code);
                json.WriteString("text", n.Text);
            });
            json.WriteEndObject();
        }

        to.WriteLine(Encoding.UTF8.GetString(buffer.GetBuffer(), 0, (int)buffer.Length));
    }

    private static string Word(TurnOutcome outcome) => outcome switch
    {
        TurnOutcome.Turn => "turn",
        TurnOutcome.Met => "met",
        TurnOutcome.MeasureAgain => "measure-again",
        TurnOutcome.EndStop => "end-stop",
        TurnOutcome.NoEffect => "no-effect",
        _ => "noise-too-large",
    };

    private static void WriteTurn(Utf8JsonWriter json, ControlTurn turn)
    {
        json.WriteString("control", turn.Control.Name);
        json.WriteString("unit", turn.Control.Unit.Label);
        json.WriteNumber("from", turn.From);
        json.WriteNumber("to", turn.To);
        json.WriteStartArray("legs");
        foreach (var leg in turn.Legs)
            json.WriteNumberValue(leg);
        json.WriteEndArray();
        json.WriteString("text", string.Join(", then ", turn.Legs.Select(turn.Control.Unit.Say)));
    }

    private static void WriteTarget(Utf8JsonWriter json, TurnTarget target)
    {
        json.WriteString("quantity", target.Quantity);
        json.WriteString("unit", target.Unit);
        json.WriteString("channel", ContractWords.Of(target.Channel));
        Number(json, "frequencyHz", target.FrequencyHz);
        Number(json, "min", target.Min);
        Number(json, "max", target.Max);
    }

    private static void WritePoint(Utf8JsonWriter json, TrailPoint point, Adjustment adjustment)
    {
        json.WriteNumber("move", point.Move);
        WriteArray(
            json,
            "dials",
            adjustment.Controls,
            (json, c) =>
            {
                json.WriteString("control", c.Name);
                json.WriteNumber("place", point.Dials[adjustment.Controls.ToList().IndexOf(c)]);
            }
        );
        WriteArray(
            json,
            "readings",
            [.. adjustment.Targets.Select((t, i) => (Target: t, Reading: point.Readings[i], Verdict: point.Verdicts[i]))],
            static (json, r) =>
            {
                WriteTarget(json, r.Target);
                json.WriteNumber("value", r.Reading.Value);
                Number(json, "uncertainty", r.Reading.Uncertainty);
                json.WriteString("verdict", ContractWords.Of(r.Verdict));
            }
        );
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
        if (value is { } number)
            json.WriteNumber(name, number);
        else
            json.WriteNull(name);
    }
}
