using Spoolwright.Bench.Measurements;

namespace Spoolwright.App.Cli;

/// <summary>Example calls of <c>measure</c>, made of the options that the entry takes and needs.</summary>
internal static class MeasureExamples
{
    public static IReadOnlyList<HelpRow> For(MeasurementEntry entry)
    {
        var needs = entry.Needs.HasFlag(SettingKinds.TestTape) ? " --test-tape tape.json" : "";
        var call = $"spoolwright measure {entry.Id} capture.wav{needs}";
        var examples = new List<HelpRow> { new(call, "Prints the readings as a table.") };
        if (entry.Takes.HasFlag(SettingKinds.Deck))
            examples.Add(new($"{call} --profile deck.json --direction reverse --speed 19.05", "Judges the readings against the deck's limits for that pass."));
        examples.Add(new($"{call} --limit {Limit(entry)}", "Holds one reading against a limit: the exit code is 1 where it is not met."));
        examples.Add(new($"{call} --json", "Prints one JSON object for another program."));
        return examples;
    }

    /// <summary>A limit that makes sense for the entry.</summary>
    public static string Limit(MeasurementEntry entry) => entry.Id switch
    {
        "speed" => "wow-flutter-quasi-peak=0.1",
        "playback" => "response=-3..3",
        "bias" => "overbias-error=0.3",
        "record" => "response=-3..3",
        "azimuth" => "azimuth-angle=3",
        _ => $"{entry.Yields[0].Id}=LOW..HIGH",
    };
}
