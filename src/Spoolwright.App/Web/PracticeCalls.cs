using System.Text.Json;
using Microsoft.AspNetCore.Http;
using Spoolwright.Practice.Hidden;

namespace Spoolwright.App.Web;

/// <summary>The practice deck from the page: a new one with hidden faults, and the learner's diagnosis held against them.</summary>
internal sealed class PracticeCalls(BookShelf shelf)
{
    private const int MostFaults = 6;

    /// <summary>What can be wrong with a deck, and whether there is one.</summary>
    public Task Show(HttpContext context)
    {
        var folder = PracticeInput.Folder(shelf);
        var deck = File.Exists(folder.DeckFile) ? folder.Load() : null;
        return WebJson.Send(context, json =>
        {
            json.WriteBoolean("there", deck is not null);
            WebJson.Number(json, "specimen", deck?.Seed);
            WebJson.Number(json, "faults", deck?.HiddenFaults.Count);
            json.WriteStartArray("settings");
            foreach (var setting in LearnersDeck.Healthy(1).Recorder!.Settings)
                json.WriteStringValue(setting.Name);
            json.WriteEndArray();
            WebJson.Array(json, "kinds", FaultKind.All, static (json, kind) =>
            {
                json.WriteString("name", kind.Name);
                json.WriteString("meaning", kind.Meaning);
                json.WriteBoolean("direction", kind.HasDirection);
                json.WriteBoolean("side", kind.HasSide);
                json.WriteBoolean("setting", kind.HasSetting);
            });
        });
    }

    /// <summary>Puts a new deck in the old one's place.</summary>
    public async Task Make(HttpContext context)
    {
        using var asked = await WebJson.Body(context).ConfigureAwait(false);
        var faults = (int)(WebJson.Number(asked.RootElement, "faults") ?? 3);
        if (faults is < 0 or > MostFaults)
        {
            await WebJson.Refuse(context, $"A practice deck has 0 to {MostFaults} faults, not {faults}.").ConfigureAwait(false);
            return;
        }

        var seed = WebJson.Number(asked.RootElement, "specimen") is { } given and >= 1 and < 1e9
            ? (long)given
            : Random.Shared.Next(1, 1_000_000);
        var folder = PracticeInput.Folder(shelf);
        File.Delete(folder.DeckFile);
        folder.Create(LearnersDeck.Draw(seed, faults));
        await WebJson.Send(context, json => json.WriteNumber("specimen", seed)).ConfigureAwait(false);
    }

    /// <summary>Judges a diagnosis, and gives the answers with it: the deck is played out then.</summary>
    public async Task Diagnose(HttpContext context)
    {
        using var asked = await WebJson.Body(context).ConfigureAwait(false);
        var folder = PracticeInput.Folder(shelf);
        if (!File.Exists(folder.DeckFile))
        {
            await WebJson.Refuse(context, "There is no practice deck yet: make one first.").ConfigureAwait(false);
            return;
        }

        string[] words = asked.RootElement.TryGetProperty("words", out var list) && list.ValueKind == JsonValueKind.Array
            ? [.. list.EnumerateArray().Where(w => w.ValueKind == JsonValueKind.String).Select(w => w.GetString()!).Take(20)]
            : [];
        var deck = folder.Load();
        try
        {
            var diagnosis = Diagnosis.Of(deck.HiddenFaults, words);
            await WebJson
                .Send(
                    context,
                    json =>
                    {
                        json.WriteNumber("score", diagnosis.Score);
                        json.WriteNumber("missed", diagnosis.Missed);
                        WebJson.Array(
                            json,
                            "words",
                            diagnosis.Words,
                            static (json, word) =>
                            {
                                json.WriteString("word", word.Word);
                                json.WriteString(
                                    "finding",
                                    word.Finding switch
                                    {
                                        Finding.Right => "right",
                                        Finding.KindOnly => "kind only",
                                        _ => "wrong",
                                    }
                                );
                            }
                        );
                        WebJson.Array(
                            json,
                            "answers",
                            deck.HiddenFaults,
                            static (json, fault) =>
                            {
                                json.WriteString("name", fault.Name);
                                json.WriteString("meaning", fault.Kind.Meaning);
                                json.WriteNumber("severity", fault.Severity);
                            }
                        );
                    }
                )
                .ConfigureAwait(false);
        }
        catch (ArgumentException e)
        {
            await WebJson.Refuse(context, e.Message).ConfigureAwait(false);
        }
    }
}
