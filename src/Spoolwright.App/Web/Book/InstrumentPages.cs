using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Register;

namespace Spoolwright.App.Web.Book;

/// <summary>The register of instruments, and what a doubtful one touched.</summary>
internal static class InstrumentPages
{
    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> ListVerbs { get; } = new Dictionary<string, Func<BookVisit, Written>>
    {
        ["keep"] = v => new Written("it is in the register", new InstrumentDesk(v.Book).Keep(new KeptInstrument
        {
            Kind = v.Need("kind", "the instrument's kind"),
            Name = v.Need("name", "the instrument's name"),
            SerialNumber = v.Text("serial"),
            Json = v.Text("file"),
            Certificate = v.Text("certificate"),
            CertifiedOn = v.MaybeDay("since"),
            DueOn = v.MaybeDay("due"),
            PlaysBefore = v.Whole("played") ?? 0,
            PlaysAtMost = v.Whole("most"),
            Remark = v.Text("remark"),
        })),
    };

    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> Verbs { get; } =
        new Dictionary<string, Func<BookVisit, Written>> { ["note"] = Note };

    public static BookPage List(BookVisit v)
    {
        var now = v.Book.Now;
        var all = new InstrumentDesk(v.Book).Histories();
        return new BookPage("Instruments")
        {
            Lines =
            [
                "What is found out about an instrument shows on every reading that leaned on it, backwards in time too. Enter lists which decks it touched.",
            ],
            Tables =
            [
                new PageTable("instruments", "Register",
                    [new("kind", "Kind"), new("name", "Name"), new("due", "Due"), new("plays", "Plays", ColumnKind.Figures), new("plays_at_most", "of", ColumnKind.Figures), new("measurements", "Measurements", ColumnKind.Figures), new("state", "Now", ColumnKind.State), new("doubts", "Why")],
                    [.. all.Select(h => (h, Doubts: h.DoubtsAt(now))).Select(x => new PageRow(
                        [
                            x.h.Instrument.Kind.Replace('-', ' '), x.h.Instrument.Name, BookVisit.Day(x.h.DueAt(now)), x.h.Instrument.Kind == "test-tape" ? x.h.PlaysBy(now) : null, x.h.Instrument.PlaysAtMost, x.h.Measurements,
                            x.Doubts.Count > 0 ? "in doubt" : "trusted", string.Join(" ", x.Doubts.Select(d => d.Text)),
                        ],
                        x.h.Instrument.Root.ToString(), $"/book/instrument/{x.h.Instrument.Root}"))])
                { Empty = "The register is empty: A adds an instrument." },
            ],
        };
    }

    public static BookPage One(BookVisit v)
    {
        var desk = new InstrumentDesk(v.Book);
        var history = desk.History(v.Id("instrument"));
        var (i, touched) = (history.Instrument, desk.Touched(history, v.Most));
        return new BookPage(i.Name)
        {
            Lines =
            [
                $"{i.Kind.Replace('-', ' ')}{(i.SerialNumber is { } serial ? $", number {serial}" : "")}{(i.Certificate is { } c ? $"; {c}" : "")}{(history.DueAt(v.Book.Now) is { } due ? $"; due {due:yyyy-MM-dd}" : "; no due date is set")}.",
                $"{history.Measurements} measurements leaned on it; {touched.Measurements} of them, on {touched.Decks} decks, while something spoke against it.",
            ],
            Warnings = [.. history.DoubtsAt(v.Book.Now).Select(d => d.Text)],
            Tables =
            [
                new PageTable("touched", "Measurements to be looked at again", [new("when", "When"), new("deck", "Deck"), new("measurement", "Measurement"), new("why", "Why")],
                    [.. touched.Newest.Select(t => new PageRow([v.When(t.Leaning.MeasuredAt), t.Leaning.Deck, t.Leaning.Measurement, string.Join(" ", t.Doubts.Select(d => d.Text))], null, $"/book/job/{t.Leaning.JobId}"))])
                { Empty = "Nothing that leaned on it is in doubt.", Count = touched.Measurements },
                new PageTable("events", "What happened to it", [new("since", "Since"), new("kind", "What"), new("what", "In words"), new("due", "Due"), new("entered", "Entered")],
                    [.. history.Events.OrderByDescending(e => e.Entered).Select(e => new PageRow([v.When(e.Since)[..10], KebabWord.Plain(e.Kind), e.What, BookVisit.Day(e.DueOn), v.When(e.Entered)], e.Id.ToString()))]),
                new PageTable("leanings", "Every measurement that leaned on it", [new("when", "When"), new("deck", "Deck"), new("measurement", "Measurement")],
                    [.. desk.Leanings(history, v.Most).Select(l => new PageRow([v.When(l.MeasuredAt), l.Deck, l.Measurement], null, $"/book/job/{l.JobId}"))])
                { Count = history.Measurements },
            ],
            More = json => PageSender.Words(json, "kinds", KebabWord.All<InstrumentEventKind>()),
        };
    }

    private static Written Note(BookVisit v)
    {
        var since = v.MaybeDay("since") is { } day ? TypedTime.At(day, TimeOnly.MinValue, v.Zone) : v.Book.Now;
        var desk = new InstrumentDesk(v.Book);
        var note = desk.Note(
            desk.History(v.Id("instrument")).Instrument.Name,
            v.Word("kind", InstrumentEventKind.Doubt),
            since,
            v.Need("what", "what happened"),
            v.MaybeDay("due")
        );
        var touched = desk.Touched(desk.History(v.Id("instrument")), 1);
        return new Written(
            $"{KebabWord.Plain(note.Kind)} is written down{(touched.Measurements > 0 ? $"; {touched.Measurements} measurements on {touched.Decks} decks carry a warning" : "")}",
            note
        );
    }
}
