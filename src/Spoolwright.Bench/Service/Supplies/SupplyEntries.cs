using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.Bench.Service.Supplies;

/// <summary>What a supply is.</summary>
public enum SupplyKind
{
    Belt,

    Roller,

    Relay,

    Lamp,

    Lubricant,

    Cleaner,

    Electronic,

    Mechanical,

    Tape,

    Packing,

    Other,
}

/// <summary>A part or supply that the shop keeps.</summary>
public sealed record Supply : BookEntry
{
    public required string Name { get; init; }

    public required SupplyKind Kind { get; init; }

    /// <summary>What it is counted in: <c>piece</c>, <c>ml</c>, <c>g</c>, <c>m</c>.</summary>
    public required string Unit { get; init; }

    /// <summary>Order again at this stock or below.</summary>
    public decimal ReorderAt { get; init; }

    public string? Remark { get; init; }

    public override void Check()
    {
        Need(Name, "the supply's name", 120);
        Need(Unit, "the unit it is counted in", 20);
        Hold(ReorderAt is >= 0 and <= 1_000_000, $"reorder at {ReorderAt} makes no sense; expected 0 or more");
    }
}

/// <summary>One delivery of a supply.</summary>
public sealed record Lot : BookEntry
{
    public required Guid SupplyId { get; init; }

    public required string Supplier { get; init; }

    /// <summary>The supplier's own number, or the shop's where there is none.</summary>
    public required string Number { get; init; }

    public required DateOnly Received { get; init; }

    public required decimal Quantity { get; init; }

    /// <summary>Price of one unit; null: not known.</summary>
    public Money? UnitPrice { get; init; }

    public string? Remark { get; init; }

    public override void Check()
    {
        Need(Supplier, "the supplier", 120);
        Need(Number, "the lot's number", 80);
        Hold(Quantity is > 0 and <= 1_000_000, $"a lot of {Quantity} makes no sense; expected more than 0");
    }
}

/// <summary>That something of a lot was fitted, used up or lost.</summary>
public sealed record SupplyUse : BookEntry
{
    public required Guid LotId { get; init; }

    /// <summary>The job it went into; null: waste, or a count that came out lower.</summary>
    public Guid? JobId { get; init; }

    /// <summary>How much; negative only where a count came out higher.</summary>
    public required decimal Quantity { get; init; }

    /// <summary>Where it was fitted, or why it went.</summary>
    public required string Place { get; init; }

    public required DateOnly Day { get; init; }

    public override void Check()
    {
        Need(Place, "where it was fitted", 200);
        Hold(Quantity != 0 && Math.Abs(Quantity) <= 1_000_000, $"{Quantity} makes no sense as a quantity");
        Hold(Quantity > 0 || JobId is null, "a job takes more than 0; what comes back is a correction of the entry");
    }
}

/// <summary>That a lot is doubted: where else did it go?</summary>
public sealed record LotDoubt : BookEntry
{
    public required Guid LotId { get; init; }

    public required string Why { get; init; }

    public override void Check() => Need(Why, "why the lot is doubted", 2000);
}
