using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.Storage;

/// <summary>Every kind of entry with its table.</summary>
internal static class EntryTables
{
    private const string OfJob = "job_id";

    private static readonly Dictionary<Type, EntryTable> ByType = new EntryTable[]
    {
        new(typeof(PlanText), "plan_text", null),
        new(typeof(JobTask), "job_task", OfJob),
        new(typeof(TaskMark), "task_mark", OfJob),
        new(typeof(ClockEntry), "clock_entry", OfJob),
        new(typeof(JobCheck), "job_check", OfJob),
        new(typeof(CheckResult), "check_result", OfJob),
        new(typeof(CheckAcceptance), "check_acceptance", OfJob),
        new(typeof(Fault), "fault", OfJob),
        new(typeof(LoadedTape), "loaded_tape", OfJob),
        new(typeof(Accessory), "accessory", OfJob),
        new(typeof(Photo), "photo", OfJob),
        new(typeof(Supply), "supply", null),
        new(typeof(Lot), "lot", "supply_id"),
        new(typeof(SupplyUse), "supply_use", "lot_id"),
        new(typeof(LotDoubt), "lot_doubt", "lot_id"),
        new(typeof(KeptInstrument), "kept_instrument", null),
        new(typeof(InstrumentEvent), "instrument_event", "instrument_id"),
        new(typeof(DeckOwner), "deck_owner", "deck_id"),
        new(typeof(ProfileText), "profile_text", null),
        new(typeof(Offer), "offer", null),
        new(typeof(PriceFetched), "price_fetched", null),
        new(typeof(JobCost), "job_cost", OfJob),
        new(typeof(Sale), "sale", OfJob),
        new(typeof(ListingText), "listing_text", OfJob),
        new(typeof(ShopFacts), "shop_facts", null),
        new(typeof(SignOff), "sign_off", OfJob),
        new(typeof(TurnedControl), "turned_control", OfJob),
    }.ToDictionary(t => t.Type);

    public static IReadOnlyCollection<EntryTable> All => ByType.Values;

    public static EntryTable Of<T>()
        where T : BookEntry => ByType.TryGetValue(typeof(T), out var table) ? table
            : throw new InvalidOperationException($"the book keeps no {typeof(T).Name}");
}
