using System.Globalization;
using System.Text.Json;
using Spoolwright.Bench.Files;

namespace Spoolwright.Bench.Instruments;

/// <summary>Reads and writes an interface's calibration as a file that a person can read.</summary>
public static class LoopbackFile
{
    private static readonly NumberRange Frequency = NumberRange.Positive(100_000, "Hz");
    private static readonly NumberRange Db = new(-100, 40, "dB");
    private static readonly NumberRange SpreadDb = new(0, 40, "dB");
    private static readonly NumberRange Percent = new(0, 1000, "%");
    private static readonly NumberRange Degrees = new(-180, 180, "degrees");
    private static readonly NumberRange SpreadDegrees = new(0, 360, "degrees");

    /// <summary>Reads a calibration. Bad text never throws: every problem is listed with its line and column.</summary>
    public static ParsedFile<LoopbackCalibration> Parse(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        var problems = new ProblemList();
        var root = LocatedJson.Read(json, problems);
        var calibration = root is null ? null : Read(root, problems);
        return new ParsedFile<LoopbackCalibration>(problems.HasErrors ? null : calibration, problems.InOrder());
    }

    /// <summary>The calibration as a file; <see cref="Parse"/> reads the same from it.</summary>
    public static string ToJson(LoopbackCalibration calibration)
    {
        ArgumentNullException.ThrowIfNull(calibration);
        return JsonFields.Write(json =>
        {
            json.WriteString("interface", calibration.Interface);
            json.WriteString("measuredOn", calibration.MeasuredOn.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
            json.WriteNumber("sampleRateHz", calibration.SampleRateHz);
            json.WriteString("captureSha256", calibration.CaptureSha256);
            json.WriteNumber("referenceHz", calibration.ReferenceHz);
            json.WriteOptional("timeSkewMicroseconds", calibration.SkewMicroseconds);
            json.WriteOptional(
                "timeSkewUncertaintyMicroseconds",
                calibration.SkewMicroseconds is null ? null : calibration.SkewUncertaintyMicroseconds
            );
            json.WriteList("tones", calibration.Tones, Tone);
        });
    }

    private static void Tone(Utf8JsonWriter json, LoopbackTone tone)
    {
        json.WriteStartObject();
        json.WriteNumber("frequencyHz", tone.FrequencyHz);
        json.WriteOptional("leftDb", tone.LeftDb);
        json.WriteOptional("leftUncertaintyDb", tone.LeftDb is null ? null : tone.LeftUncertaintyDb);
        json.WriteOptional("rightDb", tone.RightDb);
        json.WriteOptional("rightUncertaintyDb", tone.RightDb is null ? null : tone.RightUncertaintyDb);
        json.WriteOptional("phaseDegrees", tone.PhaseDegrees);
        json.WriteOptional("phaseUncertaintyDegrees", tone.PhaseDegrees is null ? null : tone.PhaseUncertaintyDegrees);
        json.WriteOptional("leftMostThdPercent", tone.LeftMostThdPercent);
        json.WriteOptional("rightMostThdPercent", tone.RightMostThdPercent);
        json.WriteEndObject();
    }

    private static LoopbackCalibration? Read(JsonPart root, ProblemList problems)
    {
        if (
            ObjectFields.Of(root, problems, "a calibration {\"interface\": …, \"measuredOn\": …, \"sampleRateHz\": …, \"tones\": […], …}")
            is not { } fields
        )
            return null;
        var name = fields.Text("interface", required: true);
        var day = ReadDay(fields, problems);
        var rate = fields.Number("sampleRateHz", new NumberRange(8000, 768_000, "Hz"), required: true);
        var hash = fields.Text("captureSha256", required: true);
        if (hash is not null && (hash.Length != 64 || !hash.All(char.IsAsciiHexDigitLower)))
            problems.Error(fields.Any("captureSha256")!, "expected 64 lower-case hexadecimal digits");
        var reference = fields.Number("referenceHz", Frequency, required: true);
        var skew = fields.Number("timeSkewMicroseconds", new NumberRange(-100_000, 100_000, "µs"));
        var spread = fields.Number("timeSkewUncertaintyMicroseconds", new NumberRange(0, 100_000, "µs"));
        var list = fields.Any("tones", required: true);
        var tones = fields.Items("tones").Select(i => ReadTone(i, problems)).OfType<LoopbackTone>().ToList();
        if (list is { Kind: JsonKind.Array, Closed: true, Items.Count: 0 })
            problems.Error(list, "the list of tones is empty");
        for (var i = 1; i < tones.Count && list is not null; i++)
        {
            if (tones[i].FrequencyHz <= tones[i - 1].FrequencyHz)
                problems.Error(
                    list,
                    $"the tones must stand by rising frequency; {Quoted.Number(tones[i].FrequencyHz)} Hz follows {Quoted.Number(tones[i - 1].FrequencyHz)} Hz"
                );
        }

        fields.ReportUnknown(FileProblemSeverity.Warning);
        if (problems.HasErrors)
            return null;
        return new LoopbackCalibration
        {
            Interface = name!,
            MeasuredOn = day!.Value,
            SampleRateHz = (int)rate!.Value,
            CaptureSha256 = hash!,
            ReferenceHz = reference!.Value,
            SkewMicroseconds = skew,
            SkewUncertaintyMicroseconds = spread ?? 0,
            Tones = tones,
        };
    }

    private static DateOnly? ReadDay(ObjectFields fields, ProblemList problems)
    {
        if (fields.Text("measuredOn", required: true) is not { } text)
            return null;
        if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day))
            return day;
        problems.Error(fields.Any("measuredOn")!, $"expected a day such as \"2026-03-31\", found {Quoted.Text(text)}");
        return null;
    }

    private static LoopbackTone? ReadTone(JsonPart part, ProblemList problems)
    {
        if (
            ObjectFields.Of(part, problems, "a tone {\"frequencyHz\": …, \"leftDb\": …, \"rightDb\": …, \"phaseDegrees\": …}")
            is not { } fields
        )
            return null;
        var frequency = fields.Number("frequencyHz", Frequency, required: true);
        double? left = fields.Number("leftDb", Db), right = fields.Number("rightDb", Db), phase = fields.Number("phaseDegrees", Degrees);
        double? leftSpread = fields.Number("leftUncertaintyDb", SpreadDb, required: left is not null);
        double? rightSpread = fields.Number("rightUncertaintyDb", SpreadDb, required: right is not null);
        double? phaseSpread = fields.Number("phaseUncertaintyDegrees", SpreadDegrees, required: phase is not null);
        double? leftMost = fields.Number("leftMostThdPercent", Percent), rightMost = fields.Number("rightMostThdPercent", Percent);
        fields.ReportUnknown(FileProblemSeverity.Warning);
        return frequency is { } hz
            ? new LoopbackTone(hz, left, leftSpread ?? 0, right, rightSpread ?? 0, phase, phaseSpread ?? 0, leftMost, rightMost)
            : null;
    }
}
