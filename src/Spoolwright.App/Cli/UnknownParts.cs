using Spoolwright.Bench;
using Spoolwright.Bench.Measurements;

namespace Spoolwright.App.Cli;

/// <summary>Says under a table what its ± leaves out because nobody knows it, and the option that would tell.</summary>
internal static class UnknownParts
{
    /// <summary>Writes a line for each set of readings that lack the same; nothing where all parts are known.</summary>
    public static void Write(MeasurementEntry entry, IReadOnlyList<Reading> readings, Terminal terminal)
    {
        var lacking = readings
            .Where(r => r.Uncertainty is not null)
            .Select(r =>
                (
                    r.Quantity,
                    Parts: string.Join(
                        ", ",
                        r.Parts.Where(p => p.Expanded is null && p.Name != Reading.AtLeastPart).Select(p => Word(p.Name, entry.Takes))
                    )
                )
            )
            .ToList();
        foreach (var parts in lacking.Where(l => l.Parts.Length > 0).Distinct().GroupBy(l => l.Parts, StringComparer.Ordinal))
        {
            var all = lacking.All(l => l.Parts == parts.Key);
            TextLayout.WriteParagraph(
                terminal.Output,
                $"± leaves out what is not known: {parts.Key}{(all ? "" : $" (of {string.Join(", ", parts.Select(p => p.Quantity))})")}",
                terminal.Width
            );
        }
    }

    private static string Word(string part, SettingKinds takes) =>
        part switch
        {
            "interface-clock" => "interface clock" + Option(takes, SettingKinds.Clock, "--clock-uncertainty"),
            "test-tape" => "test tape" + Option(takes, SettingKinds.TestTape, "--test-tape, where its leaflet says it"),
            _ when part.StartsWith("interface-", StringComparison.Ordinal) => part.Replace('-', ' ')
                + Option(takes, SettingKinds.Loopback, "--loopback"),
            _ => part.Replace('-', ' '),
        };

    private static string Option(SettingKinds takes, SettingKinds kind, string option) => takes.HasFlag(kind) ? $" ({option})" : "";
}
