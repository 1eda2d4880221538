using Spoolwright.Bench.Measurements;

namespace Spoolwright.App.Cli;

/// <summary>Example calls of <c>measure</c>, made of the options that the entry takes and needs.</summary>
internal static class MeasureExamples
{
    public static IReadOnlyList<(string Call, string Does)> For(MeasurementEntry entry)
    {
        var needs = entry.Needs.HasFlag(SettingKinds.TestTape) ? " --test-tape tape.json" : "";
        var call = $"spoolwright measure {entry.Id} capture.wav{needs}";
        var examples = new List<(string, string)> { (call, "Prints the readings as a table.") };
        if (entry.Takes.HasFlag(SettingKinds.Deck))
            examples.Add(($"{call} --profile deck.json --direction reverse --speed 19.05", "Judges the readings against the deck's limits for that pass."));
        if (entry.Takes.HasFlag(SettingKinds.Nominal))
            examples.Add(($"{call} --nominal 1000 --limit wow-flutter-quasi-peak=0.1", "Takes a tone of 1 kHz, and holds the flutter by its quasi-peak detector against 0.1 %."));
        examples.Add(($"{call} --json", "Prints one JSON object for another program."));
        return examples;
    }
}
