using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Recording;

namespace Spoolwright.Practice.Hidden;

/// <summary>A learner's deck as one readable JSON text: how it stands, and last the answers, plainly marked.</summary>
public static class LearnersDeckFile
{
    private const string Format = "spoolwright practice deck, version 1";
    private static readonly JsonSerializerOptions Readable = new()
    {
        WriteIndented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>The text of a deck.</summary>
    public static string Write(LearnersDeck deck)
    {
        ArgumentNullException.ThrowIfNull(deck);
        var controls = new JsonObject();
        foreach (var control in deck.Board.Controls)
            controls.Add(control.Name, new JsonObject { ["shaftTurns"] = control.ShaftTurns, ["wiperTurns"] = control.WiperTurns });
        var faults = new JsonArray();
        foreach (var fault in deck.HiddenFaults)
            faults.Add(new JsonObject { ["name"] = fault.Name, ["severity"] = fault.Severity, ["means"] = fault.Kind.Meaning });
        var own = new JsonArray();
        foreach (var kept in deck.Own)
        {
            own.Add(new JsonObject
            {
                ["file"] = kept.File,
                ["direction"] = Word(kept.Direction),
                ["speedCmPerS"] = kept.SpeedCmPerS,
                ["tape"] = kept.Stock,
                ["recordedWith"] = new JsonArray(kept.How.AzimuthArcmin, kept.How.GapStaggerUm, kept.How.BiasDb),
            });
        }

        var root = new JsonObject
        {
            ["format"] = Format,
            ["deck"] = LearnersDeck.MakeName,
            ["specimen"] = deck.Seed,
            ["passes"] = deck.Passes,
            ["controls"] = controls,
            ["ownRecordings"] = own,
            ["answers"] = new JsonObject
            {
                ["readMe"] = "ANSWERS. Do not read on before you have made your diagnosis: spoolwright practice reveal shows them.",
                ["faults"] = faults,
            },
        };
        return root.ToJsonString(Readable) + "\n";
    }

    /// <summary>The deck of a text.</summary>
    /// <exception cref="FormatException">It is no such text; the message says why.</exception>
    public static LearnersDeck Read(string text)
    {
        try
        {
            var root = JsonNode.Parse(text) as JsonObject ?? throw new FormatException("it is no JSON object");
            if ((string?)root["format"] != Format)
                throw new FormatException($"its format is not \"{Format}\"");
            var faults = Part(Part(root, "answers").AsObject(), "faults").AsArray().Select(f => Fault(f!.AsObject())).ToArray();
            var deck = new LearnersDeck((long)Part(root, "specimen"), faults) { Passes = (int)Part(root, "passes") };
            foreach (var (name, at) in Part(root, "controls").AsObject())
                deck.Board.Restore(name, (double)Part(at!.AsObject(), "shaftTurns"), (double)Part(at!.AsObject(), "wiperTurns"));
            deck.Own = [.. Part(root, "ownRecordings").AsArray().Select(o => Kept(o!.AsObject()))];
            return deck;
        }
        catch (Exception e)
            when (e is JsonException or InvalidOperationException or ArgumentException or OverflowException or IndexOutOfRangeException)
        {
            throw new FormatException(e.Message, e);
        }
    }

    private static JsonNode Part(JsonObject of, string name) => of[name] ?? throw new FormatException($"\"{name}\" is missing");

    private static OwnRecording Kept(JsonObject from)
    {
        var how = Part(from, "recordedWith").AsArray().Select(x => (double)x!).ToArray();
        return new OwnRecording(
            (string)Part(from, "file")!,
            Direction((string)Part(from, "direction")!),
            (double)Part(from, "speedCmPerS"),
            (string)Part(from, "tape")!,
            new RecordedWith(how[0], how[1], how[2])
        );
    }

    private static string Word(TapeDirection direction) => direction == TapeDirection.Forward ? "forward" : "reverse";

    private static TapeDirection Direction(string word) =>
        string.Equals(word, "reverse", StringComparison.Ordinal) ? TapeDirection.Reverse : TapeDirection.Forward;

    private static HiddenFault Fault(JsonObject from)
    {
        var name = (string)Part(from, "name")!;
        var words = name.Split('.');
        var kind = FaultKind.Find(words[0]) ?? throw new FormatException($"there is no kind of fault \"{words[0]}\"");
        var at = 1;
        string? Next(bool has) => !has ? null : at < words.Length ? words[at++] : throw new FormatException($"\"{name}\" says no place");
        TapeDirection? direction = Next(kind.HasDirection) is { } d ? Direction(d) : null;
        PracticeSide? side = Next(kind.HasSide) is { } s ? (s == "right" ? PracticeSide.Right : PracticeSide.Left) : null;
        return new HiddenFault(kind, new FaultPlace(direction, side, Next(kind.HasSetting)), (double)Part(from, "severity"));
    }
}
