using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>A deck that holds something of a lot.</summary>
public sealed record LotWhereabouts(Supply Supply, Lot Lot, SupplyUse Use, Job Job, Deck Deck, string? Owner);

/// <summary>Parts and supplies: stock by lot, what was fitted where, recall lists.</summary>
public sealed class SupplyDesk(ServiceBook book)
{
    /// <summary>How many decks hold something of a lot, in words.</summary>
    public static string Holders(IReadOnlyList<LotWhereabouts> where)
    {
        ArgumentNullException.ThrowIfNull(where);
        var decks = where.Select(w => w.Deck.Id).Distinct().Count();
        return decks == 1 ? "1 deck holds something of it" : $"{decks} decks hold something of it";
    }

    /// <summary>Everything in stock.</summary>
    public SupplyBoard Board() => book.Look(Board);

    /// <summary>Adds something that the shop keeps.</summary>
    public Supply Keep(string name, SupplyKind kind, string unit, decimal reorderAt, string? remark = null) => book.Work(w =>
        w.Standing<Supply>().Any(s => string.Equals(s.Name, name, StringComparison.OrdinalIgnoreCase))
            ? throw new EntryException($"the shop keeps \"{name}\" already")
            : w.Add(new Supply { Name = name, Kind = kind, Unit = unit, ReorderAt = reorderAt, Remark = remark }));

    /// <summary>Takes a delivery in.</summary>
    public Lot Receive(
        string supply,
        string supplier,
        string number,
        DateOnly day,
        decimal quantity,
        Money? unitPrice,
        string? remark = null
    ) =>
        book.Work(w =>
        {
            var stock = Board(w).Find(supply);
            if (unitPrice is { Amount: < 0 } price)
                throw new EntryException($"a price of {price} for one makes no sense; expected 0 or more");
            return stock.Lots.Any(l => l.Lot.Number == number && l.Lot.Supplier == supplier)
                ? throw new EntryException(
                    $"{stock.Supply.Name} has a lot {number} of {supplier} already; correct that one, or number this one apart"
                )
                : w.Add(
                    new Lot
                    {
                        SupplyId = stock.Supply.Root,
                        Supplier = supplier,
                        Number = number,
                        Received = day,
                        Quantity = quantity,
                        UnitPrice = unitPrice,
                        Remark = remark,
                    }
                );
        });

    /// <summary>Fits something into a job's deck, from the lot named or the oldest that holds enough.</summary>
    public SupplyUse Fit(Guid jobId, string supply, decimal quantity, string place, DateOnly day, string? lot = null) => book.Work(w =>
        w.Add(new SupplyUse
        {
            LotId = SupplyBoard.LotFor(Board(w).Find(supply), quantity, lot).Lot.Root,
            JobId = jobId,
            Quantity = quantity,
            Place = place,
            Day = day
        }));

    /// <summary>Sets a lot to what was counted; the difference is written down.</summary>
    public SupplyUse Count(string supply, string lot, decimal counted, DateOnly day) => book.Work(w =>
    {
        if (counted < 0)
            throw new EntryException($"{SupplyBoard.Plain(counted)} cannot be counted; expected 0 or more");
        var stock = Board(w).Find(supply);
        var found = stock.Lots.FirstOrDefault(l => string.Equals(l.Lot.Number, lot, StringComparison.OrdinalIgnoreCase))
            ?? throw new EntryException($"{stock.Supply.Name} has no lot {lot}");
        return found.Left == counted ? throw new EntryException($"the book has {SupplyBoard.Plain(counted)} {stock.Supply.Unit} already")
            : w.Add(new SupplyUse { LotId = found.Lot.Root, Quantity = found.Left - counted, Place = "stock was counted", Day = day });
    });

    /// <summary>Doubts a lot, or every lot of that number, and gives the recall list.</summary>
    public IReadOnlyList<LotWhereabouts> Doubt(string number, string why)
    {
        book.Work(w =>
        {
            var lots = Board(w).LotsOf(number);
            if (lots.Count == 0)
                throw new EntryException($"no lot has the number {number}");
            foreach (var (_, lot) in lots)
                w.Add(new LotDoubt { LotId = lot.Lot.Root, Why = why });
            return 0;
        });
        return Recall(number);
    }

    /// <summary>What was fitted in a job, in the order of days.</summary>
    public IReadOnlyList<Fitted> FittedIn(Guid jobId) => book.Look(w => FittedIn(w, w.Standing<SupplyUse>(nameof(SupplyUse.JobId), jobId)));

    /// <summary>What was fitted in jobs.</summary>
    public ILookup<Guid, Fitted> FittedIn(IEnumerable<Guid> jobs) => book.Look(w =>
        FittedIn(w, w.Standing<SupplyUse>(nameof(SupplyUse.JobId), jobs.Cast<object>())).ToLookup(f => f.Use.JobId!.Value));

    /// <summary>Where everything of a lot number went.</summary>
    public IReadOnlyList<LotWhereabouts> Recall(string number)
    {
        var lots = Board().LotsOf(number).Select(l => (object)l.Lot.Lot.Root);
        var fitted = book.Look(w => FittedIn(w, [.. w.Standing<SupplyUse>(nameof(SupplyUse.LotId), lots).Where(u => u.JobId is not null)]));
        var heads = book.JobHeads(fitted.Select(f => f.Use.JobId!.Value));
        var owners = book.Look(w => w.Standing<DeckOwner>(nameof(DeckOwner.DeckId), heads.Values.Select(h => (object)h.Deck.Id)))
            .ToLookup(o => o.DeckId);
        return
        [
            .. fitted.Select(f =>
            {
                var (job, deck) = heads[f.Use.JobId!.Value];
                return new LotWhereabouts(
                    f.Supply,
                    f.Lot,
                    f.Use,
                    job,
                    deck,
                    JobDesk.InOrder(owners[deck.Id]) is [.., var last] ? last.Name : null
                );
            }),
        ];
    }

    private static IReadOnlyList<Fitted> FittedIn(BookWork w, IReadOnlyList<SupplyUse> uses)
    {
        var lots = w.Standing<Lot>(nameof(Lot.Root), uses.Select(u => (object)u.LotId)).ToDictionary(l => l.Root);
        var supplies = w.Standing<Supply>(nameof(Supply.Root), lots.Values.Select(l => (object)l.SupplyId)).ToDictionary(s => s.Root);
        // Of a lot that was taken back nothing is reckoned, as on the board.
        return [.. uses.Where(u => lots.TryGetValue(u.LotId, out var lot) && supplies.ContainsKey(lot.SupplyId))
            .Select(u => new Fitted(supplies[lots[u.LotId].SupplyId], lots[u.LotId], u)).OrderBy(f => f.Use.Day)];
    }

    private static SupplyBoard Board(BookWork w) =>
        SupplyBoard.Of(w.Standing<Supply>(), w.Standing<Lot>(), w.LotsUsed(), w.Standing<LotDoubt>());
}
