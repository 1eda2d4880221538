using System.CommandLine;
using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Instruments;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Register;

namespace Spoolwright.App.Cli;

/// <summary><c>instrument</c>: the register of gauges, test tapes and interfaces.</summary>
internal static class InstrumentCommand
{
    public static Command Build(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("instrument", "Gauges, test tapes and interfaces, and how far they may be trusted.",
            "Readings lean on an instrument by its kind and name. Plays of a test tape are counted from the captures filed with it. What is found out later about an instrument shows on every reading that leaned on it, backwards in time.",
            v.Verb("keep", "Takes an instrument into the register.",
                [BookVerbs.Word("kind", "test-tape, tension-gauge, audio-interface, stopwatch …"),
                    BookVerbs.Word("name", "Its name, as readings are filed with it."),
                    BookVerbs.Given("--file", "FILE", "Its file: a gauge with its weights, a test tape's leaflet."),
                        BookVerbs.Given("--serial", "NUMBER", "Its serial number."),
                    BookVerbs.Given("--certificate", "TEXT", "Its certificate, in a line."),
                        BookVerbs.Given("--since", "DAY", "Since when the certificate holds."),
                        BookVerbs.Given("--due", "DAY", "Until when."),
                    BookVerbs.Given("--played", "N", "Plays before this book counted."),
                    BookVerbs.Given("--at-most", "N", "Plays after which a test tape is not trusted."),
                ],
                [
                    new(
                        "spoolwright instrument keep test-tape \"Speed tape 3150\" --file tape.json --certificate \"sheet 118\" --since 2026-01-10 --due 2028-01-10 --at-most 300",
                        "Readings filed with it are counted and watched."
                    ),
                    new(
                        "spoolwright instrument keep tension-gauge \"spring gauge\" --file gauge.json --due 2027-03-01",
                        "Its curve is read with check-gauge."
                    ),
                ],
                Keep,
                makesBook: true
            ),
            v.Verb(
                "list",
                "Lists the instruments, with due dates, plays and doubts.",
                [],
                [new("spoolwright instrument list", "What is overdue says so.")],
                List
            ),
            v.Verb(
                "note",
                "Writes down what happened to an instrument.",
                [
                    BookVerbs.Word("name", "The instrument."),
                    BookVerbs.Word("kind", string.Join(", ", KebabWord.All<InstrumentEventKind>()) + "."),
                    BookVerbs.Word("what", "What happened."),
                    BookVerbs.Given("--since", "DAY", "From when on; a doubt may reach back. Today where not said."),
                        BookVerbs.Given("--due", "DAY", "For a calibration: until when.")],
                [new("spoolwright instrument note \"Speed tape 3150\" field-exposure \"lay beside the demagnetiser\"",
                    "Readings from today on lean on a tape that may have lost treble."),
                    new("spoolwright instrument note \"spring gauge\" doubt \"reads 8 % high at 60\" --since 2026-02-01",
                        "Every reading since then says so.")], Note),
            v.Verb("touched", "Lists the readings and decks that a doubtful instrument touched.",
                [BookVerbs.Word("name", "The instrument.")],
                [new("spoolwright instrument touched \"spring gauge\"", "Which decks must be measured again.")], Touched));
    }

    private static string Keep(BookCall c)
    {
        var kind = KeptInstrument.KindWord(c.Need("kind"));
        string? json = null;
        if (c.Text("--file") is { } path)
        {
            if (kind == "test-tape")
                InputFiles.Parsed(path, TestTapeFile.Parse, "check-tape");
            else
                InputFiles.Parsed(path, GaugeFile.Parse, "check-gauge");
            json = InputFiles.Text(path);
        }

        var kept = new InstrumentDesk(c.Book).Keep(new KeptInstrument
        {
            Kind = kind,
            Name = c.Need("name"),
            Json = json,
            SerialNumber = c.Text("--serial"),
            Certificate = c.Text("--certificate"),
            CertifiedOn = Ahead(c, "--since"),
            DueOn = Ahead(c, "--due"),
            PlaysBefore = c.Whole("--played") ?? 0,
            PlaysAtMost = c.Whole("--at-most"),
        });
        return $"{kept.Kind} \"{kept.Name}\" is in the register";
    }

    // A due date lies ahead, so it is written in full.
    private static DateOnly? Ahead(BookCall c, string option) => c.MaybeDay(option);

    private static int List(BookCall c)
    {
        var now = c.Book.Now;
        var all = new InstrumentDesk(c.Book).Histories().Select(h => (History: h, Doubts: h.DoubtsAt(now))).ToList();
        c.Table(["!Kind", "Name", "!Due", "~Plays", "~Readings", "!Now"], all.Select(x => x.History).Select((h, i) => new[]
        {
            h.Instrument.Kind, h.Instrument.Name, h.DueAt(now)?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
            h.Instrument.Kind == "test-tape" ? h.PlaysBy(now).ToString(CultureInfo.InvariantCulture)
                + (h.Instrument.PlaysAtMost is { } most ? $" of {most}" : "") : "",
            h.Measurements.ToString(CultureInfo.InvariantCulture), all[i].Doubts.Count > 0 ? "in doubt" : "trusted",
        }));
        foreach (var doubt in all.SelectMany(x => x.Doubts))
            c.Say(doubt.Text);
        return ExitCode.Done;
    }

    private static string Note(BookCall c)
    {
        var desk = new InstrumentDesk(c.Book);
        var since = c.MaybeDay("--since") is { } day ? TypedTime.At(day, TimeOnly.MinValue, c.Zone) : c.Book.Now;
        var note = desk.Note(c.Need("name"), c.Word("kind", InstrumentEventKind.Doubt), since, c.Need("what"), Ahead(c, "--due"));
        var touched = desk.Touched(desk.Find(c.Need("name")), 1);
        return $"{KebabWord.Plain(note.Kind)} is written down"
            + (touched.Measurements > 0
            ? $"; {touched.Measurements} measurements on {touched.Decks} decks now carry a warning (spoolwright instrument touched)" : "");
    }

    private static int Touched(BookCall c)
    {
        var desk = new InstrumentDesk(c.Book);
        var history = desk.Find(c.Need("name"));
        var touched = desk.Touched(history);
        c.Table(["Deck", "!Measurement", "!When", "Why"],
            touched.Newest.Reverse().Select(t => new[] { t.Leaning.Deck, t.Leaning.Measurement, c.When(t.Leaning.MeasuredAt),
            string.Join(" ", t.Doubts.Select(d => d.Text)) }));
        c.Say($"{touched.Measurements} of {history.Measurements} measurements, {touched.Decks} decks");
        return ExitCode.Done;
    }
}
