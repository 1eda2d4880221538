using System.Text.Encodings.Web;
using System.Text.Json;
using Spoolwright.Bench.Causes;

namespace Spoolwright.App.Cli;

/// <summary>Prints rows of the trade's symptom table.</summary>
internal static class SymptomTable
{
    private static readonly JsonSerializerOptions Options = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    public static void Write(IReadOnlyList<Symptom> rows, bool json, Terminal terminal)
    {
        if (json)
        {
            terminal.Output.WriteLine(JsonSerializer.Serialize(new { symptoms = rows }, Options));
            return;
        }

        void Say(string text, int indent = 0) => TextLayout.WriteParagraph(terminal.Output, text, terminal.Width, indent);
        if (rows.Count == 0)
            Say("No row holds all of these words; fewer of them, or their beginnings, find more.");
        foreach (var row in rows)
        {
            Say($"{row.Said} [{row.Tag}]");
            Say($"likely: {row.Means}", 4);
            Say($"to tell: {row.Try}", 4);
            Say(
                row.Causes.Count == 0
                    ? "no reading tells it: eyes, ears and a meter"
                    : $"readings tell of: {string.Join(", ", row.Causes)}",
                4
            );
        }

        if (rows.Count > 0)
            Say(
                "[memory]: known in the trade and found in no document. Mains and stored charge: leave work on them to those licensed for it."
            );
    }
}
