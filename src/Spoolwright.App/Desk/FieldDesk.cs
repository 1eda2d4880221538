using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Field;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>A deck among its kind, and through time.</summary>
public sealed class FieldDesk(ServiceBook book)
{
    /// <summary>What the book says of all decks of a profile.</summary>
    /// <param name="profileName">The profile.</param>
    /// <param name="deck">The deck that is looked for; null: none.</param>
    /// <param name="quantity">One quantity alone; null: every one.</param>
    /// <exception cref="EntryException">The book has no deck of that profile.</exception>
    public FieldData Of(string profileName, Deck? deck = null, string? quantity = null)
    {
        var decks = book.Decks().Where(d => d.ProfileName == profileName).ToList();
        if (decks.Count == 0)
            throw new EntryException($"the book has no deck of the profile \"{profileName}\"; it has {string.Join(", ", book.Decks().Select(d => $"\"{d.ProfileName}\"").Distinct())}");
        if (quantity is not null && Bench.Quantity.Find(quantity) is null)
            throw new EntryException($"there is no quantity {quantity}");
        var readings = book.FieldReadings(profileName, quantity)
            .Where(r => Bench.Quantity.Find(r.Key.Quantity) is not { } q || q.Unit == r.Key.Unit).ToList();
        var (plan, ids) = (new PlanDesk(book), decks.Select(d => d.Id).ToHashSet());
        return new FieldData
        {
            ProfileName = profileName,
            Quantities = DeckField.Quantities(readings),
            Repeats = DeckField.Repeats(readings),
            Hours = TaskHours.Of(book.Jobs().Where(j => ids.Contains(j.DeckId)).Select(j => plan.Board(j.Id))),
            Limits = DeckProfileFile.Parse(decks[^1].ProfileJson).Value?.Limits ?? [],
            DeckId = deck?.Id,
            SerialNumber = deck?.SerialNumber,
            ProgramVersion = ProgramVersion.Stamp,
        };
    }

    /// <summary>What has become of a deck since a job left it: the last later job with readings beside it.</summary>
    /// <exception cref="EntryException">There are no readings as left, or no later ones.</exception>
    public Aftercare Since(Job left)
    {
        ArgumentNullException.ThrowIfNull(left);
        var later = book.Jobs(left.DeckId).Where(j => j.Opened > left.Opened).OrderByDescending(j => j.Opened)
            .Select(j => book.ReadJob(j.Id)).FirstOrDefault(f => f.Measurements.Count > 0)
            ?? throw new EntryException("the deck has no later job with readings; open one and measure it as found");
        var file = book.ReadJob(left.Id);
        var care = Aftercare.Of(file, later, DeckField.Repeats(book.FieldReadings(file.Deck.ProfileName)));
        return care.Lines.Count > 0 ? care
            : throw new EntryException("no quantity was read both as left and later, under the same condition");
    }
}
