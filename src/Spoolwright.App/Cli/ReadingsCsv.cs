using System.Globalization;
using Spoolwright.Bench;
using Spoolwright.Bench.Limits;

namespace Spoolwright.App.Cli;

/// <summary>Writes readings as comma-separated text, one line each under a line of names; fields are quoted where they must be.</summary>
public static class ReadingsCsv
{
    private static readonly string[] Names =
    [
        "file", "measurement", "quantity", "value", "unit", "uncertainty", "channel", "frequencyHz", "verdict", "part", "confidence",
        "judgeable", "method", "sha256", "place",
    ];

    /// <summary>Writes every reading; <c>verdict</c> is the worst of the limits that speak of it, empty where none does.</summary>
    public static void Write(MeasuredFile measured, TextWriter to)
    {
        ArgumentNullException.ThrowIfNull(measured);
        ArgumentNullException.ThrowIfNull(to);
        // All or nothing: no line leaves the program before every figure is known to be finite.
        var lines = new List<string> { string.Join(',', Names) };
        foreach (var reading in measured.Result.Readings)
        {
            string?[] fields =
            [
                measured.Capture.File,
                measured.Result.Measurement,
                reading.Quantity,
                Number(reading.Value),
                reading.Unit,
                Number(reading.Uncertainty),
                ContractWords.Of(reading.Channel),
                Number(reading.FrequencyHz),
                VerdictOn(reading, measured.Judgements),
                reading.Part,
                Number(reading.Confidence),
                reading.Judgeable ? "true" : "false",
                reading.Method,
                measured.Capture.Sha256,
                reading.Place,
            ];
            lines.Add(string.Join(',', fields.Select(Field)));
        }

        foreach (var line in lines)
            to.WriteLine(line);
    }

    /// <summary>Writes what has no line of its own there: notes, and limits without a reading.</summary>
    public static void WriteAside(MeasuredFile measured, TextWriter to)
    {
        ArgumentNullException.ThrowIfNull(measured);
        ArgumentNullException.ThrowIfNull(to);
        foreach (var note in measured.Result.Notes)
            to.WriteLine($"{ContractWords.Of(note.Severity)}: {note.Text}");
        foreach (var judgement in measured.Judgements.Where(j => j.Reading is null))
            to.WriteLine($"{ContractWords.Of(judgement.Verdict)}: {judgement.Limit.Quantity}: {judgement.Reason}");
    }

    private static string? VerdictOn(Reading reading, IReadOnlyList<Judgement> judgements)
    {
        var verdicts = judgements.Where(j => ReferenceEquals(j.Reading, reading)).Select(j => j.Verdict).ToList();
        return verdicts.Count == 0 ? null : ContractWords.Of(Judge.Overall(verdicts));
    }

    private static string? Number(double? value) => value switch
    {
        null => null,
        { } number when double.IsFinite(number) => number.ToString("R", CultureInfo.InvariantCulture),
        _ => throw new ArgumentException($"a figure is {value}", nameof(value)),
    };

    private static string Field(string? text) =>
        text is null ? "" : text.AsSpan().IndexOfAny(",\"\r\n") < 0 ? text : $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
