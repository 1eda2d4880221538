namespace Spoolwright.Bench.Service.Plans;

/// <summary>The usual cautions at a task, by word. Common practice, no source; local rules stand above them.</summary>
public static class Cautions
{
    private static readonly Dictionary<string, string> Texts = new(StringComparer.Ordinal)
    {
        ["mains"] =
            "Mains: pull the plug and see that it is out before the cover comes off. Work on the mains side, and tests with the cover off, are for those "
            + "licensed for it; follow local rules.",
        ["stored-charge"] =
            "Stored charge: supply and motor-run capacitors stay charged after the plug is out. Wait, measure, and let somebody trained discharge "
            + "what is left.",
        ["moving-parts"] =
            "Moving parts: reels, belts and the capstan catch fingers, sleeves and hair. Tie back, keep clear, and know where the stop key is.",
        ["solvents"] =
            "Solvents: air, no flame, gloves that fit the solvent, and nothing on plastics or rubber that was not tried on a hidden spot. Follow the "
            + "safety sheet and local rules for waste.",
        ["strong-field"] =
            "Strong field: demagnetise with every tape and test tape at least two arms' lengths away, and never switch the tool off near the heads. "
            + "People with a pacemaker stay away.",
        ["test-tape"] =
            "Test tape: once erased it is gone. Record disabled, path cleaned and demagnetised, tensions and brakes tried with scrap tape first.",
        ["heavy"] = "Heavy: such a deck weighs 15 to 25 kg. Lift with two, set it on foam, never on its reel shafts.",
        ["springs"] = "Springs: brake and lever springs fly. Wear glasses, and work inside a tray.",
        ["static"] = "Static: logic chips die silently. Wrist strap and mat before a board is touched.",
        ["heat"] = "Heat: iron, regulators and solenoids burn. Let them cool before hands go in.",
        ["sharp"] = "Sharp: sheet metal edges and clipped leads cut. Gloves for the chassis.",
        ["dust"] = "Dust: old foam and belts gone to tar stain and should not be breathed. Mask, gloves, and bag the waste.",
    };

    /// <summary>The words.</summary>
    public static IReadOnlyCollection<string> Words => Texts.Keys;

    /// <summary>The text of a word.</summary>
    /// <exception cref="ArgumentException">No such word.</exception>
    public static string Text(string word) => Texts.TryGetValue(word, out var text) ? text
        : throw new ArgumentException($"no caution is called {word}", nameof(word));

    /// <summary>What holds for every plan.</summary>
    public const string Always = "Follow local rules, and leave mains work to those licensed for it.";
}
