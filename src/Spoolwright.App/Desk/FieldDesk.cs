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
        var newest =
            book.LastDeck(profileName)
            ?? throw new EntryException(
                $"the book has no deck of the profile \"{profileName}\"; it has {string.Join(", ", book.ProfileLines().Select(p => $"\"{p.ProfileName}\""))}"
            );
        if (quantity is not null && Bench.Quantity.Find(quantity) is null)
            throw new EntryException($"there is no quantity {quantity}");
        var figures = book.JobFigures(profileName);
        return new FieldData
        {
            ProfileName = profileName,
            Quantities = [.. DeckField.Quantities(figures).Where(q => quantity is null || q.Key.Quantity == quantity)],
            Repeats = [.. DeckField.Repeats(figures).Where(r => quantity is null || r.Quantity == quantity)],
            Hours = TaskHours.Of(book.TaskTimes(profileName).Select(j => j.Tasks)),
            Limits = DeckProfileFile.Parse(newest.ProfileJson).Value?.Limits ?? [],
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
        var care = Aftercare.Of(file, later, book.Repeats(file.Deck.ProfileName));
        return care.Lines.Count > 0 ? care
            : throw new EntryException("no quantity was read both as left and later, under the same condition");
    }
}
