using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>The shop's own settings: name, currency, time zone, warranty.</summary>
public sealed class ShopDesk(ServiceBook book)
{
    /// <summary>What the shop is taken for before anybody said.</summary>
    public static ShopFacts Unnamed { get; } = new() { Name = "workshop without a name", Currency = "EUR", Zone = TimeZoneInfo.Local.Id };

    /// <summary>The shop as it was last set.</summary>
    public ShopFacts Facts => book.Standing<ShopFacts>() is [.., var last] ? last : Unnamed;

    /// <summary>The zone in which people's times are meant.</summary>
    /// <exception cref="EntryException">This computer does not know it.</exception>
    public TimeZoneInfo Zone => ZoneOf(Facts.Zone);

    /// <summary>Sets the shop's facts.</summary>
    public ShopFacts Set(ShopFacts facts)
    {
        ArgumentNullException.ThrowIfNull(facts);
        ZoneOf(facts.Zone);
        return book.Work(w => w.Standing<ShopFacts>() is [.., var old] ? w.Correct(old.Id, facts) : w.Add(facts));
    }

    private static TimeZoneInfo ZoneOf(string id) => TimeZoneInfo.TryFindSystemTimeZoneById(id, out var zone) ? zone
        : throw new EntryException($"this computer knows no time zone {id}; expected such as Europe/Dublin or UTC");
}
