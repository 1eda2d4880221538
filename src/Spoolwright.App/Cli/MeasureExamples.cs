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
            examples.Add(
                new(
                    $"{call} --profile deck.json --direction reverse --speed 19.05",
                    "Judges the readings against the deck's limits for that pass."
                )
            );
        if (entry.Takes.HasFlag(SettingKinds.ReferenceLevel))
            examples.Add(new($"{call} --reference-level -12.1,-12.4", "Holds what is read against the reference level, left and right."));
        if (entry.Takes.HasFlag(SettingKinds.Recorded))
            examples.Add(new($"{call} --recorded before.wav", "Reads the tone as it was recorded from a capture of its own."));
        if (entry.Takes.HasFlag(SettingKinds.Dropout))
            examples.Add(new($"{call} --depth 10 --length 20", "Counts only what is at least 10 dB deep and 20 ms long."));
        if (entry.Takes.HasFlag(SettingKinds.Calibration))
            examples.Add(
                new(
                    $"{call} --interface \"Bench left\" --save-calibration bench-left.json",
                    "Keeps the figures as the interface's calibration, for --loopback."
                )
            );
        examples.Add(new($"{call} --limit {Limit(entry)}", "Holds one reading against a limit: the exit code is 1 where it is not met."));
        examples.Add(new($"{call} --json", "Prints one JSON object for another program."));
        return examples;
    }

    /// <summary>Calls of an entry that is typed in.</summary>
    public static IReadOnlyList<HelpRow> ForSheet(MeasurementEntry entry)
    {
        var one = $"spoolwright measure {entry.Id} ";
        var gauge = entry.Id switch
        {
            "wind-time" => "",
            "pinch-force" => " --gauge balance.json",
            "tension" => " --gauge gauge.json",
            _ => " --gauge torque.json",
        };
        one += entry.Id switch
        {
            "tension" => "--reading \"62 gf\" --reel supply --fill full --direction forward --radius 83mm --tape \"long-play 35 µm\"",
            "torque" => "--reading \"300 g·cm\" --reel supply --tape-radius 60mm --direction forward",
            "brakes" => "--reading \"1200 g·cm\" --reel left --turn unwind",
            "wind-time" => "--reading 1:35 --direction forward --tape-length 549m --wind-speed 6m/s",
            _ => "--reading \"1.9 kgf\" --criterion tape-stops --direction forward",
        };
        return
        [
            new(
                $"spoolwright measure {entry.Id} sheet.json{gauge} --profile deck.json",
                "Reads the whole sheet and judges it against the deck's limits."
            ),
            new(one + gauge, "Reads one place, straight from the call."),
            new(
                $"spoolwright measure {entry.Id} sheet.json{gauge} --limit {Limit(entry)}",
                "Holds the readings against a limit: the exit code is 1 where it is not met."
            ),
            new($"spoolwright measure {entry.Id} sheet.json{gauge} --json", "Prints one JSON object for another program."),
        ];
    }

    /// <summary>A limit that makes sense for the entry.</summary>
    public static string Limit(MeasurementEntry entry) => entry.Id switch
    {
        "speed" => "wow-flutter-quasi-peak=0.1",
        "playback" => "response=-3..3",
        "bias" => "overbias-error=0.3",
        "record" => "response=-3..3",
        "azimuth" => "azimuth-angle=3",
        "noise" => "noise-a=-200..-60",
        "crosstalk" => "separation=40..200",
        "erase" => "erase-depth=60..200",
        "dropouts" => "dropout-rate=5",
        "distortion" => "third-harmonic=3",
        "loopback" => "thd=0.01",
        "tension" => "supply-tension=50..80",
        "torque" => "take-up-torque=220..300",
        "brakes" => "brake-trail-ratio=1.5",
        "wind-time" => "wind-time=120",
        "pinch-force" => "pinch-force=1.7..2.1kgf",
        _ => $"{entry.Yields[0].Id}=LOW..HIGH",
    };
}
