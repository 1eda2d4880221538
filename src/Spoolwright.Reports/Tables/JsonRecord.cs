using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace Spoolwright.Reports;

/// <summary>The record's data as JSON: camelCase names, kebab-case words, numbers to the last bit, curves included.</summary>
public static class JsonRecord
{
    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        WriteIndented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping, // a file, not part of a page: ± and µ stay readable
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.KebabCaseLower) },
    };

    /// <summary>Writes the data.</summary>
    public static string Write(RecordData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        // The passes and the instruments are views of the conditions; written once, where they belong.
        return JsonSerializer.Serialize(
            new
            {
                data.Deck,
                data.Job,
                data.Workshop,
                data.Written,
                data.ProgramVersion,
                Conditions = data.Conditions.Select(c => new
                {
                    c.Condition,
                    Passes = c.Passes.Select(p => new { p.Mark, p.Measurements, p.Judgements, p.Missing }),
                }),
                data.Calibrations,
                data.Instruments,
                data.SupersededMeasurements,
                data.AcceptedFaults,
                Causes = data.Ailments is { } ailments ? CausesSection.Of(ailments) : null,
                data.DoesNotProve,
            },
            Options);
    }
}
