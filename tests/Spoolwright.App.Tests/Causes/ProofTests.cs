using System.Globalization;

namespace Spoolwright.App.Tests.Causes;

/// <summary>What the program says of decks with hidden faults, by their true sound.</summary>
public class ProofTests
{
    [Fact(Explicit = true)]
    [Trait("Category", "Proof")]
    public void Tally()
    {
        var tally = new ProofTally();
        foreach (var file in Directory.EnumerateFiles(ProofReadings.Folder, "*.json").OrderBy(f => f.Length).ThenBy(f => f, StringComparer.Ordinal))
        {
            var name = Path.GetFileNameWithoutExtension(file).Split('-');
            var seed = long.Parse(name[1], CultureInfo.InvariantCulture);
            var deck = name[0] == "faulty" ? ProofDeck.Faulty(seed) : ProofDeck.Sound(seed);
            tally.Add(deck, ProofReadings.Of(deck, name[0]));
        }

        Console.WriteLine(tally.Log);
        Console.WriteLine(tally.Tables());
    }
}
