using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.Bench.Service.Supplies;

/// <summary>A lot with what is left of it.</summary>
public sealed record LotStock(Lot Lot, decimal Left, IReadOnlyList<LotDoubt> Doubts);

/// <summary>Something of a lot that was fitted in a job.</summary>
public sealed record Fitted(Supply Supply, Lot Lot, SupplyUse Use)
{
    /// <summary>What fitted parts cost, at their lots' prices; lots without a price are named.</summary>
    /// <exception cref="EntryException">Prices are of several currencies.</exception>
    public static (Money Cost, IReadOnlyList<string> WithoutPrice) CostOf(IEnumerable<Fitted> fitted, string currency)
    {
        var used = fitted.ToList();
        return (Money.Sum(used.Where(u => u.Lot.UnitPrice is not null).Select(u => u.Lot.UnitPrice!.Value * u.Use.Quantity), currency),
            [.. used.Where(u => u.Lot.UnitPrice is null).Select(u => $"{u.Supply.Name}, lot {u.Lot.Number}").Distinct()]);
    }
}

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
    /// <param name="supplies">What the shop keeps.</param>
    /// <param name="lots">Deliveries.</param>
    /// <param name="used">How much of each lot was used, by the lot's root; a lot that is not there was not touched.</param>
    /// <param name="doubts">Lots that are doubted.</param>
    public static SupplyBoard Of(IReadOnlyList<Supply> supplies, IReadOnlyList<Lot> lots, IReadOnlyDictionary<Guid, decimal> used,
        IReadOnlyList<LotDoubt> doubts)
    {
        ArgumentNullException.ThrowIfNull(supplies);
        ArgumentNullException.ThrowIfNull(used);
        var doubtsOf = doubts.ToLookup(d => d.LotId);
        var lotsOf = lots.ToLookup(l => l.SupplyId);
        return new SupplyBoard([.. supplies.OrderBy(s => s.Name, StringComparer.Ordinal)
            .Select(s => new SupplyStock(s, [.. lotsOf[s.Root].OrderBy(l => l.Received).ThenBy(l => l.Entered)
            .Select(l => new LotStock(l, l.Quantity - used.GetValueOrDefault(l.Root), [.. doubtsOf[l.Root]]))]))]);
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
            0 => throw new EntryException(
                $"the shop keeps no \"{name}\"{Files.NearestWord.Question(name, Supplies.Select(s => s.Supply.Name))}"
            ),
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
            var named =
                stock.Lots.FirstOrDefault(l => string.Equals(l.Lot.Number, number.Trim(), StringComparison.OrdinalIgnoreCase))
                ?? throw new EntryException(
                    $"{stock.Supply.Name} has no lot {number}; it has {string.Join(", ", stock.Lots.Select(l => l.Lot.Number))}"
                );
            if (named.Doubts.Count > 0)
                throw new EntryException($"lot {named.Lot.Number} of {stock.Supply.Name} is doubted: {named.Doubts[^1].Why}");
            return named.Left >= quantity
                ? named
                : throw new EntryException(
                    $"lot {named.Lot.Number} of {stock.Supply.Name} has {Plain(named.Left)} {stock.Supply.Unit} left, not {Plain(quantity)}; count the stock again or take from another"
                );
        }

        return stock.Lots.FirstOrDefault(l => l.Doubts.Count == 0 && l.Left >= quantity)
            ?? throw new EntryException(
                $"no lot of {stock.Supply.Name} holds {Plain(quantity)} {stock.Supply.Unit}; {Plain(stock.Left)} are left in all"
            );
    }

    /// <summary>A quantity without a tail of zeros.</summary>
    public static string Plain(decimal number) => number.ToString("0.####", System.Globalization.CultureInfo.InvariantCulture);
}
