using System.Globalization;

namespace Spoolwright.App.Tests.Causes;

/// <summary>Makes the captures of the proof ahead of it: PROOF_FROM, PROOF_COUNT, PROOF_KIND say which decks.</summary>
public class ProofCaptureTests
{
    [Fact(Explicit = true)]
    [Trait("Category", "Proof")]
    public void Captures()
    {
        long Number(string name, long otherwise) =>
            Environment.GetEnvironmentVariable(name) is { } text ? long.Parse(text, CultureInfo.InvariantCulture) : otherwise;
        var kind = Environment.GetEnvironmentVariable("PROOF_KIND") ?? "faulty";
        var from = Number("PROOF_FROM", 1);
        for (var seed = from; seed < from + Number("PROOF_COUNT", 1); seed++)
        {
            var deck = kind == "faulty" ? ProofDeck.Faulty(seed) : ProofDeck.Sound(seed);
            var readings = ProofReadings.Of(deck, kind);
            Console.WriteLine($"{seed} {string.Join(" ", deck.Faults.Select(f => f.Name))}: {readings.Sum(r => r.Readings.Count)}");
        }
    }
}
