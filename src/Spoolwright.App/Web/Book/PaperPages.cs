using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.Features;
using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Reports;

namespace Spoolwright.App.Web.Book;

/// <summary>A job's papers: money and parts, photos, the listing with its fact sheet.</summary>
internal static class PaperPages
{
    public static BookPage Money(BookVisit v)
    {
        var (job, deck) = v.Book.JobHead(v.Id("job"));
        var fitted = new SupplyDesk(v.Book).FittedIn(job.Id);
        var (lines, warnings) = (new List<string>(), new List<string>());
        try
        {
            var money = new OfferDesk(v.Book).MoneyOf(job.Id, v.Shop.Currency);
            lines.Add($"Deck {money.Paid}, parts {money.Parts}, other {money.Other}; {JobPage.Hours(money.Hours)} h.");
            lines.Add(
                money.Fetched is { } price
                    ? $"Fetched {price}: margin {money.Margin}{(money.Hourly is { } hourly ? $", {hourly} for each hour" : "")}."
                    : "Not sold yet."
            );
            if (money.PartsWithoutPrice.Count > 0)
                warnings.Add($"Parts without a price are not reckoned: {string.Join("; ", money.PartsWithoutPrice)}.");
        }
        catch (EntryException e)
        {
            warnings.Add($"The job's money cannot be added up: {e.Message}.");
        }

        return new BookPage($"Money and parts: {deck.ProfileName}, {deck.SerialNumber}")
        {
            Lines = lines,
            Warnings = warnings,
            Links = [new("the job", $"/book/job/{job.Id}")],
            Tables =
            [
                new PageTable(
                    "fitted",
                    "Parts fitted",
                    [
                        new("day", "Day"),
                        new("supply", "Supply"),
                        new("quantity", "How much", ColumnKind.Figures),
                        new("unit", "Unit"),
                        new("lot", "Lot"),
                        new("place", "Where"),
                        new("price", "Price of one", ColumnKind.Figures),
                    ],
                    [
                        .. fitted.Select(f => new PageRow(
                            [
                                BookVisit.Day(f.Use.Day),
                                f.Supply.Name,
                                f.Use.Quantity,
                                f.Supply.Unit,
                                f.Lot.Number,
                                f.Use.Place,
                                f.Lot.UnitPrice?.ToString(),
                            ],
                            f.Use.Id.ToString(),
                            $"/book/lot/{Uri.EscapeDataString(f.Lot.Number)}"
                        )),
                    ]
                ),
                new PageTable(
                    "costs",
                    "Other costs",
                    [
                        new("day", "Day"),
                        new("kind", "Kind"),
                        new("amount", "Amount", ColumnKind.Figures),
                        new("what", "For what"),
                        .. EntryStates.Columns,
                    ],
                    EntryStates.Rows(
                        v.Book.Everything<JobCost>(job.Id),
                        c => [BookVisit.Day(c.Day), KebabWord.Plain(c.Kind), c.Amount.ToString(), c.What]
                    )
                ),
                new PageTable(
                    "sale",
                    "Sale",
                    [
                        new("day", "Day"),
                        new("price", "Price", ColumnKind.Figures),
                        new("buyer", "Buyer"),
                        new("warranty_months", "Warranty, months", ColumnKind.Figures),
                        new("terms", "It covers"),
                    ],
                    [
                        .. v
                            .Book.Standing<Sale>(job.Id)
                            .Select(s => new PageRow(
                                [BookVisit.Day(s.Day), s.Price.ToString(), s.Buyer, s.WarrantyMonths, s.Terms],
                                s.Id.ToString()
                            )),
                    ]
                )
                {
                    Empty = "Not sold yet.",
                },
            ],
            More = json => PageSender.Words(json, "supplies", v.Book.Standing<Supply>().Select(s => s.Name).Order(StringComparer.Ordinal)),
        };
    }

    public static BookPage Photos(BookVisit v)
    {
        var (job, deck) = v.Book.JobHead(v.Id("job"));
        var photos = new PhotoDesk(v.Book).Photos(job.Id).OrderBy(p => p.Assembly, StringComparer.Ordinal).ThenBy(p => p.Mark).ToList();
        return new BookPage($"Photos: {deck.ProfileName}, {deck.SerialNumber}")
        {
            Lines =
            [
                "A photo is scaled to 1600 pixels and encoded anew when it is taken in: place, time and the camera's other data are left behind.",
            ],
            Links = [new("the job", $"/book/job/{job.Id}")],
            Tables =
            [
                new PageTable(
                    "photos",
                    "Photos by assembly",
                    [new("assembly", "Assembly"), new("mark", "When"), new("caption", "Caption"), new("sha256", "Hash")],
                    [.. photos.Select(p => new PageRow([p.Assembly, KebabWord.Plain(p.Mark), p.Caption, p.Sha256[..12]], p.Id.ToString()))]
                )
                {
                    Empty = "No photo yet: A adds one.",
                },
            ],
            More = json => WebJson.Array(json, "photos", photos, static (json, p) =>
            {
                json.WriteString("assembly", p.Assembly);
                json.WriteString("mark", KebabWord.Plain(p.Mark));
                json.WriteString("caption", p.Caption);
                json.WriteString("src", $"/api/book/photo/{p.Sha256}");
            }),
        };
    }

    /// <summary>A photo as the book has it.</summary>
    public static Task Photo(BookVisit v, HttpContext context)
    {
        var hash = (string)context.Request.RouteValues["sha256"]!;
        var image = v.Book.ReadPhoto(hash);
        context.Response.ContentType = "image/jpeg";
        return context.Response.Body.WriteAsync(image.Jpeg).AsTask();
    }

    /// <summary>Takes a photo in: the body is the picture.</summary>
    public static RequestDelegate AddPhoto(BookShelf shelf) =>
        context =>
            BookVisit.Guarded(
                context,
                async () =>
                {
                    context.Features.Get<IHttpMaxRequestBodySizeFeature>()!.MaxRequestBodySize = PictureIntake.MostBytes;
                    var v = new BookVisit(context, shelf.Book, default);
                    var (job, _) = v.Book.JobHead(v.Id("job"));
                    if (v.Query("assembly").Trim() is not { Length: > 0 } assembly)
                        throw new EntryException("the assembly is missing");
                    using var bytes = new MemoryStream();
                    await context.Request.Body.CopyToAsync(bytes, context.RequestAborted).ConfigureAwait(false);
                    var mark = v.Query("mark") is { Length: > 0 } word ? KebabWord.Parse<Mark>(word, "mark") : Mark.AsFound;
                    var photo = new PhotoDesk(v.Book).Add(
                        job.Id,
                        mark,
                        assembly,
                        v.Query("caption") is { Length: > 0 } caption ? caption : null,
                        bytes.ToArray()
                    );
                    await BookVisit.Send(context, new Written("the photo is in the book", photo)).ConfigureAwait(false);
                }
            );

    public static BookPage Listing(BookVisit v)
    {
        var (job, deck) = v.Book.JobHead(v.Id("job"));
        var listing = new ListingDesk(v.Book).Of(job.Id);
        var text = v.Book.Standing<ListingText>(job.Id) is [.., var last] ? last : null;
        var open = new CheckDesk(v.Book).Board(job.Id).OpenPoints;
        var signed = new SignOffDesk(v.Book).Last(job.Id);
        return new BookPage($"Listing: {deck.ProfileName}, {deck.SerialNumber}")
        {
            Lines =
            [
                "The book says what it holds and nothing else; E adds words of your own.",
                signed is null ? "Not signed yet." : $"Signed {v.When(signed.SignedAt)} by the key {signed.KeyFingerprint}.",
            ],
            Warnings = open.Count > 0 && signed is null ? [$"{open.Count} points block the sign-off; the job's page lists them."] : [],
            Links =
            [
                new("the job", $"/book/job/{job.Id}"),
                new("signing off", $"/book/signing/{job.Id}"),
                new("fact sheet with pictures", $"/record/{job.Id}/sheet", Apart: true),
                new("record", $"/record/{job.Id}", Apart: true),
            ],
            Tables =
            [
                new PageTable(
                    "versions",
                    "Words kept, earlier ones among them",
                    [
                        new("entered", "Entered"),
                        new("title", "Title"),
                        new("asked", "Asked", ColumnKind.Figures),
                        new("sample", "Sound sample"),
                        new("words", "Words"),
                    ],
                    [
                        .. v
                            .Book.Everything<ListingText>(job.Id)
                            .Reverse()
                            .Select(t => new PageRow(
                                [v.When(t.Entered), t.Title, t.Asked?.ToString(), t.Sample, t.Words],
                                t.Id.ToString()
                            )),
                    ]
                )
                {
                    Empty = "No words of your own yet.",
                },
            ],
            More = json =>
            {
                json.WriteString("text", ListingWriter.Text(listing));
                json.WriteString("ownTitle", text?.Title);
                json.WriteString("ownWords", text?.Words);
                json.WriteString("ownAsked", text?.Asked?.ToString());
                json.WriteString("ownSample", text?.Sample);
            },
        };
    }

    /// <summary>The fact sheet as a page of its own.</summary>
    public static Task Sheet(BookVisit v, HttpContext context)
    {
        context.Response.ContentType = "text/html; charset=utf-8";
        return context.Response.WriteAsync(ListingWriter.FactSheet(new ListingDesk(v.Book).Of(v.Id("job"))));
    }
}
