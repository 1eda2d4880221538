using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.Bench.Service.Supplies;

/// <summary>A lot with what is left of it and where the rest went.</summary>
public sealed record LotStock(Lot Lot, decimal Left, IReadOnlyList<SupplyUse> Uses, IReadOnlyList<LotDoubt> Doubts);

/// <summary>A supply with its lots, oldest delivery first.</summary>
public sealed record SupplyStock(Supply Supply, IReadOnlyList<LotStock> Lots)
{
    /// <summary>What is left and not doubted.</summary>
    public decimal Left => Lots.Where(l => l.Doubts.Count == 0).Sum(l => l.Left);

    public bool MustReorder => Left <= Supply.ReorderAt;
}

/// <summary>Everything the shop keeps in stock.</summary>
public sealed record SupplyBoard(IReadOnlyList<SupplyStock> Supplies)
{
    /// <summary>Lays the board out from the entries that stand.</summary>
    public static SupplyBoard Of(IReadOnlyList<Supply> supplies, IReadOnlyList<Lot> lots, IReadOnlyList<SupplyUse> uses,
        IReadOnlyList<LotDoubt> doubts)
    {
        ArgumentNullException.ThrowIfNull(supplies);
        var (usesOf, doubtsOf) = (uses.ToLookup(u => u.LotId), doubts.ToLookup(d => d.LotId));
        var lotsOf = lots.ToLookup(l => l.SupplyId);
        return new SupplyBoard([.. supplies.OrderBy(s => s.Name, StringComparer.Ordinal)
            .Select(s => new SupplyStock(s, [.. lotsOf[s.Root].OrderBy(l => l.Received).ThenBy(l => l.Entered)
            .Select(l => new LotStock(l, l.Quantity - usesOf[l.Root].Sum(u => u.Quantity), [.. usesOf[l.Root].OrderBy(u => u.Day)],
                [.. doubtsOf[l.Root]]))]))]);
    }

    /// <summary>The supply of a name, or of the only one that begins so.</summary>
    /// <exception cref="EntryException">None, or several.</exception>
    public SupplyStock Find(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        var exact = Supplies.Where(s => string.Equals(s.Supply.Name, name.Trim(), StringComparison.OrdinalIgnoreCase)).ToList();
        var found = exact.Count > 0 ? exact : [.. Supplies.Where(s =>
            s.Supply.Name.StartsWith(name.Trim(), StringComparison.OrdinalIgnoreCase))];
        return found.Count switch
        {
            1 => found[0],
            0 => throw new EntryException($"the shop keeps no \"{name}\"{Files.NearestWord.Question(name, Supplies.Select(s => s.Supply.Name))}"),
            _ => throw new EntryException($"several supplies begin with \"{name}\": {string.Join(", ", found.Select(s => s.Supply.Name))}"),
        };
    }

    /// <summary>The lots of a number, whatever the supply.</summary>
    public IReadOnlyList<(Supply Supply, LotStock Lot)> LotsOf(string number) =>
        [.. Supplies.SelectMany(s => s.Lots.Where(l => string.Equals(l.Lot.Number, number?.Trim(), StringComparison.OrdinalIgnoreCase))
            .Select(l => (s.Supply, l)))];

    /// <summary>The lot that a job takes from: the one named, or the oldest that is not doubted and holds enough.</summary>
    /// <exception cref="EntryException">There is not enough, or the lot is doubted.</exception>
    public static LotStock LotFor(SupplyStock stock, decimal quantity, string? number)
    {
        ArgumentNullException.ThrowIfNull(stock);
        if (number is not null)
        {
            var named = stock.Lots.FirstOrDefault(l => string.Equals(l.Lot.Number, number.Trim(), StringComparison.OrdinalIgnoreCase))
                ?? throw new EntryException($"{stock.Supply.Name} has no lot {number}; it has {string.Join(", ", stock.Lots.Select(l => l.Lot.Number))}");
            if (named.Doubts.Count > 0)
                throw new EntryException($"lot {named.Lot.Number} of {stock.Supply.Name} is doubted: {named.Doubts[^1].Why}");
            return named.Left >= quantity ? named
                : throw new EntryException($"lot {named.Lot.Number} of {stock.Supply.Name} has {Plain(named.Left)} {stock.Supply.Unit} left, not {Plain(quantity)}; count the stock again or take from another");
        }

        return stock.Lots.FirstOrDefault(l => l.Doubts.Count == 0 && l.Left >= quantity)
            ?? throw new EntryException($"no lot of {stock.Supply.Name} holds {Plain(quantity)} {stock.Supply.Unit}; {Plain(stock.Left)} are left in all");
    }

    /// <summary>What a job's parts cost: what was fitted, at its lot's price; lots without a price are named.</summary>
    public (Money Cost, IReadOnlyList<string> WithoutPrice) CostOf(Guid jobId, string currency)
    {
        var used = Supplies.SelectMany(s => s.Lots.SelectMany(l => l.Uses.Where(u => u.JobId == jobId)
            .Select(u => (s.Supply, l.Lot, Use: u)))).ToList();
        var cost = Money.Sum(used.Where(u => u.Lot.UnitPrice is not null).Select(u => u.Lot.UnitPrice!.Value * u.Use.Quantity), currency);
        return (cost, [.. used.Where(u => u.Lot.UnitPrice is null).Select(u => $"{u.Supply.Name}, lot {u.Lot.Number}").Distinct()]);
    }

    /// <summary>A quantity without a tail of zeros.</summary>
    public static string Plain(decimal number) => number.ToString("0.####", System.Globalization.CultureInfo.InvariantCulture);
}
