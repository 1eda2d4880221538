using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>Entries in a few words, by the names that people gave, to tell them from others before one is undone.</summary>
public sealed class EntryWords
{
    private readonly Dictionary<Guid, string> decks = [];
    private readonly Dictionary<(Guid Job, string Key), string> titles = [];
    private readonly Dictionary<Guid, string> lots = [];
    private readonly Dictionary<Guid, string> instruments = [];

    /// <summary>Looks up what some entries speak of: decks, tasks, functions, supplies.</summary>
    public EntryWords(ServiceBook book, IReadOnlyCollection<BookEntry> entries)
    {
        ArgumentNullException.ThrowIfNull(book);
        ArgumentNullException.ThrowIfNull(entries);
        foreach (var (job, head) in book.JobHeads(entries.Select(JobOf).OfType<Guid>().Distinct()))
            decks[job] = head.Deck.SerialNumber;
        foreach (var deck in entries.OfType<DeckOwner>().Select(o => o.DeckId).Distinct())
            decks[deck] = book.ReadDeck(deck).SerialNumber;
        object[] planned = [.. entries.Where(e => e is TaskMark or ClockEntry).Select(JobOf).OfType<Guid>().Distinct()];
        object[] tried = [.. entries.Where(e => e is CheckResult or CheckAcceptance).Select(JobOf).OfType<Guid>().Distinct()];
        book.Look(w =>
        {
            foreach (var task in w.Standing<JobTask>(nameof(JobTask.JobId), planned))
                titles[(task.JobId, task.Key)] = task.Title;
            foreach (var check in w.Standing<JobCheck>(nameof(JobCheck.JobId), tried))
                titles[(check.JobId, check.Key)] = check.Title;
            if (entries.Any(e => e is SupplyUse or LotDoubt or Lot))
            {
                var supplies = w.Standing<Supply>().ToDictionary(s => s.Root, s => s.Name);
                foreach (var lot in w.Standing<Lot>())
                    lots[lot.Root] = $"{supplies.GetValueOrDefault(lot.SupplyId, "?")}, lot {lot.Number}";
            }

            if (entries.Any(e => e is InstrumentEvent))
            {
                foreach (var instrument in w.Standing<KeptInstrument>())
                    instruments[instrument.Root] = instrument.Name;
            }

            return 0;
        });
    }

    /// <summary>Serial number of the deck that an entry is about; null: none.</summary>
    public string? DeckOf(BookEntry entry) => (JobOf(entry) ?? (entry as DeckOwner)?.DeckId) is { } of ? decks.GetValueOrDefault(of) : null;

    /// <summary>What is in an entry.</summary>
    public string Of(BookEntry entry) =>
        entry switch
        {
            PlanText p => p.Name,
            JobTask t => t.Title,
            TaskMark m => $"{Title(m.JobId, m.TaskKey)}: {KebabWord.Plain(m.State)}{More(m.Remark)}",
            ClockEntry c =>
                $"{Title(c.JobId, c.TaskKey)}, {c.Day:yyyy-MM-dd}: {(c.Runs ? "running" : TypedTime.Words(c.Length(c.Entered)))}{More(c.Remark)}",
            JobCheck k => k.Title,
            CheckResult r => $"{Title(r.JobId, r.CheckKey)}, {KebabWord.Plain(r.Mark)}: {KebabWord.Plain(r.Outcome)}{More(r.Note)}",
            CheckAcceptance a => $"{Title(a.JobId, a.CheckKey)}: {a.Words}",
            Fault f => $"{f.Assembly}: {f.What} ({KebabWord.Plain(f.State)})",
            LoadedTape l => $"{KebabWord.Plain(l.Kind)}{More(l.Name)}",
            Accessory a => a.Name + More(a.Note),
            Photo p => $"{p.Assembly}, {KebabWord.Plain(p.Mark)}{More(p.Caption)}",
            Supply s => s.Name,
            Lot l => $"{LotName(l.Root)}: {SupplyBoard.Plain(l.Quantity)} from {l.Supplier}",
            SupplyUse u => $"{SupplyBoard.Plain(u.Quantity)} of {LotName(u.LotId)}: {u.Place}",
            LotDoubt d => $"{LotName(d.LotId)}: {d.Why}",
            KeptInstrument i => $"{i.Kind} {i.Name}",
            InstrumentEvent e => $"{instruments.GetValueOrDefault(e.InstrumentId, "an instrument")}: {KebabWord.Plain(e.Kind)}: {e.What}",
            DeckOwner o => o.Name,
            ProfileText p => p.Name,
            Offer o => $"{o.ProfileName}, {o.Asked} from {o.Seller}: {KebabWord.Plain(o.Decision)}",
            PriceFetched p => $"{p.ProfileName}, {p.Price}: {p.Source}",
            JobCost c => $"{c.Amount}: {c.What}",
            Sale s => $"{s.Price} from {s.Buyer}",
            ListingText t => t.Title,
            ShopFacts s => s.Name,
            SignOff s => $"by the key {s.KeyFingerprint}",
            _ => "",
        };

    private static Guid? JobOf(BookEntry entry) => entry switch
    {
        JobTask t => t.JobId,
        TaskMark m => m.JobId,
        ClockEntry c => c.JobId,
        JobCheck k => k.JobId,
        CheckResult r => r.JobId,
        CheckAcceptance a => a.JobId,
        Fault f => f.JobId,
        LoadedTape l => l.JobId,
        Accessory a => a.JobId,
        Photo p => p.JobId,
        SupplyUse u => u.JobId,
        JobCost c => c.JobId,
        Sale s => s.JobId,
        ListingText t => t.JobId,
        SignOff s => s.JobId,
        _ => null,
    };

    // A task or function whose own entry was taken back is called by its key.
    private string Title(Guid job, string key) => titles.GetValueOrDefault((job, key), key.Replace('-', ' '));

    private string LotName(Guid lot) => lots.GetValueOrDefault(lot, "a lot that was taken back");

    private static string More(string? text) => string.IsNullOrWhiteSpace(text) ? "" : $"; {text}";
}
