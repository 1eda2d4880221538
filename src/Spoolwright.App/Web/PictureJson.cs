using System.Text.Json;
using Spoolwright.Bench.Controls;
using Spoolwright.Bench.Live;
using Spoolwright.Signal;
using Spoolwright.Signal.Live;
using Spoolwright.Signal.Programs;

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
        WebJson.Array(json, "notes", picture.Input.Notes, WriteNote);
        json.WriteEndObject();
        WebJson.Array(json, "tones", picture.Tones, WriteTone);
        if (picture.Skew is { } skew)
        {
            json.WriteStartObject("skew");
            json.WriteNumber("us", skew.Microseconds);
            json.WriteNumber("u", skew.Uncertainty);
            json.WriteString(
                "cycle",
                skew.Cycle switch
                {
                    CycleChoice.Resolved => "resolved",
                    CycleChoice.Followed => "followed",
                    _ => "nearest",
                }
            );
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
        WebJson.Array(json, "hills", picture.Hills, static (json, hill) =>
        {
            json.WriteString("channel", Cli.ContractWords.Of(hill.Channel));
            json.WriteNumber("hz", hill.FrequencyHz);
            json.WriteNumber("now", hill.NowDb);
            WebJson.Number(json, "peak", hill.PeakDb);
            WebJson.Number(json, "drop", hill.DropDb);
            WebJson.Number(json, "u", hill.UncertaintyDb);
            json.WriteString("side", hill.Side);
            json.WriteNumber("rising", hill.Rising);
            WebJson.Number(json, "wanted", hill.WantedDb);
            json.WriteString("wantedSource", hill.WantedSource);
        });
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

    /// <summary>What is sent meanwhile, for the page to play it.</summary>
    public static void WriteSent(Utf8JsonWriter json, SentSignal sent, SignalProgram? program, double outputDb)
    {
        json.WriteStartObject("sending");
        json.WriteString("name", sent.Name);
        json.WriteNumber("level", outputDb);
        json.WriteBoolean("program", program is not null);
        WebJson.Number(json, "seconds", program?.Seconds);
        WebJson.Array(json, "tones", sent.Tones, static (json, tone) =>
        {
            json.WriteNumber("hz", tone.FrequencyHz);
            json.WriteNumber("db", tone.LevelDb);
        });
        json.WriteEndObject();
    }

    /// <summary>How far the check of the input is.</summary>
    public static void WriteCheck(Utf8JsonWriter json, InputCheck check)
    {
        json.WriteStartObject("check");
        json.WriteNumber("progress", check.Progress);
        json.WriteBoolean("done", check.IsDone);
        if (check.IsDone)
        {
            json.WriteBoolean("usable", check.IsUsable);
            WebJson.Array(json, "notes", check.Notes, WriteNote);
        }

        json.WriteEndObject();
    }

    /// <summary>The controls of the adjustment on the screen: what stands for each and what to turn next.</summary>
    public static void WriteDesk(Utf8JsonWriter json, TurnDesk? desk, PracticeInput? practice)
    {
        if (desk is null)
            return;
        json.WriteStartObject("desk");
        json.WriteString("adjustment", desk.Adjustment.Id);
        WebJson.Array(json, "lines", desk.Lines, (json, line) =>
        {
            json.WriteString("control", line.Control.Name);
            json.WriteString("channel", Cli.ContractWords.Of(line.Control.Channel));
            if (practice?.Knob(line.Control.Name) is { } knob)
            {
                json.WriteStartObject("knob");
                json.WriteString("meaning", knob.Meaning);
                json.WriteNumber("at", knob.ShaftTurns);
                json.WriteNumber("least", knob.LeastTurns);
                json.WriteNumber("most", knob.MostTurns);
                json.WriteEndObject();
            }

            if (line.Now is { } now)
            {
                json.WriteStartObject("now");
                WriteReading(json, now);
                json.WriteString("source", now.Judgement?.Limit.Source);
                json.WriteEndObject();
            }

            json.WriteNumber("moves", line.Moves);
            json.WriteBoolean("pending", line.IsPending);
            if (line.Advice is { } advice)
                WriteAdvice(json, advice);
        });
        json.WriteEndObject();
    }

    /// <summary>What came of measuring a file: readings with verdicts, and notes.</summary>
    public static void WriteMeasured(Utf8JsonWriter json, MeasuredFile measured)
    {
        json.WriteString("sha256", measured.Capture.Sha256);
        WebJson.Array(
            json,
            "readings",
            measured.Result.Readings,
            (json, r) => WriteReading(json, new LiveReading(r, measured.Judgements.FirstOrDefault(j => ReferenceEquals(j.Reading, r))))
        );
        WebJson.Array(json, "notes", measured.Result.Notes, WriteNote);
    }

    private static void WriteNote(Utf8JsonWriter json, Note note)
    {
        json.WriteString("severity", Cli.ContractWords.Of(note.Severity));
        json.WriteString("code", note.Code);
        json.WriteString("text", note.Text);
    }

    private static void WriteAdvice(Utf8JsonWriter json, TurnAdvice advice)
    {
        json.WriteString("outcome", advice.Outcome.ToString());
        json.WriteString("reason", advice.Reason);
        json.WriteBoolean("probe", advice.IsProbe);
        if (advice.Turns is [{ } turn, ..])
            json.WriteString("how", string.Join(", then ", turn.Legs.Select(turn.Control.Unit.Say)));
        if (advice.Expected is [{ } expected, ..])
        {
            json.WriteNumber("expected", expected.Value);
            json.WriteNumber("spread", expected.Spread);
        }
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
