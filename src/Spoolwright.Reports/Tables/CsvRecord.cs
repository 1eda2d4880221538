using System.Globalization;
using System.Text;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.Reports;

/// <summary>Every reading of the record as one line of CSV (RFC 4180, UTF-8, decimal point, numbers to the last bit), in the record's
/// order.</summary>
public static class CsvRecord
{
    private static readonly string[] Columns =
    [
        "profile", "serialNumber", "direction", "speedCmPerS", "tapeSetting", "mark", "measurement", "quantity", "channel", "frequencyHz",
            "value", "unit", "uncertainty",
        "uncertaintyParts", "part", "judgeable", "verdict", "margin", "limit", "limitSource", "method", "measuredAt", "captureSha256",
            "programVersion",
    ];

    /// <summary>Writes the readings; a cell that could not be measured has a line with an empty value and the verdict
    /// <c>not-measured</c>.</summary>
    public static string Write(RecordData data)
    {
        ArgumentNullException.ThrowIfNull(data);
        var text = new StringBuilder();
        Line(text, Columns);
        foreach ((Condition condition, RecordedPass pass) in data.Passes)
        {
            string[] cell = [data.Deck.ProfileName, data.Deck.SerialNumber, Words.Of(condition.Direction), Number(condition.SpeedCmPerS),
                condition.TapeSetting ?? string.Empty, Words.Id(pass.Mark)];
            var judged = pass.Judgements.Where(j => j.Reading is not null).ToLookup(j => j.Reading!);
            foreach (PassMeasurement m in pass.Measurements)
            {
                foreach (Reading r in m.Result.Readings)
                    Line(text, [.. cell, m.Entry.Measurement, .. Fields(r, Text.Summary.Worst(judged[r])),
                        m.Entry.MeasuredAt.ToString("O", CultureInfo.InvariantCulture), m.Entry.Capture.Sha256, m.Entry.ProgramVersion]);
            }

            foreach (Judgement j in pass.Judgements.Where(j => j.Reading is null))
            {
                string unit = Quantity.Find(j.Limit.Quantity)?.Unit ?? string.Empty;
                Line(text, [.. cell, string.Empty, j.Limit.Quantity, string.Empty, Number(j.Limit.FrequencyHz), string.Empty, unit,
                    string.Empty, string.Empty, string.Empty, string.Empty,
                    Words.Id(j.Verdict), string.Empty, Words.Of(j.Limit, unit), j.Limit.Source, j.Reason ?? string.Empty, string.Empty,
                        string.Empty, string.Empty]);
            }
        }

        return text.ToString();
    }

    private static string[] Fields(Reading r, Judgement? j) =>
    [
        r.Quantity, Words.Of(r.Channel), Number(r.FrequencyHz), Number(r.Value), r.Unit, Number(r.Uncertainty),
        string.Join("; ", r.Parts.Select(p => $"{p.Name}={(p.Expanded is { } u ? Number(u) : "unknown")}")), r.Part ?? string.Empty,
            r.Judgeable ? "true" : "false",
        j is null ? string.Empty : Words.Id(j.Verdict), Number(j?.Margin), j is null ? string.Empty
            : Words.Of(j.Limit, r.Unit, r.FrequencyHz), j?.Limit.Source ?? string.Empty, r.Method,
    ];

    private static string Number(double? value) => value?.ToString("R", CultureInfo.InvariantCulture) ?? string.Empty;

    private static void Line(StringBuilder text, string[] fields) => text.AppendJoin(',', fields.Select(Quoted)).Append("\r\n");

    private static string Quoted(string field)
    {
        // A spreadsheet would run a typed text that begins like a formula; a quote before it keeps it text. Numbers pass as they are.
        if (field.Length > 0 && field[0] is '=' or '+' or '-' or '@'
            && !double.TryParse(field, NumberStyles.Float, CultureInfo.InvariantCulture, out _))
            field = "'" + field;
        return field.AsSpan().IndexOfAny(",\"\r\n") < 0 ? field : $"\"{field.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
    }
}
