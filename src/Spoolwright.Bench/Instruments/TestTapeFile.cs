using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Instruments;

/// <summary>Reads and writes the file that a person makes from their test tape's leaflet.</summary>
public static class TestTapeFile
{
    private static readonly string[] Roles = ["reference", "azimuth", "response"];
    private static readonly string[] Bands = ["full", "same-as-deck"];
    private static readonly NumberRange Frequency = NumberRange.Positive(100_000, "Hz");
    private static readonly NumberRange LevelDb = new(-100, 40, "dB");
    private static readonly NumberRange Length = NumberRange.Positive(7200, "s");
    private static readonly NumberRange UncertaintyDb = new(0, 40, "dB");

    /// <summary>
    /// Reads a test tape. Bad text never throws: every problem is listed with its line and column. Comments and trailing commas are
    /// allowed; a property that is not known is only warned of, since people add remarks to their tapes.
    /// </summary>
    /// <param name="json">The file's text.</param>
    public static ParsedFile<TestTape> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var tape = root is null ? null : Read(root, problems);
        return new ParsedFile<TestTape>(problems.HasErrors ? null : tape, problems.InOrder());
    }

    /// <summary>The tape as a file, in the preferred form; <see cref="Parse"/> reads the same tape from it.</summary>
    public static string ToJson(TestTape tape) => TestTapeWriter.Write(tape);

    /// <summary>The file's word for a tone's role.</summary>
    internal static string Word(ToneRole role) => Roles[(int)role];

    private static TestTape? Read(JsonPart root, ProblemList problems)
    {
        if (ObjectFields.Of(root, problems, "a test tape {\"name\": …, \"speedCmPerS\": …, \"tones\": […], …}") is not { } fields)
            return null;
        var name = fields.Text("name", required: true);
        var (speed, speedUncertainty) = TapeSpeedFields.Read(fields);
        var azimuthUncertainty = TapeSpeedFields.ReadAzimuth(fields);
        var equalization = fields.Text("equalization");
        var fluxivity = fields.Number("fluxivityNWbPerM", NumberRange.Positive(10_000, "nWb/m"));
        var tones = ReadTones(fields);
        var corrections = ReadCorrections(fields, tones);
        var (kind, bands) = ReadRecordedTracks(fields);
        var compensated = fields.Truth("fringingCompensated");
        fields.ReportUnknown(FileProblemSeverity.Warning);
        if (problems.HasErrors)
            return null;
        return new TestTape
        {
            Name = name!,
            SpeedCmPerS = speed!.Value,
            Equalization = equalization,
            FluxivityNWbPerM = fluxivity,
            Tones = tones,
            Corrections = corrections,
            RecordedTracks = kind,
            RecordedBands = bands,
            FringingCompensated = compensated,
            SpeedUncertaintyPercent = speedUncertainty,
            AzimuthUncertaintyArcmin = azimuthUncertainty,
        };
    }

    private static List<TestTone> ReadTones(ObjectFields tape)
    {
        var problems = tape.Problems;
        var list = tape.Any("tones", required: true);
        var items = tape.Items("tones");
        var tones = items.Select(i => ReadTone(i, problems)).OfType<TestTone>().ToList();
        if (list is not { Kind: JsonKind.Array, Closed: true })
            return tones;
        if (items.Count == 0)
            problems.Error(list, "the list of tones is empty; expected the tones in the tape's order");
        else if (tones.Count == items.Count && !tones.Exists(t => t.Role == ToneRole.Reference))
            problems.Error(list, "no tone has the role \"reference\": without one there is nothing to read the others against");
        return tones;
    }

    private static TestTone? ReadTone(JsonPart part, ProblemList problems)
    {
        if (ObjectFields.Of(part, problems, "a tone {\"frequencyHz\": …, \"levelDb\": …, \"seconds\": …, \"role\": …}") is not { } fields)
            return null;
        var frequency = fields.Number("frequencyHz", Frequency, required: true);
        var level = fields.Number("levelDb", LevelDb, required: true);
        var seconds = fields.Number("seconds", Length, required: true);
        var role = fields.Word("role", Roles, required: true);
        var uncertainty = Either(fields, "uncertainty", "uncertaintyDb");
        fields.ReportUnknown(FileProblemSeverity.Warning);
        if (frequency is null || level is null || seconds is null || role is null)
            return null;
        return new TestTone(frequency.Value, level.Value, seconds.Value, (ToneRole)Array.IndexOf(Roles, role), uncertainty);
    }

    private static List<ToneCorrection> ReadCorrections(ObjectFields tape, List<TestTone> tones)
    {
        var problems = tape.Problems;
        var found = new List<ToneCorrection>();
        var seen = new HashSet<double>();
        var onTape = tones.Select(t => t.FrequencyHz).ToHashSet();
        foreach (var part in tape.Items("corrections"))
        {
            if (ObjectFields.Of(part, problems, "a correction {\"frequencyHz\": …, \"db\": …}") is not { } fields)
                continue;
            var frequency = fields.Number("frequencyHz", Frequency, required: true);
            var db = fields.Number("db", new NumberRange(-40, 40, "dB"), required: true);
            var uncertainty = Either(fields, "uncertainty", "uncertaintyDb");
            fields.ReportUnknown(FileProblemSeverity.Warning);
            if (frequency is null || db is null)
                continue;
            if (!seen.Add(frequency.Value))
                problems.Error(part, $"the correction at {Quoted.Number(frequency.Value)} Hz stands twice");
            else if (tones.Count > 0 && !onTape.Contains(frequency.Value) && !problems.Full)
                problems.Warning(part,
                    $"no tone has exactly {Quoted.Number(frequency.Value)} Hz: the correction is not "
                        + $"used{NearestTone(frequency.Value, tones)}");
            found.Add(new ToneCorrection(frequency.Value, db.Value, uncertainty));
        }

        return found;
    }

    private static string NearestTone(double frequency, List<TestTone> tones)
    {
        var nearest = tones.MinBy(t => Math.Abs(Math.Log(t.FrequencyHz / frequency)))!.FrequencyHz;
        return Math.Abs(nearest / frequency - 1) < 0.06 ? $"; did you mean {Quoted.Number(nearest)}?" : "";
    }

    private static double? Either(ObjectFields fields, string name, string alias)
    {
        var first = fields.Number(name, UncertaintyDb);
        var second = fields.Number(alias, UncertaintyDb);
        if (fields.Any(name) is not null && fields.Any(alias) is { } twice)
            fields.Problems.Error(twice, $"give either {name} or {alias}, not both");
        return first ?? second;
    }

    private static (RecordedTracksKind Kind, IReadOnlyList<TrackBand> Bands) ReadRecordedTracks(ObjectFields tape)
    {
        if (tape.Any("recordedTracks") is not { } part)
            return (RecordedTracksKind.Unknown, []);
        var problems = tape.Problems;
        if (part.Kind != JsonKind.Array)
        {
            var near = part.Kind == JsonKind.Text ? NearestWord.Question(part.Text, Bands) : "";
            if (part.Kind == JsonKind.Text && Bands.Contains(part.Text, StringComparer.Ordinal))
                return (part.Text == "full" ? RecordedTracksKind.Full : RecordedTracksKind.SameAsDeck, []);
            problems.Error(
                part,
                $"expected \"full\", \"same-as-deck\" or strips [{{\"fromMm\": …, \"toMm\": …}}], found {part.Described}{near}"
            );
            return (RecordedTracksKind.Unknown, []);
        }

        if (part is { Closed: true, Items.Count: 0 })
            problems.Error(part, "the list of strips is empty; leave recordedTracks out where it is not known");
        var strips = part.Items.Select(i => (Json: i, Band: TrackFields.Band(i, problems)))
            .Where(s => s.Band is not null)
            .OrderBy(s => s.Band!.FromMm)
            .ToList();
        for (var i = 1; i < strips.Count; i++)
        {
            if (TrackFields.Overlap(strips[i - 1].Band!, strips[i].Band!))
                problems.Error(strips[i].Json,
                    $"this strip overlaps the one from {Quoted.Number(strips[i - 1].Band!.FromMm)} to "
                        + $"{Quoted.Number(strips[i - 1].Band!.ToMm)} mm");
        }

        return (RecordedTracksKind.Bands, [.. strips.Select(s => s.Band!)]);
    }
}
