using System.Text.Json;
using Spoolwright.Bench;

namespace Spoolwright.App.Tests.Causes;

/// <summary>A deck's readings, kept in a folder so that the sound is made and measured once.</summary>
internal static class ProofReadings
{
    private static readonly JsonSerializerOptions Plain = new() { NumberHandling = System.Text.Json.Serialization.JsonNumberHandling.AllowNamedFloatingPointLiterals };

    public sealed record Kept(string Measurement, Condition Condition, IReadOnlyList<Reading> Readings);

    public static string Folder { get; } = Environment.GetEnvironmentVariable("PROOF_FOLDER") ?? Path.Combine(Path.GetTempPath(), "spoolwright-causes-proof");

    public static IReadOnlyList<Kept> Of(ProofDeck deck, string kind)
    {
        Directory.CreateDirectory(Folder);
        var file = Path.Combine(Folder, $"{kind}-{deck.Seed}.json");
        if (File.Exists(file))
            return JsonSerializer.Deserialize<List<Kept>>(File.ReadAllText(file), Plain)!;
        List<Kept> taken = [.. new ProofBench(deck.Deck, deck.Seed).Take().Select(t => new Kept(t.Measurement, t.Condition, [.. t.Readings.Select(r => r with { Method = "" })]))];
        File.WriteAllText(file + ".new", JsonSerializer.Serialize(taken, Plain));
        File.Move(file + ".new", file, overwrite: true);
        return taken;
    }
}
