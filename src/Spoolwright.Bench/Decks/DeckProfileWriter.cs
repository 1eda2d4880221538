using System.Text.Json;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Limits;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.Bench.Decks;

/// <summary>Writes a deck profile as the file that <see cref="DeckProfileFile.Parse"/> reads.</summary>
internal static class DeckProfileWriter
{
    public static string Write(DeckProfile profile)
    {
        ArgumentNullException.ThrowIfNull(profile);
        return JsonFields.Write(json =>
        {
            json.WriteString("name", profile.Name);
            json.WriteList("directions", profile.Directions, (j, d) => j.WriteStringValue(DeckWords.Word(d)));
            json.WriteList("speedsCmPerS", profile.SpeedsCmPerS, (j, s) => j.WriteNumberValue(s));
            json.WriteList("tapeSettings", profile.TapeSettings, (j, s) => j.WriteStringValue(s));
            if (profile.WantedDrops.Count > 0)
                json.WriteList("wantedDrops", profile.WantedDrops, Drop);
            json.WriteList("tracks", profile.Tracks, Tracks);
            json.WriteList("equalizations", profile.Equalizations, Equalization);
            json.WriteList("rotatingParts", profile.RotatingParts, Part);
            json.WriteList("limits", profile.Limits, Limit);
            if (profile.Plan is { } plan)
                Whole(json, "plan", PlanFile.ToJson(plan));
            if (profile.FunctionChecks is { } checks)
                Whole(json, "functionChecks", CheckListFile.ToJson(checks));
        });
    }

    // A file of its own kind, set in as it is: its indentation counts from its own margin.
    private static void Whole(Utf8JsonWriter json, string name, string text)
    {
        json.WritePropertyName(name);
        json.WriteRawValue(text);
    }

    private static void Drop(Utf8JsonWriter json, ProfileWantedDrop drop)
    {
        json.WriteStartObject();
        json.WriteString("tapeSetting", drop.TapeSetting);
        json.WriteOptional("speedCmPerS", drop.SpeedCmPerS);
        json.WriteNumber("frequencyHz", drop.FrequencyHz);
        json.WriteNumber("dropDb", drop.DropDb);
        json.WriteString("source", drop.Source);
        json.WriteEndObject();
    }

    private static void Tracks(Utf8JsonWriter json, DirectionTracks tracks)
    {
        json.WriteStartObject();
        json.WriteString("direction", DeckWords.Word(tracks.Direction));
        Band(json, "left", tracks.Left);
        Band(json, "right", tracks.Right);
        json.WriteEndObject();
    }

    private static void Band(Utf8JsonWriter json, string name, TrackBand band)
    {
        json.WriteStartObject(name);
        json.WriteNumber("fromMm", band.FromMm);
        json.WriteNumber("toMm", band.ToMm);
        json.WriteEndObject();
    }

    private static void Equalization(Utf8JsonWriter json, ProfileEqualization equalization)
    {
        json.WriteStartObject();
        json.WriteNumber("speedCmPerS", equalization.SpeedCmPerS);
        json.WriteString("name", equalization.Name);
        json.WriteNumber("trebleMicroseconds", equalization.TrebleMicroseconds);
        json.WriteOptional("bassMicroseconds", equalization.BassMicroseconds);
        json.WriteEndObject();
    }

    private static void Part(Utf8JsonWriter json, RotatingPart part)
    {
        json.WriteStartObject();
        json.WriteString("name", part.Name);
        json.WriteString("kind", DeckWords.Word(part.Kind));
        json.WriteOptional("diameterMm", part.DiameterMm);
        json.WriteOptional("rateHz", part.RateHz);
        json.WriteOptional("turnsPerCapstanTurn", part.TurnsPerCapstanTurn);
        json.WriteOptional("beltLengthMm", part.BeltLengthMm);
        json.WriteOptional("pulleyDiameterMm", part.PulleyDiameterMm);
        json.WriteOptional("pulleyOn", part.PulleyOn);
        json.WriteOptional("hubRadiusMm", part.HubRadiusMm);
        json.WriteOptional("fullRadiusMm", part.FullRadiusMm);
        json.WriteList("directions", part.Directions, (j, d) => j.WriteStringValue(DeckWords.Word(d)));
        json.WriteList("speedsCmPerS", part.SpeedsCmPerS, (j, s) => j.WriteNumberValue(s));
        json.WriteNumber("harmonics", part.Harmonics);
        json.WriteEndObject();
    }

    private static void Limit(Utf8JsonWriter json, Limit limit)
    {
        json.WriteStartObject();
        json.WriteString("quantity", limit.Quantity);
        json.WriteOptional("min", limit.Min);
        json.WriteOptional("max", limit.Max);
        json.WriteList("mask", limit.Mask, Step);
        json.WriteOptional("speedCmPerS", limit.SpeedCmPerS);
        json.WriteOptional("direction", limit.Direction is { } direction ? DeckWords.Word(direction) : null);
        json.WriteOptional("tapeSetting", limit.TapeSetting);
        json.WriteOptional("frequencyHz", limit.FrequencyHz);
        json.WriteString("source", limit.Source);
        json.WriteEndObject();
    }

    private static void Step(Utf8JsonWriter json, MaskStep step)
    {
        json.WriteStartObject();
        json.WriteNumber("fromHz", step.FromHz);
        json.WriteNumber("toHz", step.ToHz);
        json.WriteNumber("minDb", step.MinDb);
        json.WriteNumber("maxDb", step.MaxDb);
        json.WriteEndObject();
    }
}
