using System.CommandLine;
using System.Globalization;
using System.Text.Encodings.Web;
using System.Text.Json;
using Spoolwright.App.Desk;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary><c>listing</c>, <c>field</c>, and what <c>book</c> has of them: sign-off, aftercare, decks side by side, tables.</summary>
internal static class ListingCommand
{
    private static readonly JsonSerializerOptions Json =
        new() { WriteIndented = true, Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    public static Command Listing(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("listing", "Listing, fact sheet and sign-off of a job.",
            "Both say what the book holds and nothing else: what was done and fitted, what was measured, which faults are left, and the warranty. The record is signed with the shop's own key.",
            v.Verb(
                "words",
                "Keeps your own words for the listing.",
                [
                    BookVerbs.JobName(),
                    BookVerbs.Word("title", "The title."),
                    BookVerbs.Given("--text", "TEXT", "Words of your own."),
                    BookVerbs.Given("--asked", "AMOUNT", "The price asked."),
                    BookVerbs.Given("--sample", "LINK", "Where the sound sample is to be heard."),
                ],
                [new("spoolwright listing words 3f2a \"Auto-reverse deck, rebuilt and measured\" --asked 980", "The book adds its facts.")],
                c =>
                    $"kept: {new ListingDesk(c.Book).Keep(c.Job.Id, c.Need("title"), c.Text("--text"), c.Money("--asked"), c.Text("--sample")).Title}"
            ),
            v.Verb(
                "write",
                "Writes the listing, and the fact sheet with pictures.",
                [
                    BookVerbs.JobName(),
                    BookVerbs.Given("--sheet", "FILE", "Write the fact sheet as one HTML page."),
                    BookVerbs.Given("--sample", "LINK", "Where the sound sample is to be heard; else the one kept with the words."),
                ],
                [new("spoolwright listing write 3f2a --sheet fact-sheet.html", "The listing goes to the screen, to be pasted.")],
                Write
            ),
            v.Verb(
                "sign",
                "Signs a job's record with the shop's key.",
                [
                    BookVerbs.JobName(),
                    BookVerbs.Given("--key", "FILE", "The shop's key.", required: true),
                    BookVerbs.Given("--to", "DIR", "Folder for record and sealed sheet.", required: true),
                ],
                [new("spoolwright listing sign 3f2a --key shop-key.pem --to handover", "Open points block it (spoolwright check open).")],
                c =>
                    $"signed by the key {new SignOffDesk(c.Book).Sign(c.Job, c.Need("--key"), c.Need("--to")).KeyFingerprint}; {Path.Combine(c.Need("--to"), SignOffDesk.SheetName)} goes with the record, and anyone can check it with spoolwright book verify"
            ),
            v.Verb(
                "aftercare",
                "Holds later readings beside those as left: what has drifted, and when to service again.",
                [BookVerbs.JobName(), BookVerbs.Flag("--all", "What has not drifted for certain, too.")],
                [new("spoolwright listing aftercare 3f2a", "The later job's as-found readings count.")], Aftercare));
    }

    public static Command Field(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Verb("field", "All decks of a kind side by side: spread as found and as left, repeatability, hours.",
            [BookVerbs.Word("profile", "The kind of deck."), BookVerbs.Given("--deck", "SERIAL", "Say where this deck stands."),
                BookVerbs.Given("--quantity", "ID", "One quantity alone."),
                BookVerbs.Given("--html", "FILE", "Write it as a page with plots."),
            ],
            [
                new(
                    "spoolwright field \"Marrowby 74 R\" --deck \"740 1183\" --html field.html",
                    "Where the deck on the bench stands among its kind."
                ),
            ],
            FieldTable,
            "Of each deck the last reading counts. Repeatability comes from measurements of the same deck, condition, tape and day, superseded ones among them."
        );
    }

    /// <summary>Commands that stand under <c>book</c>.</summary>
    public static IEnumerable<Command> OfBook(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        yield return v.Verb("table", "Writes a table of the book whole, as CSV or JSON.",
            [BookVerbs.MaybeWord("table", "Its name; the names are listed where none is given."),
            BookVerbs.Flag("--json", "JSON instead of CSV.")],
            [new("spoolwright book table clock_entry > hours.csv", "Every sitting, corrected ones among them."),
                new("spoolwright book table", "Names the tables.")], Table,
            "Rows are as they stand in the book: a row that another supersedes, or that was taken back, is there as well.");
        yield return v.Verb("lately", "Lists what was written lately, newest first.",
            [BookVerbs.Given("--most", "N", "How many; 20 where not said.")],
            [new("spoolwright book lately", "With the number of each entry, to undo it.")], c =>
            {
                var entries = c.Book.Lately(c.Whole("--most") ?? 20);
                var whole = c.Book.Read(entries);
                var words = new EntryWords(c.Book, [.. whole.Values]);
                c.Table(["!Entry", "!When", "What", "Deck", "In it"], entries.Select(e => new[]
                {
                    Number(e), c.When(e.Entered), TableWords.Of(e.Table), whole.TryGetValue(e.Id, out var entry) ? words.DeckOf(entry) : "",
                    (e.Withdrawn is { } why ? $"takes back ({why}): " : "") + (entry is null ? "" : words.Of(entry)),
                }));
                return ExitCode.Done;
            });
        yield return v.Verb("undo", "Undoes what was done last, or an entry, by a new one; nothing leaves the book.",
            [BookVerbs.MaybeWord("entry", "The number of an entry or a change; what was done last where none is given.")],
            [new("spoolwright book undo", "The last thing that was written."),
                new("spoolwright book undo 91bc", "One of the last hundred.")], c =>
            {
                if (c.Text("entry") is not { } number)
                    return $"{c.Book.UndoLast()}; spoolwright book undo takes that back";
                var found = c.Book.Lately(100).Where(e => Number(e).StartsWith(number, StringComparison.OrdinalIgnoreCase)).ToList();
                if (
                    found.Count == 0
                    && c.Book.Acts().Where(a => BookCommand.Number(a.Id).StartsWith(number, StringComparison.OrdinalIgnoreCase)).ToList()
                        is [var act]
                )
                    return c.Book.Undo(act.Id).What;
                if (found.Count != 1)
                    throw new CallException(
                        found.Count == 0
                            ? $"none of the last hundred entries, and no change, begins with {number}; spoolwright book lately and book history list them"
                            : $"{found.Count} entries begin with {number}; give more digits"
                    );
                c.Book.UndoEntry(found[0]);
                return $"{TableWords.Of(found[0].Table)} {Number(found[0])} is undone; spoolwright book undo takes that back";
            },
            "What was added is taken back, what was corrected becomes as it was before, and what was taken back stands again. What was written together is undone together. "
                + "Changes of decks, jobs and settings are undone by the same command, in the order of time. Readings are not undone: a better one takes a reading's place."
        );
        var sheet = BookVerbs.Word("sheet", "The sealed sheet, sign-off.json, with the record's files beside it.");
        var fingerprint = BookVerbs.Given("--fingerprint", "HEX", "The key's fingerprint, as the shop gave it to you by another way.");
        var verify = new Command("verify", "Checks a signed record. Needs no book.") { sheet, fingerprint };
        verify.SetAction(call => BookVerbs.Guard(() =>
        {
            InputFiles.MustBeReadable(call.GetRequiredValue(sheet));
            var check = SignOffDesk.Check(call.GetRequiredValue(sheet), call.GetValue(fingerprint));
            foreach (var line in check.Lines)
                TextLayout.WriteParagraph(terminal.Output, line, terminal.Width);
            TextLayout.WriteParagraph(terminal.Output, check.Whole ? Bench.Service.Trade.RecordSeal.DoesNotProve
                : "Something is not as it was signed.", terminal.Width);
            return check.Whole ? ExitCode.Done : ExitCode.LimitNotMet;
        }));
        lessons[verify] = new Lesson
        {
            Examples = [new("spoolwright book verify handover/sign-off.json --fingerprint \"1f2e …\"",
                "Signature, fingerprint, and the hash of each file.")],
            ExitCodes = [HelpRow.Of(ExitCode.Done, "everything is as it was signed"), HelpRow.Of(ExitCode.LimitNotMet, "something is not"),
                HelpRow.Of(ExitCode.CallWrong, "the call is wrong, or the sheet cannot be read")],
        };
        yield return verify;
    }

    private static string Number(LateEntry entry) => Bench.Service.Checks.CheckBoard.ShortKey(entry.Id);

    private static int Write(BookCall c)
    {
        var listing = new ListingDesk(c.Book).Of(c.Job.Id, c.Text("--sample"));
        c.Out.Write(ListingWriter.Text(listing));
        if (c.Text("--sheet") is { } path)
            InputFiles.WriteNew(path, ListingWriter.FactSheet(listing));
        return ExitCode.Done;
    }

    private static int Aftercare(BookCall c)
    {
        var care = new FieldDesk(c.Book).Since(c.Job);
        var lines = care.Lines.Where(l => c.Has("--all") || l.Proven).ToList();
        c.Table(["Quantity", "~As left", "~Later", "~Change ± U", "Limit reached"], lines.Select(l => new[]
        {
            l.Key.Words, Figure(l.Left.Value), Figure(l.Later.Value),
                $"{UncertainFigure.Format(l.Change, l.Uncertainty)} {l.Key.Unit}",
            l.LimitReached is { } day ? day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) + ", if it goes on so" : l.Proven
                ? "not within ten years" : "no drift proven",
        }));
        c.Say($"{care.Lines.Count(l => l.Proven)} of {care.Lines.Count} quantities have drifted for certain.");
        c.Say(
            care.ServiceBy is not { } by ? "Nothing drifts towards a limit for certain."
            : by <= c.Today
                ? $"Service now: {string.Join("; ", care.Lines.Where(l => l.LimitReached <= c.Today).Select(l => l.Key.Words))}."
            : $"Service again before {by:yyyy-MM-dd}: a straight line through two readings, no more."
        );
        return ExitCode.Done;
    }

    private static int FieldTable(BookCall c)
    {
        var deck = c.Text("--deck") is { } serial ? new JobDesk(c.Book).FindDeck(serial) : null;
        var field = new FieldDesk(c.Book).Of(c.Need("profile"), deck, c.Text("--quantity"));
        c.Table(["Quantity", "~Found", "~Left", "~Gain", "~Decks", "Stands"],
            field.Quantities.Where(q => q.Decks.Count > 1 && q.Key.Quantity != "flutter-line").Select(q => new[]
        {
            $"{q.Key.Words} ({q.Key.Unit})", q.AsFound is { } f ? Figure(f.Median) : "", q.AsLeft is { } l ? Figure(l.Median) : "",
                q.Gain is { } g ? Figure(g.Mean) : "",
            q.Decks.Count.ToString(CultureInfo.InvariantCulture), deck is not null && q.StandOf(deck.Id) is { } stand
                ? $"above {stand.Below} of {stand.Others}" : "",
        }));
        foreach (var r in field.Repeats)
            c.Say(
                $"{Bench.Quantity.Find(r.Quantity)?.Name ?? r.Quantity}: one measurement scatters by {Figure(r.Deviation)} {r.Unit} ({r.Groups} group{(r.Groups == 1 ? "" : "s")}, {r.Freedom} degree{(r.Freedom == 1 ? "" : "s")} of freedom); two differ for certain beyond {Figure(r.LeastDifference)} {r.Unit}"
            );
        if (c.Text("--html") is { } path)
            InputFiles.WriteNew(path, FieldReport.Write(field));
        return ExitCode.Done;
    }

    private static int Table(BookCall c)
    {
        if (c.Text("table") is not { } name)
        {
            foreach (var one in ServiceBook.TableNames)
                c.Say(one);
            return ExitCode.Done;
        }

        if (!ServiceBook.TableNames.Contains(name, StringComparer.Ordinal))
            throw new CallException($"the book has no table {name}; spoolwright book table lists them");
        var table = c.Book.ReadTable(name);
        if (c.Has("--json"))
        {
            c.Out.WriteLine(JsonSerializer.Serialize(table.Rows.Select(r => table.Columns.Zip(r)
                .ToDictionary(p => p.First, p => p.Second)), Json));
            return ExitCode.Done;
        }

        c.Out.WriteLine(string.Join(',', table.Columns));
        foreach (var row in table.Rows)
            c.Out.WriteLine(string.Join(',', row.Select(Csv)));
        return ExitCode.Done;
    }

    private static string Csv(object? value)
    {
        var text = Convert.ToString(value, CultureInfo.InvariantCulture) ?? "";
        return text.AsSpan().IndexOfAny(",\"\n\r") < 0 ? text : $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
    }

    private static string Figure(double value)
    {
        // Three digits: enough to compare.
        var decimals = value == 0 ? 0 : Math.Clamp(2 - (int)Math.Floor(Math.Log10(Math.Abs(value))), 0, 6);
        return value.ToString("F" + decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
    }
}
