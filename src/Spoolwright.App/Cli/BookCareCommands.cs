using System.CommandLine;
using System.Globalization;
using Spoolwright.Storage;

namespace Spoolwright.App.Cli;

/// <summary>
/// What keeps a service book safe: <c>book backup</c>, <c>restore</c>, <c>check</c>, <c>captures</c>, <c>find</c>, <c>history</c> and
/// <c>undo</c>.
/// </summary>
internal static class BookCareCommands
{
    private const int ShownActs = 30;

    public static Command Backup(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = BookOption.Build();
        var folder = new Argument<string>("folder")
        {
            HelpName = "FOLDER",
            Description = "Folder for copies, best on another disk; made where there is none.",
        };
        var lines = new Option<bool>("--lines")
        {
            Description = "Copy a SQLite book as readable lines too, which restore into either engine.",
        };
        var command = new Command("backup", "Copies the book with its captures while others work.") { folder, file, lines };
        command.SetAction(call => BookCommand.Guard(() =>
        {
            using var book = ServiceBook.OpenExisting(call.GetRequiredValue(file));
            return Say(book.Backup(call.GetRequiredValue(folder), call.GetValue(lines)), terminal);
        }));
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "The copy is of one moment, and each has its own name: none takes the place of an earlier one. Captures lie beside it once, under their hash. "
                + "A book in PostgreSQL is copied as readable lines, a SQLite book as a file unless --lines is given.",
            ],
            Examples = [new("spoolwright book backup /media/stick/book --book shop.db", "Copies the book onto a stick.")],
            ExitCodes = CopyCodes("the book is copied whole", "it is copied, but captures are missing or damaged"),
        };
        return command;
    }

    public static Command Restore(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = new Option<string>("--book")
        {
            HelpName = "BOOK",
            Description = "The book to make: a new file or its folder, or an empty postgres://USER@HOST/DATABASE.",
            Required = true,
        };
        var backup = new Argument<string>("backup")
        {
            HelpName = "BACKUP",
            Description = "A copy, or the folder of copies: the newest in it.",
        };
        var command = new Command("restore", "Makes a book from a backup, on either engine.") { backup, file };
        command.SetAction(call =>
            BookCommand.Guard(() => Say(ServiceBook.Restore(call.GetRequiredValue(backup), call.GetRequiredValue(file)), terminal))
        );
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "The copy is looked over first, and every capture is held against its hash. Nothing that is there is written over. Backing up and restoring is also how a book moves "
                + "from a file to PostgreSQL and back.",
            ],
            Examples =
            [
                new("spoolwright book restore /media/stick/book --book restored.db", "Makes a book of the newest copy on the stick."),
                new("spoolwright book restore copies --book postgres://bench@shop-server/book", "Moves it to PostgreSQL."),
            ],
            ExitCodes = CopyCodes("the book is whole", "its rows are whole, but captures are missing or damaged"),
        };
        return command;
    }

    public static Command Check(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = BookOption.Build();
        var from = new Option<string?>("--heal") { HelpName = "BACKUP", Description = "Put captures that are missing or damaged back from a backup." };
        var command = new Command("check", "Looks the book over: its tables, its schema, and each capture against its hash.") { file, from };
        command.SetAction(call => BookCommand.Guard(() =>
        {
            using var book = ServiceBook.OpenExisting(call.GetRequiredValue(file));
            if (call.GetValue(from) is { } backup)
                book.Heal(backup);
            var faults = book.Check();
            foreach (string fault in faults)
                terminal.Output.WriteLine(fault);
            if (faults.Count == 0)
                terminal.Output.WriteLine("the book is whole, and so is every capture");
            return faults.Count == 0 ? ExitCode.Done : ExitCode.LimitNotMet;
        }));
        lessons[command] = new Lesson
        {
            Examples =
            [
                new("spoolwright book check --book shop.db", "Names what is missing or damaged."),
                new("spoolwright book check --book shop.db --heal /media/stick/book", "Puts captures back from a backup."),
            ],
            ExitCodes =
            [
                HelpRow.Of(ExitCode.Done, "everything is whole"), HelpRow.Of(ExitCode.LimitNotMet, "something is missing or damaged"),
                HelpRow.Of(ExitCode.CallWrong, "the call is wrong, or the book cannot be read"),
            ],
        };
        return command;
    }

    public static Command Captures(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = BookOption.Build();
        var to = new Option<string?>("--to")
        {
            HelpName = "PLACE",
            Description = "Move them: a folder that every bench reaches under the same path, or database.",
        };
        var command = new Command("captures", "Says where captures lie, or moves them.") { file, to };
        command.SetAction(call => BookCommand.Guard(() =>
        {
            using var book = ServiceBook.OpenExisting(call.GetRequiredValue(file));
            if (call.GetValue(to) is { } place)
                terminal.Output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{book.MoveCaptures(place)} captures moved"));
            terminal.Output.WriteLine(book.CapturesFolder);
            return ExitCode.Done;
        }));
        lessons[command] = new Lesson
        {
            Paragraphs =
            [
                "Each capture is copied and read back before the book is told the new place. What lay in a folder stays there until you remove it.",
            ],
            Examples =
            [
                new(
                    "spoolwright book captures --book postgres://bench@shop-server/book --to /srv/captures",
                    "Moves them out of the database."
                ),
            ],
            ExitCodes = Lesson.PlainExitCodes,
        };
        return command;
    }

    public static Command Find(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = BookOption.Build();
        var words = new Argument<string[]>("words")
        {
            HelpName = "WORD",
            Description = "Words, or their beginnings; all of them must be there.",
            Arity = ArgumentArity.OneOrMore,
        };
        var command = new Command("find", "Searches decks, jobs, notes and whatever else was written down.") { words, file };
        command.SetAction(call => BookCommand.Guard(() =>
        {
            using var book = ServiceBook.OpenExisting(call.GetRequiredValue(file));
            var hits = book.Search(string.Join(' ', call.GetRequiredValue(words)));
            if (hits.Count == 0)
                terminal.Output.WriteLine("none");
            foreach (SearchHit hit in hits)
            {
                var job = hit.JobId is { } id ? BookCommand.Number(id) : "";
                terminal.Output.WriteLine($"{hit.At:yyyy-MM-dd}  {TableWords.Of(hit.Kind)}  {job}  {hit.Title}: {hit.Body.ReplaceLineEndings(" ")}");
            }

            return ExitCode.Done;
        }));
        lessons[command] = new Lesson { Examples = [new("spoolwright book find pinch roller --book shop.db", "Finds where pinch rollers were spoken of.")], ExitCodes = Lesson.PlainExitCodes };
        return command;
    }

    public static Command History(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var file = BookOption.Build();
        var command = new Command("history", "Lists changes to jobs and settings, newest first; book undo takes one back.") { file };
        command.SetAction(call => BookCommand.Guard(() =>
        {
            using var book = ServiceBook.OpenExisting(call.GetRequiredValue(file));
            var acts = book.Acts(ShownActs);
            if (acts.Count == 0)
                terminal.Output.WriteLine("none");
            foreach (Act act in acts)
            {
                string undone = act.UndoneBy is null ? "" : " (undone)";
                terminal.Output.WriteLine($"{BookCommand.Number(act.Id)}  {act.At.ToLocalTime().ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture)}  {act.Who}  {act.What}{undone}");
            }

            return ExitCode.Done;
        }));
        lessons[command] = new Lesson { Examples = [new("spoolwright book history --book shop.db", "Shows the last edits with their numbers.")], ExitCodes = Lesson.PlainExitCodes };
        return command;
    }

    private static int Say(BookCopy copy, Terminal terminal)
    {
        terminal.Output.WriteLine(copy.File);
        terminal.Output.WriteLine(
            string.Create(CultureInfo.InvariantCulture, $"{copy.Captures - copy.Faults.Count} of {copy.Captures} captures")
        );
        foreach (CaptureFault fault in copy.Faults)
            terminal.Output.WriteLine(fault.Text);
        return copy.Faults.Count == 0 ? ExitCode.Done : ExitCode.LimitNotMet;
    }

    private static HelpRow[] CopyCodes(string done, string faulty) =>
        [
            HelpRow.Of(ExitCode.Done, done),
            HelpRow.Of(ExitCode.LimitNotMet, faulty),
            HelpRow.Of(ExitCode.CallWrong, "the call is wrong, or nothing could be copied"),
        ];
}
