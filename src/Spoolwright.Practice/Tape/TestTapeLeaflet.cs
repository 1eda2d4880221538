using System.Text;
using System.Text.Json;

namespace Spoolwright.Practice.Tape;

/// <summary>The leaflet of a practice tape as its owner would type it in: what the maker states, not what the tape truly holds.</summary>
public static class TestTapeLeaflet
{
    /// <summary>The test tape's file (design, section 5 and 9). Corrections are the certificate's: the true ones rounded to 0.1
    /// dB.</summary>
    /// <param name="tape">The tape.</param>
    /// <param name="toneUncertaintyDb">Uncertainty that the certificate states for each tone, dB, k = 2; null: none stated.</param>
    /// <param name="speedUncertaintyPercent">The same for its speed, %.</param>
    /// <param name="azimuthUncertaintyArcmin">The same for its azimuth, arc minutes.</param>
    public static string ToJson(
        PracticeTape tape, double? toneUncertaintyDb = 0.2, double? speedUncertaintyPercent = 0.1, double? azimuthUncertaintyArcmin = 1)
    {
        ArgumentNullException.ThrowIfNull(tape);
        using var stream = new MemoryStream();
        using (var json = new Utf8JsonWriter(stream, new JsonWriterOptions { Indented = true }))
        {
            json.WriteStartObject();
            json.WriteString("name", tape.Name);
            json.WriteNumber("speedCmPerS", tape.SpeedCmPerS);
            if (tape.CurveName is { } curve)
                json.WriteString("equalization", curve);
            json.WriteNumber("fluxivityNWbPerM", tape.FluxivityNWbPerM);
            WriteTracks(json, tape);
            json.WriteBoolean("fringingCompensated", false);
            WriteOptional(json, "speedUncertaintyPercent", speedUncertaintyPercent);
            WriteOptional(json, "azimuthUncertaintyArcmin", azimuthUncertaintyArcmin);
            json.WriteStartArray("tones");
            foreach (var tone in tape.Tones)
                WriteTone(json, tone, toneUncertaintyDb);
            json.WriteEndArray();
            json.WriteStartArray("corrections");
            foreach (var (hertz, db) in Corrections(tape))
            {
                json.WriteStartObject();
                json.WriteNumber("frequencyHz", hertz);
                json.WriteNumber("db", db);
                json.WriteEndObject();
            }

            json.WriteEndArray();
            json.WriteEndObject();
        }

        return Encoding.UTF8.GetString(stream.ToArray()) + "\n";
    }

    /// <summary>What the certificate says to add to the tones' levels, one figure a frequency, rounded to 0.1 dB; nothing where it rounds
    /// to 0.</summary>
    public static IEnumerable<(double FrequencyHz, double Db)> Corrections(PracticeTape tape)
    {
        ArgumentNullException.ThrowIfNull(tape);
        return tape.Tones
            .GroupBy(t => t.FrequencyHz)
            .Select(g => (g.Key, Math.Round(g.Average(t => t.ErrorDb), 1)))
            .Where(c => c.Item2 != 0);
    }

    private static void WriteTracks(Utf8JsonWriter json, PracticeTape tape)
    {
        if (tape.Strips.Count == 0)
        {
            json.WriteString("recordedTracks", "full");
            return;
        }

        json.WriteStartArray("recordedTracks");
        foreach (var strip in tape.Strips)
        {
            json.WriteStartObject();
            json.WriteNumber("fromMm", strip.FromMm);
            json.WriteNumber("toMm", strip.ToMm);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void WriteTone(Utf8JsonWriter json, PracticeTone tone, double? uncertaintyDb)
    {
        json.WriteStartObject();
        json.WriteNumber("frequencyHz", tone.FrequencyHz);
        json.WriteNumber("levelDb", tone.LevelDb);
        json.WriteNumber("seconds", tone.Seconds);
        json.WriteString("role", tone.Role switch
        {
            PracticeToneRole.Reference => "reference",
            PracticeToneRole.Azimuth => "azimuth",
            _ => "response",
        });
        WriteOptional(json, "uncertainty", uncertaintyDb);
        json.WriteEndObject();
    }

    private static void WriteOptional(Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number)
            json.WriteNumber(name, number);
    }
}
