using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>Listing and fact sheet of a job, out of what the book holds.</summary>
public sealed class ListingDesk(ServiceBook book)
{
    /// <summary>Keeps the restorer's own words for a listing.</summary>
    public ListingText Keep(Guid jobId, string title, string? words, Money? asked, string? sample = null) => book.Work(w =>
    {
        var entry = new ListingText { JobId = jobId, Title = title, Words = words, Asked = asked, Sample = sample };
        return w.Standing<ListingText>(jobId) is [.., var old] ? w.Correct(old.Id, entry) : w.Add(entry);
    });

    /// <summary>Everything the listing says.</summary>
    /// <param name="jobId">The job.</param>
    /// <param name="sample">Link to a sound sample; null: the one that is kept with the listing's words.</param>
    public ListingData Of(Guid jobId, string? sample = null)
    {
        var shop = new ShopDesk(book).Facts;
        var signed = new SignOffDesk(book).Last(jobId);
        var record = new SignOffDesk(book).RecordForListing(jobId, signed is null ? null
            : new SealNote(signed.SignedAt, signed.KeyFingerprint, signed.RecordSha256));
        var text = book.Standing<ListingText>(jobId) is [.., var last] ? last : null;
        var sale = book.Standing<Sale>(jobId) is [.., var sold] ? sold : null;
        var board = new CheckDesk(book).Board(jobId);
        var checks = board.Checks.Where(c => c.AsLeft is { Outcome: CheckOutcome.Works or CheckOutcome.Fault }).ToList();
        var fitted = new SupplyDesk(book).FittedIn(jobId);
        var doubts = book.Standing<LotDoubt>().ToLookup(d => d.LotId);
        var photos = new PhotoDesk(book);
        return new ListingData
        {
            Title = text?.Title ?? $"{record.Deck.ProfileName}, restored and measured",
            Words = text?.Words,
            Asked = text?.Asked?.ToString(),
            Record = record,
            Work =
            [
                .. new PlanDesk(book)
                    .Board(jobId)
                    .Tasks.Where(t => t.State == TaskState.Done && t.Task.Stage is >= Stage.Strip and <= Stage.RunIn)
                    .GroupBy(t => t.Task.Stage)
                    .Select(g => $"{KebabWord.Plain(g.Key)}: {string.Join("; ", g.Select(t => Lower(t.Task.Title)))}"),
            ],
            Fitted =
            [
                .. fitted
                    .GroupBy(u => (u.Supply.Name, u.Supply.Unit, u.Use.Place))
                    .Select(g =>
                        $"{SupplyBoard.Plain(g.Sum(u => u.Use.Quantity))} {(g.Key.Unit == "piece" ? "×" : g.Key.Unit)} {g.Key.Name}: {g.Key.Place}"
                    ),
            ],
            Accessories = [.. book.Standing<Accessory>(jobId).Select(a => a.Note is null ? a.Name : $"{a.Name} ({a.Note})")],
            Untried = board.Checks.Count(c => c.IsUntried && c.Accepted is null),
            Open =
            [
                .. board.OpenPoints.Where(p => !board.Checks.Any(c => c.IsUntried && c.Check.Key == p.Key)).Select(p => p.Text),
                .. fitted
                    .SelectMany(f => doubts[f.Lot.Root].Select(d => $"{f.Supply.Name} ({f.Use.Place}) is of a lot in doubt: {d.Why}"))
                    .Distinct(),
            ],
            Functions = (checks.Count(c => c.AsLeft!.Outcome == CheckOutcome.Works), checks.Count),
            Photos = [.. photos.Photos(jobId).Select(p =>
                new ListingPhoto(p.Assembly, KebabWord.Plain(p.Mark), p.Caption, photos.Picture(p).Jpeg))],
            WarrantyMonths = sale?.WarrantyMonths ?? shop.WarrantyMonths,
            WarrantyTerms = sale?.Terms ?? shop.WarrantyTerms,
            Sample = sample ?? text?.Sample,
            Shop = shop.Place is { } place ? $"{shop.Name}, {place}" : shop.Name,
        };
    }

    private static string Lower(string title) => title.Length > 1 && char.IsLower(title[1]) ? char.ToLowerInvariant(title[0]) + title[1..]
        : title;
}
