using System.Text.Json;
using Spoolwright.Bench;

namespace Spoolwright.App.Tests.Causes;

/// <summary>
/// A deck's readings. With PROOF_FOLDER set they are kept there, so that the sound is made and measured once; empty the folder when
/// measuring code or practice decks change.
/// </summary>
internal static class ProofReadings
{
    private static readonly Dictionary<(string, long), IReadOnlyList<Kept>> Taken = [];

    public sealed record Kept(string Measurement, Condition Condition, IReadOnlyList<Reading> Readings);

    public static string? Folder { get; } = Environment.GetEnvironmentVariable("PROOF_FOLDER");

    public static IReadOnlyList<Kept> Of(ProofDeck deck, string kind)
    {
        lock (Taken)
            return Taken.TryGetValue((kind, deck.Seed), out var known) ? known : Taken[(kind, deck.Seed)] = Read(deck, kind);
    }

    private static IReadOnlyList<Kept> Read(ProofDeck deck, string kind)
    {
        if (Folder is null)
            return Measured(deck);
        Directory.CreateDirectory(Folder);
        var file = Path.Combine(Folder, $"{kind}-{deck.Seed}.json");
        if (File.Exists(file))
            return JsonSerializer.Deserialize<List<Kept>>(File.ReadAllText(file))!;
        var taken = Measured(deck);
        File.WriteAllText(file + ".new", JsonSerializer.Serialize(taken));
        File.Move(file + ".new", file, overwrite: true);
        return taken;
    }

    private static List<Kept> Measured(ProofDeck deck) =>
        [
            .. new ProofBench(deck.Deck, deck.Seed)
                .Take()
                .Select(t => new Kept(t.Measurement, t.Condition, [.. t.Readings.Select(r => r with { Method = "" })])),
        ];
}
