using System.Text.Json;
using Spoolwright.Bench.Live;

namespace Spoolwright.App.Web;

/// <summary>Writes a picture as the pages read it.</summary>
internal static class PictureJson
{
    public static void Write(Utf8JsonWriter json, LivePicture picture)
    {
        json.WriteStartObject("input");
        json.WriteNumber("rate", picture.Input.SampleRateHz);
        json.WriteNumber("seconds", picture.Input.Seconds);
        json.WriteNumber("peakLeft", picture.Input.PeakLeftDb);
        json.WriteNumber("peakRight", picture.Input.PeakRightDb);
        WebJson.Array(json, "notes", picture.Input.Notes, static (json, note) =>
        {
            json.WriteString("severity", Cli.ContractWords.Of(note.Severity));
            json.WriteString("code", note.Code);
            json.WriteString("text", note.Text);
        });
        json.WriteEndObject();
        WebJson.Array(json, "tones", picture.Tones, WriteTone);
        if (picture.Skew is { } skew)
        {
            json.WriteStartObject("skew");
            json.WriteNumber("us", skew.Microseconds);
            json.WriteNumber("u", skew.Uncertainty);
            json.WriteString("cycle", skew.Cycle switch { CycleChoice.Resolved => "resolved", CycleChoice.Followed => "followed", _ => "nearest" });
            json.WriteBoolean("reversed", skew.PolarityReversed);
            json.WriteEndObject();
        }

        if (picture.Speed is { } speed)
        {
            json.WriteStartObject("speed");
            json.WriteNumber("nominalHz", speed.NominalHz);
            json.WriteNumber("now", speed.NowPercent);
            json.WriteNumber("seconds", speed.Seconds);
            json.WriteEndObject();
        }

        WebJson.Array(json, "readings", picture.Readings, WriteReading);
        WebJson.Array(json, "rings", picture.Rings, static (json, ring) =>
        {
            json.WriteString("part", ring.Part);
            json.WriteNumber("rate", ring.RateHz);
            json.WriteNumber("turns", ring.Turns);
            json.WriteNumber("peak", ring.PeakPercent);
            json.WriteNumber("degrees", ring.Degrees);
            json.WriteStartArray("percent");
            foreach (var p in ring.Percent)
                json.WriteNumberValue(Math.Round(p, 5));
            json.WriteEndArray();
        });
    }

    /// <summary>What to turn next, where something is being turned.</summary>
    public static void WriteTurning(Utf8JsonWriter json, TurnJournal? journal)
    {
        if (journal?.Advice is not { } advice)
            return;
        json.WriteStartObject("turning");
        json.WriteNumber("moves", journal.Moves);
        json.WriteBoolean("pending", journal.IsPending);
        json.WriteString("outcome", advice.Outcome.ToString());
        json.WriteString("reason", advice.Reason);
        json.WriteBoolean("probe", advice.IsProbe);
        WebJson.Array(json, "turns", advice.Turns, static (json, turn) =>
        {
            json.WriteString("control", turn.Control.Name);
            json.WriteString("how", string.Join(", then ", turn.Legs.Select(turn.Control.Unit.Say)));
            json.WriteNumber("by", turn.To - turn.From);
        });
        if (advice.Expected is [{ } expected, ..])
        {
            json.WriteNumber("expected", expected.Value);
            json.WriteNumber("spread", expected.Spread);
        }

        json.WriteEndObject();
    }

    public static void WriteReading(Utf8JsonWriter json, LiveReading live)
    {
        var reading = live.Reading;
        json.WriteString("quantity", reading.Quantity);
        json.WriteNumber("value", reading.Value);
        json.WriteString("unit", reading.Unit);
        WebJson.Number(json, "uncertainty", reading.Uncertainty);
        json.WriteString("channel", Cli.ContractWords.Of(reading.Channel));
        WebJson.Number(json, "frequencyHz", reading.FrequencyHz);
        if (live.Judgement is not { } judgement)
            return;
        json.WriteString("verdict", Cli.ContractWords.Of(judgement.Verdict));
        json.WriteString("limit", Cli.VerdictText.Limit(reading, judgement.Limit));
        WebJson.Number(json, "min", live.Min);
        WebJson.Number(json, "max", live.Max);
        WebJson.Number(json, "margin", judgement.Margin);
    }

    private static void WriteTone(Utf8JsonWriter json, LiveToneState tone)
    {
        json.WriteNumber("nominal", tone.NominalHz);
        json.WriteNumber("hz", tone.FrequencyHz);
        json.WriteNumber("left", tone.LeftDb);
        json.WriteNumber("right", tone.RightDb);
        json.WriteNumber("leftU", tone.LeftUncertaintyDb);
        json.WriteNumber("rightU", tone.RightUncertaintyDb);
        json.WriteNumber("phase", tone.PhaseDegrees);
        json.WriteNumber("age", tone.AgeSeconds);
        WebJson.Number(json, "leftResponse", tone.LeftResponseDb);
        WebJson.Number(json, "rightResponse", tone.RightResponseDb);
        json.WriteStartArray("ticks");
        foreach (var tick in tone.TicksMicroseconds)
            json.WriteNumberValue(Math.Round(tick, 3));
        json.WriteEndArray();
    }
}
