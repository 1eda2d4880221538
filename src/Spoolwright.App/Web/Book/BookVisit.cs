using System.Globalization;
using System.Text.Json;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.Features;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Files;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.App.Web.Book;

/// <summary>What a call wrote down.</summary>
/// <param name="Said">A sentence for the person.</param>
/// <param name="Entries">The entries, to be undone as one by the page's undo key.</param>
internal sealed record Written(string Said, params BookEntry[] Entries)
{
    /// <summary>A change of a deck or job that the journal holds; null: none.</summary>
    public Guid? Act { get; init; }

    /// <summary>The page to go on to; null: the same.</summary>
    public string? To { get; init; }
}

/// <summary>One call of a page on the service book: what it says, and the shop in which it is meant.</summary>
internal sealed class BookVisit(HttpContext context, ServiceBook book, JsonElement said)
{
    /// <summary>Largest body of a call, bytes: a plan or a profile as a file, and some room.</summary>
    public const long LargestBody = 1 << 20;

    /// <summary>The most rows of a table that a page is sent; CSV and JSON have all.</summary>
    public const int MostRows = 300;

    private ShopFacts? shop;

    public ServiceBook Book { get; } = book;

    /// <summary>Whether the call comes from the bench's own computer, not from a tablet.</summary>
    public bool IsHere => !Doorman.IsTablet(context);

    /// <summary>How many rows of a table this call can show: a book of thousands is not read for the first hundreds.</summary>
    public int Most => Query("table").Length > 0 ? int.MaxValue : MostRows;

    public ShopFacts Shop => shop ??= new ShopDesk(Book).Facts;

    public TimeZoneInfo Zone => field ??= new ShopDesk(Book).Zone;

    public DateOnly Today => DateOnly.FromDateTime(TimeZoneInfo.ConvertTime(Book.Now, Zone).DateTime);

    /// <summary>Answers a page's question: refuses in one line where it cannot.</summary>
    public static RequestDelegate Ask(BookShelf shelf, Func<BookVisit, BookPage> page) => context => Guarded(context, () =>
        PageSender.Send(context, page(new BookVisit(context, shelf.Book, default))));

    /// <summary>Answers a question that gives no page.</summary>
    public static RequestDelegate Answer(BookShelf shelf, Func<BookVisit, HttpContext, Task> answer) =>
        context => Guarded(context, () => answer(new BookVisit(context, shelf.Book, default), context));

    /// <summary>Writes what the address's verb says.</summary>
    public static RequestDelegate Write(BookShelf shelf, IReadOnlyDictionary<string, Func<BookVisit, Written>> verbs) =>
        context =>
            Guarded(
                context,
                async () =>
                {
                    var verb = (string?)context.Request.RouteValues["verb"] ?? "";
                    if (!verbs.TryGetValue(verb, out var write))
                        throw new EntryException($"nothing is called {verb} here");
                    context.Features.Get<IHttpMaxRequestBodySizeFeature>()!.MaxRequestBodySize = LargestBody;
                    using var body = await WebJson.Body(context).ConfigureAwait(false);
                    await Send(context, write(new BookVisit(context, shelf.Book, body.RootElement))).ConfigureAwait(false);
                }
            );

    /// <summary>Says what was written.</summary>
    public static Task Send(HttpContext context, Written written) => WebJson.Send(context, json =>
    {
        json.WriteString("said", Sentence(written.Said));
        json.WriteString("to", written.To);
        json.WriteString("act", written.Act?.ToString());
        WebJson.Array(json, "entries", written.Entries, static (json, entry) =>
        {
            json.WriteString("table", TableOf(entry));
            json.WriteString("id", entry.Id);
        });
    });

    /// <summary>Does it, and refuses in one plain line what the book or a rule of the shop refuses.</summary>
    public static async Task Guarded(HttpContext context, Func<Task> work)
    {
        try
        {
            await work().ConfigureAwait(false);
        }
        catch (BadHttpRequestException)
        {
            await WebJson.Refuse(context, "What was sent is larger than this call takes.").ConfigureAwait(false);
        }
        catch (Exception e)
            when (e is EntryException or ServiceBookException or FormatException or IOException or UnauthorizedAccessException)
        {
            await WebJson.Refuse(context, Sentence(e.Message)).ConfigureAwait(false);
        }
    }

    /// <summary>The id in the address.</summary>
    public Guid Id(string name) =>
        Guid.TryParse((string?)context.Request.RouteValues[name], out var id) ? id : throw new EntryException($"{name} is no id");

    /// <summary>A text in the address.</summary>
    public string Route(string name) => Uri.UnescapeDataString((string?)context.Request.RouteValues[name] ?? "");

    public string Query(string name) => context.Request.Query[name].ToString();

    /// <summary>A text that was said; null: none, or blanks.</summary>
    public string? Text(string name) =>
        said.ValueKind == JsonValueKind.Object && WebJson.Text(said, name)?.Trim() is { Length: > 0 } text ? text : null;

    public string Need(string name, string what) => Text(name) ?? throw new EntryException($"{what} is missing");

    public Guid NeedId(string name) => Guid.TryParse(Text(name), out var id) ? id : throw new EntryException($"{name} is no id");

    public T Word<T>(string name, T otherwise)
        where T : struct, Enum => Text(name) is { } text ? KebabWord.Parse<T>(text, name) : otherwise;

    public Money? Money(string name) => Text(name) is { } text ? Bench.Service.Trade.Money.Parse(text, Shop.Currency) : null;

    public Money NeedMoney(string name, string what) => Bench.Service.Trade.Money.Parse(Need(name, what), Shop.Currency);

    /// <summary>The day of something that has happened; today where none is said.</summary>
    public DateOnly Day(string name) => PastDay(name) ?? Today;

    public DateOnly? PastDay(string name) => Text(name) is { } text ? TypedDay.Past(text, Today) : null;

    public DateOnly? MaybeDay(string name) => Text(name) is { } text ? TypedDay.Parse(text, Today) : null;

    public decimal? Number(string name) =>
        Text(name) is not { } text ? null
        : decimal.TryParse(
            text,
            NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint,
            CultureInfo.InvariantCulture,
            out var number
        )
            ? number
        : throw new EntryException($"\"{text}\" {TypedComma.Problem(text) ?? "is no number"}");

    public int? Whole(string name) =>
        Number(name) is not { } number ? null
        : number == decimal.Truncate(number) && Math.Abs(number) < 1_000_000 ? (int)number
        : throw new EntryException($"{name}: {number} is no whole number");

    /// <summary>A moment in the shop's zone.</summary>
    public string When(DateTimeOffset at) => TimeZoneInfo.ConvertTime(at, Zone).ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture);

    public static string? Day(DateOnly? day) => day?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    /// <summary>The name of an entry's table.</summary>
    public static string TableOf(BookEntry entry) => KebabWord.Of(entry.GetType().Name).Replace('-', '_');

    private static string Sentence(string text) =>
        text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..] + (text[^1] is '.' or '?' or '!' or '…' ? "" : ".");
}
