using System.Text.Json;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Instruments;

/// <summary>Writes a test tape as the file that <see cref="TestTapeFile.Parse"/> reads.</summary>
internal static class TestTapeWriter
{
    public static string Write(TestTape tape)
    {
        ArgumentNullException.ThrowIfNull(tape);
        return JsonFields.Write(json =>
        {
            json.WriteString("name", tape.Name);
            json.WriteNumber("speedCmPerS", tape.SpeedCmPerS);
            json.WriteOptional("speedUncertaintyPercent", tape.SpeedUncertaintyPercent);
            json.WriteOptional("azimuthUncertaintyArcmin", tape.AzimuthUncertaintyArcmin);
            json.WriteOptional("equalization", tape.Equalization);
            json.WriteOptional("fluxivityNWbPerM", tape.FluxivityNWbPerM);
            RecordedTracks(json, tape);
            if (tape.FringingCompensated is { } compensated)
                json.WriteBoolean("fringingCompensated", compensated);
            json.WriteList("tones", tape.Tones, Tone);
            json.WriteList("corrections", tape.Corrections, Correction);
        });
    }

    private static void RecordedTracks(Utf8JsonWriter json, TestTape tape)
    {
        if (tape.RecordedTracks == RecordedTracksKind.Full)
            json.WriteString("recordedTracks", "full");
        else if (tape.RecordedTracks == RecordedTracksKind.SameAsDeck)
            json.WriteString("recordedTracks", "same-as-deck");
        else if (tape.RecordedTracks == RecordedTracksKind.Bands)
            json.WriteList("recordedTracks", tape.RecordedBands, Band);
    }

    private static void Band(Utf8JsonWriter json, TrackBand band)
    {
        json.WriteStartObject();
        json.WriteNumber("fromMm", band.FromMm);
        json.WriteNumber("toMm", band.ToMm);
        json.WriteEndObject();
    }

    private static void Tone(Utf8JsonWriter json, TestTone tone)
    {
        json.WriteStartObject();
        json.WriteNumber("frequencyHz", tone.FrequencyHz);
        json.WriteNumber("levelDb", tone.LevelDb);
        json.WriteNumber("seconds", tone.Seconds);
        json.WriteString("role", TestTapeFile.Word(tone.Role));
        json.WriteOptional("uncertainty", tone.UncertaintyDb);
        json.WriteEndObject();
    }

    private static void Correction(Utf8JsonWriter json, ToneCorrection correction)
    {
        json.WriteStartObject();
        json.WriteNumber("frequencyHz", correction.FrequencyHz);
        json.WriteNumber("db", correction.Db);
        json.WriteOptional("uncertainty", correction.UncertaintyDb);
        json.WriteEndObject();
    }
}
