using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>Deck profiles that the book keeps, each one readable file.</summary>
public sealed class ProfileDesk(ServiceBook book)
{
    /// <summary>Names of profiles, those of decks in the book among them.</summary>
    public IReadOnlyList<string> Names() => [.. book.Standing<ProfileText>().Select(p => p.Name)
        .Concat(book.ProfileLines().Select(p => p.ProfileName)).Distinct().Order(StringComparer.Ordinal)];

    /// <summary>A profile's text: the one kept last, else that of the deck taken in last.</summary>
    /// <exception cref="EntryException">No such profile.</exception>
    public string Text(string name) => book.Standing<ProfileText>().LastOrDefault(p => p.Name == name)?.Json
        ?? book.LastDeck(name)?.ProfileJson
        ?? throw new EntryException(
            $"the book has no profile \"{name}\"{(Names() is { Count: > 0 } names ? $"; it has {string.Join(", ", names.Select(n => $"\"{n}\""))}" : "")}"
        );

    /// <summary>Keeps a profile's text; one of the same name is superseded.</summary>
    public ProfileText Keep(string json)
    {
        var parsed = DeckProfileFile.Parse(json);
        var profile = parsed.Value ?? throw new EntryException($"the profile cannot be used: {parsed.Problems[0]}");
        return book.Work(w =>
        {
            var entry = new ProfileText { Name = profile.Name, Json = json };
            return w.Standing<ProfileText>().LastOrDefault(p => p.Name == profile.Name) is { } old ? w.Correct(old.Id, entry)
                : w.Add(entry);
        });
    }

    /// <summary>Copies a profile under another name.</summary>
    public ProfileText Copy(string name, string newName)
    {
        if (Names().Contains(newName, StringComparer.Ordinal))
            throw new EntryException($"there is a profile \"{newName}\" already");
        return Keep(DeckProfileFile.ToJson(DeckProfileFile.Parse(Text(name)).Value! with { Name = newName }));
    }
}
