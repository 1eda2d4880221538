using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Register;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Storage;

namespace Spoolwright.Benchmarks.Book;

/// <summary>
/// What is asked of the bench's server with a large book: every address that answers a GET, each with ids drawn anew at every call, and
/// every kind of what can be searched for.
/// </summary>
internal sealed class BookQuestions(ServiceBook book)
{
    /// <summary>Addresses with nothing of the book in them.</summary>
    private static readonly string[] WithoutBook = ["/files/{name}", "/pair", "/api/signal/{name}", "/api/practice"];

    private static readonly Dictionary<string, string> WordsOfKind = new()
    {
        ["deck"] = "marrowby",
        ["job"] = "found belts",
        ["measurement"] = "speed wav looked",
        ["unmeasured"] = "not measured",
        ["fault"] = "fault transport",
        ["accessory"] = "accessory dust",
        ["photo"] = "photo transport",
        ["task_mark"] = "task bearings",
        ["clock_entry"] = "clock lunch",
        ["check_result"] = "check hums",
        ["check_acceptance"] = "accepted lamps",
        ["job_cost"] = "cost fee",
        ["sale"] = "sale ada",
        ["listing_text"] = "listing restored",
        ["supply"] = "supply belt",
        ["lot"] = "lot lowmoor",
        ["supply_use"] = "lot capstan",
        ["lot_doubt"] = "lot hums",
        ["kept_instrument"] = "test tape",
        ["instrument_event"] = "tape motor",
        ["deck_owner"] = "owner almsby",
        ["offer"] = "offer dear",
    };

    private readonly Random random = new(7);
    private readonly IReadOnlyList<Job> jobs = book.Jobs();
    private readonly IReadOnlyList<Offer> offers = book.Standing<Offer>();
    private readonly IReadOnlyList<Lot> lots = book.Standing<Lot>();
    private readonly IReadOnlyList<KeptInstrument> instruments = book.Standing<KeptInstrument>();
    private readonly IReadOnlyList<ProfileLine> profiles = book.ProfileLines();

    /// <summary>A way to ask for each address, by its pattern; more than one where it answers in ways that cost differently.</summary>
    /// <exception cref="InvalidOperationException">An address or a kind has no question.</exception>
    public IReadOnlyList<(string What, Func<string> Address)> All(IEnumerable<string> patterns)
    {
        var questions = new List<(string, Func<string>)>();
        foreach (string pattern in patterns.Except(WithoutBook))
            questions.AddRange(Of(pattern));
        foreach (string kind in ServiceBook.SearchKinds)
        {
            string words = WordsOfKind.TryGetValue(kind, out var known)
                ? known
                : throw new InvalidOperationException($"no question finds {kind}");
            questions.Add(($"search for {kind}: {words}", () => Search(words)));
        }

        return
        [
            .. questions,
            ("search: a rare word", () => Search($"f{random.Next(3000):00000}")),
            ("search: a common word", () => Search("belts")),
            ("search: two that never meet", () => Search("accessory lowmoor")),
            ("search: in old entries alone", () => Search("marrowby 7")),
            ("search: beginning of a word", () => Search("be")),
            ("search: one letter", () => Search("b")),
            ("search: eight letters", () => Search("a b c d e f g h")),
            ("search: two common, one rare", () => Search($"belts replaced f{random.Next(3000):00000}")),
            ("search: nothing", () => Search("zwieback")),
        ];
    }

    private IEnumerable<(string, Func<string>)> Of(string pattern) =>
        pattern switch
        {
            "/api/book/lot/{number}" => [(pattern, () => "/api/book/lot/" + Any(lots).Number)],
            "/api/book/field/{profile}" =>
            [
                (pattern, () => "/api/book/field/" + Profile()),
                (
                    pattern + " of a deck",
                    () =>
                    {
                        var job = Any(jobs);
                        return $"/api/book/field/{Uri.EscapeDataString(book.ReadDeck(job.DeckId).ProfileName)}?deck={job.DeckId}";
                    }
                ),
            ],
            "/api/book/plots" => [(pattern, () => "/api/book/plots?profile=" + Profile())],
            "/record/field" => [(pattern, () => "/record/field?profile=" + Profile())],
            "/api/book/search" => [], // asked in many ways below
            "/api/book/plan" =>
            [
                (pattern, () => "/api/book/plan?name=" + Uri.EscapeDataString(Bench.Service.Plans.PlanLibrary.Default.Name)),
            ],
            "/api/book/profile" => [(pattern, () => "/api/book/profile?name=" + Profile())],
            "/api/book/photo/{sha256}" =>
            [
                (pattern, () => "/api/book/photo/" + book.Standing<Bench.Service.Checks.Photo>(Any(jobs).Id)[0].Sha256),
            ],
            "/api/book/table/{name}" => [(pattern + " (a file: sale)", () => "/api/book/table/sale?as=csv")],
            "/api/book/offer/{offer:guid}" => [(pattern, () => $"/api/book/offer/{Any(offers).Root}")],
            "/api/book/instrument/{instrument:guid}" => instruments.Select(i =>
                ($"{pattern} {i.Name}", (Func<string>)(() => $"/api/book/instrument/{i.Root}"))
            ),
            "/api/book/deck/{deck:guid}" => [(pattern, () => $"/api/book/deck/{Any(jobs).DeckId}")],
            _ when pattern.Contains("{job:guid}", StringComparison.Ordinal) =>
            [
                (pattern, () => pattern.Replace("{job:guid}", Any(jobs).Id.ToString(), StringComparison.Ordinal)),
            ],
            _ when !pattern.Contains('{', StringComparison.Ordinal) => [(pattern, () => pattern)],
            _ => throw new InvalidOperationException($"no question asks for {pattern}"),
        };

    private string Profile() => Uri.EscapeDataString(Any(profiles).ProfileName);

    private static string Search(string words) => "/api/book/search?q=" + Uri.EscapeDataString(words);

    private T Any<T>(IReadOnlyList<T> of) => of[random.Next(of.Count)];
}
