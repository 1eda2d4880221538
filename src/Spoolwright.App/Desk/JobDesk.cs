using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>Decks and jobs: taking in, finding, owners, accessories, closing.</summary>
public sealed class JobDesk(ServiceBook book)
{
    /// <summary>A job's number as people call it: the end of its key.</summary>
    public static string Number(Job job)
    {
        ArgumentNullException.ThrowIfNull(job);
        return CheckBoard.ShortKey(job.Id);
    }

    /// <summary>The job of a number, or of its first digits; or the newest job of the deck with that serial number.</summary>
    /// <exception cref="EntryException">None, or several.</exception>
    public Job Find(string named)
    {
        ArgumentNullException.ThrowIfNull(named);
        var bySerial = book.DecksOfSerial(named.Trim());
        if (bySerial.SelectMany(d => book.Jobs(d.Id)).OrderBy(j => j.Closed is null).ThenBy(j => j.Opened).LastOrDefault() is { } newest)
            return newest;
        var jobs = book.Jobs();
        var plain = named.Trim();
        var found = jobs.Where(j => Number(j).StartsWith(plain, StringComparison.OrdinalIgnoreCase) || j.Id.ToString()
            .StartsWith(plain, StringComparison.OrdinalIgnoreCase)).ToList();
        return found.Count switch
        {
            1 => found[0],
            0 => throw new EntryException(
                $"no job begins with {named}, and no deck with that serial number has one; spoolwright book list lists them"
            ),
            _ => throw new EntryException($"{found.Count} jobs begin with {named}; give more digits"),
        };
    }

    /// <summary>The deck of a serial number, or of a part of it.</summary>
    /// <exception cref="EntryException">None, or several.</exception>
    public Deck FindDeck(string serial)
    {
        ArgumentNullException.ThrowIfNull(serial);
        var exact = book.DecksOfSerial(serial.Trim());
        var found = exact.Count > 0 ? exact : book.DecksOfSerial(serial.Trim(), partly: true);
        return found.Count switch
        {
            1 => found[0],
            0 => throw new EntryException($"no deck in the book has the serial number {serial}"),
            _ => throw new EntryException(
                $"several decks have {serial} in their serial number: {string.Join(", ", found.Select(d => $"{d.ProfileName} {d.SerialNumber}"))}"
            ),
        };
    }

    /// <summary>The deck of a job.</summary>
    public Deck DeckOf(Job job) => book.ReadDeck(job.DeckId);

    /// <summary>The profile as it was when the deck was taken in.</summary>
    /// <exception cref="EntryException">This version cannot read it.</exception>
    public static DeckProfile ProfileOf(Deck deck)
    {
        ArgumentNullException.ThrowIfNull(deck);
        var parsed = DeckProfileFile.Parse(deck.ProfileJson);
        return parsed.Value ?? throw new EntryException($"the profile of deck {deck.SerialNumber} cannot be read: {parsed.Problems[0]}");
    }

    /// <summary>Takes a deck in that the book does not have.</summary>
    /// <exception cref="EntryException">It has it, or something given cannot be used.</exception>
    public Deck TakeIn(string profileJson, string serial, string description, string? owner = null, DateOnly? since = null)
    {
        var parsed = DeckProfileFile.Parse(profileJson);
        var profile = parsed.Value ?? throw new EntryException($"the profile cannot be used: {parsed.Problems[0]}");
        if (string.IsNullOrWhiteSpace(serial) || serial.Length > 100)
            throw new EntryException("give the deck's serial number as stamped on it, at most 100 characters");
        if (book.FindDeck(profile.Name, serial.Trim()) is not null)
            throw new EntryException($"the book has {profile.Name} {serial.Trim()} already; open a job on it, or write down its new owner");
        var deck = book.AddDeck(profile.Name, profileJson, serial.Trim(), description);
        if (!string.IsNullOrWhiteSpace(owner))
            NewOwner(deck.Id, owner, since, null);
        return deck;
    }

    /// <summary>Opens a job, with its plan and its function checks laid out.</summary>
    /// <param name="deck">The deck.</param>
    /// <param name="what">What is to be done.</param>
    /// <param name="opened">When; null: now.</param>
    /// <param name="plan">The plan; null: the profile's, or the one that comes with the program.</param>
    public Job Open(Deck deck, string what, DateTimeOffset? opened = null, Plan? plan = null)
    {
        ArgumentNullException.ThrowIfNull(deck);
        if (string.IsNullOrWhiteSpace(what))
            throw new EntryException("say what is to be done");
        var profile = ProfileOf(deck);
        var job = book.OpenJob(deck.Id, what, opened ?? book.Now);
        new PlanDesk(book).LayOut(job.Id, plan ?? profile.Plan ?? PlanLibrary.Default, profile);
        new CheckDesk(book).LayOut(job.Id, profile.FunctionChecks ?? CheckList.Default, profile);
        return job;
    }

    /// <summary>Opens a job that was begun on an earlier day, so that its hours can be written down: from that day's first
    /// moment.</summary>
    /// <exception cref="EntryException">The day lies ahead.</exception>
    public Job OpenOn(Deck deck, string what, DateOnly? day, Plan? plan = null)
    {
        var zone = new ShopDesk(book).Zone;
        var today = DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(book.Now, zone).DateTime);
        if (day > today)
            throw new EntryException($"{day:yyyy-MM-dd} lies in the future; a job is opened on the day it begins");
        return Open(deck, what, day is { } earlier && earlier < today ? TypedTime.Midnight(earlier, zone) : null, plan);
    }

    /// <summary>Closes a job. A clock that runs keeps it open.</summary>
    public void Close(Job job, DateTimeOffset? at = null)
    {
        ArgumentNullException.ThrowIfNull(job);
        var board = new PlanDesk(book).Board(job.Id);
        if (board.Tasks.FirstOrDefault(t => t.Running is not null) is { } running)
            throw new EntryException($"the clock of {running.Task.Key} is running; stop it first");
        book.CloseJob(job.Id, at ?? book.Now);
    }

    /// <summary>Writes down whose the deck is from a day on.</summary>
    public DeckOwner NewOwner(Guid deckId, string name, DateOnly? since, string? contact) =>
        book.Add(new DeckOwner { DeckId = deckId, Name = name, Since = since, Contact = contact });

    /// <summary>Puts what is known now in the place of an owner's entry; the earlier one stays in the book.</summary>
    public DeckOwner CorrectOwner(Guid deckId, Guid owner, string name, DateOnly? since, string? contact) =>
        book.Work(w =>
            w.Get<DeckOwner>(owner) is var old && old.DeckId == deckId
                ? w.Correct(owner, old with { Name = name, Since = since, Contact = contact })
                : throw new EntryException("that owner is of another deck")
        );

    /// <summary>Owners of a deck, oldest first.</summary>
    public IReadOnlyList<DeckOwner> Owners(Guid deckId) =>
        InOrder(book.Standing<DeckOwner>(deckId));

    internal static IReadOnlyList<DeckOwner> InOrder(IEnumerable<DeckOwner> owners) =>
        [.. owners.OrderBy(o => o.Since ?? DateOnly.MinValue).ThenBy(o => o.Entered)];

    /// <summary>Adds something that came with the deck.</summary>
    public Accessory AddAccessory(Guid jobId, string name, string? note) =>
        book.Add(new Accessory { JobId = jobId, Name = name, Note = note });
}
