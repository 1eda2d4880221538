using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Web.Book;

/// <summary>An entry in a few words, to tell it from others before it is undone.</summary>
internal static class EntryWords
{
    public static string Of(BookEntry entry) => entry switch
    {
        PlanText p => p.Name,
        JobTask t => t.Title,
        TaskMark m => $"{m.TaskKey.Replace('-', ' ')}: {KebabWord.Plain(m.State)}{More(m.Remark)}",
        ClockEntry c => $"{c.TaskKey.Replace('-', ' ')}, {c.Day:yyyy-MM-dd}: {(c.Runs ? "running" : TypedTime.Words(c.Length(c.Entered)))}{More(c.Remark)}",
        JobCheck k => k.Title,
        CheckResult r => $"{r.CheckKey.Replace('-', ' ')}, {KebabWord.Plain(r.Mark)}: {KebabWord.Plain(r.Outcome)}{More(r.Note)}",
        CheckAcceptance a => $"{a.CheckKey.Replace('-', ' ')}: {a.Words}",
        Fault f => $"{f.Assembly}: {f.What} ({KebabWord.Plain(f.State)})",
        LoadedTape l => $"{KebabWord.Plain(l.Kind)}{More(l.Name)}",
        Accessory a => a.Name + More(a.Note),
        Photo p => $"{p.Assembly}, {KebabWord.Plain(p.Mark)}{More(p.Caption)}",
        Supply s => s.Name,
        Lot l => $"{l.Number}, {SupplyBoard.Plain(l.Quantity)} from {l.Supplier}",
        SupplyUse u => $"{SupplyBoard.Plain(u.Quantity)}: {u.Place}",
        LotDoubt d => d.Why,
        KeptInstrument i => $"{i.Kind} {i.Name}",
        InstrumentEvent e => $"{KebabWord.Plain(e.Kind)}: {e.What}",
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

    private static string More(string? text) => string.IsNullOrWhiteSpace(text) ? "" : $"; {text}";
}
