using System.CommandLine;
using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Reports;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary><c>book</c> and <c>record</c>: what the service book holds, and the record of a job out of it.</summary>
internal static class BookCommand
{
    public static Command Book(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = BookOption.Build();
        var list = new Command("list", "Lists the jobs in the book.") { file };
        list.SetAction(call => Guard(() => List(call.GetRequiredValue(file), terminal)));
        var job = JobArgument();
        var show = new Command("show", "Shows one job: every condition and limit, as found beside as left.") { job, file };
        show.SetAction(call => Guard(() => Show(call.GetRequiredValue(file), call.GetRequiredValue(job), terminal)));
        var group = new Command("book", "Looks into a service book, and keeps it safe.")
        {
            list,
            show,
            BookCareCommands.Find(terminal, lessons),
            BookCareCommands.Backup(terminal, lessons),
            BookCareCommands.Restore(terminal, lessons),
            BookCareCommands.Check(terminal, lessons),
            BookCareCommands.Captures(terminal, lessons),
            BookCareCommands.History(terminal, lessons),
        };
        foreach (var command in ListingCommand.OfBook(terminal, lessons))
            group.Add(command);
        lessons[group] = new Lesson
        {
            Paragraphs = ["The service book is one SQLite file with a folder of captures beside it, or a PostgreSQL database for a shop with several benches. "
            + "Readings in it are never changed, only superseded."]
        };
        lessons[list] = new Lesson
        {
            Examples = [new("spoolwright book list --book spoolwright-demo/book/service-book.db", "Lists the demonstration's job.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        lessons[show] = new Lesson
        {
            Examples = [new("spoolwright book show 3f2a --book shop.db", "Shows the job whose number begins so.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return group;
    }

    public static Command Record(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = BookOption.Build();
        var job = JobArgument();
        var html = new Option<string?>("--html") { HelpName = "FILE", Description = "Write the record as one HTML page." };
        var pdf = new Option<string?>("--pdf") { HelpName = "FILE", Description = "Write the record as PDF." };
        var csv = new Option<string?>("--csv") { HelpName = "FILE", Description = "Write every figure as CSV." };
        var json = new Option<string?>("--json") { HelpName = "FILE", Description = "Write the record's data as JSON." };
        var workshop = new Option<string?>("--workshop") { HelpName = "NAME", Description = "Who vouches for it, printed on the first page." };
        var command = new Command("record", "Writes the record of a job from the service book.") { job, file, html, pdf, csv, json, workshop };
        command.SetAction(call => Guard(() =>
        {
            string?[] wanted = [call.GetValue(html), call.GetValue(pdf), call.GetValue(csv), call.GetValue(json)];
            if (wanted.All(w => w is null))
                throw new CallException("say what to write: --html, --pdf, --csv or --json with a file name");
            var record = Compose(call.GetRequiredValue(file), call.GetRequiredValue(job), call.GetValue(workshop));
            RecordFiles.Write(record, wanted[0], wanted[1]);
            if (wanted[2] is { } table)
                File.WriteAllText(table, CsvRecord.Write(record));
            if (wanted[3] is { } data)
                File.WriteAllText(data, JsonRecord.Write(record));
            foreach (var path in wanted.OfType<string>())
                terminal.Output.WriteLine(path);
            return ExitCode.Done;
        }));
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "The record is drawn from the book alone: readings, limits, curves and hashes as they were filed. Writing it again gives the same figures.",
            ],
            Examples = [new("spoolwright record 3f2a --book shop.db --html record.html --pdf record.pdf", "Writes both forms.")],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    private static Argument<string> JobArgument() =>
        new("job")
        {
            HelpName = "JOB",
            Description = "The job's number, as `book list` prints it, its first digits, or its deck's serial number.",
        };

    private static int List(string path, Terminal terminal)
    {
        using var book = ServiceBook.OpenExisting(path);
        var decks = book.DeckNames().ToDictionary(d => d.Id);
        var jobs = book.Jobs();
        if (jobs.Count == 0)
            terminal.Output.WriteLine("none");
        foreach (var job in jobs)
        {
            var deck = decks[job.DeckId];
            var closed = job.Closed is { } c ? "closed " + Day(c) : "open";
            terminal.Output.WriteLine(
                $"{Number(job.Id)}  {deck.ProfileName}  {deck.SerialNumber}  opened {Day(job.Opened)}, {closed}  {job.What}"
            );
        }

        return ExitCode.Done;
    }

    private static int Show(string path, string number, Terminal terminal)
    {
        var record = Compose(path, number, workshop: null);
        terminal.Output.WriteLine($"{record.Deck.ProfileName}, serial number {record.Deck.SerialNumber}: {record.Job.What}");
        ConditionsTable.Write(record, terminal);
        return ExitCode.Done;
    }

    private static RecordData Compose(string path, string number, string? workshop)
    {
        using var book = ServiceBook.OpenExisting(path);
        var job = new JobDesk(book).Find(number);
        var record = new SignOffDesk(book).RecordNow(job.Id);
        return workshop is null ? record : record with { Workshop = workshop };
    }

    internal static int Guard(Func<int> work) => BookVerbs.Guard(work);

    /// <summary>A number short enough to type: the last digits of an id, which differ most.</summary>
    internal static string Number(Guid id) => id.ToString("N")[^8..];

    private static string Day(DateTimeOffset at) => at.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
