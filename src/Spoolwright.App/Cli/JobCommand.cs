using System.CommandLine;
using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.App.Cli;

/// <summary><c>job</c> and <c>check</c>: a deck's stay, its faults and functions.</summary>
internal static class JobCommand
{
    public static Command Job(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("job", "A deck's stay on the bench.",
            "A job runs from intake to aftercare, with its plan, function checks, faults, hours, parts, photos and readings.",
            v.Verb("open", "Opens a job on a deck that the book has.",
                [BookVerbs.Word("serial", "The deck's serial number."), BookVerbs.Word("what", "What is to be done."),
                    BookVerbs.Given("--plan", "PLAN", "A plan of the book's; the profile's or the program's where none is given."),
                    BookVerbs.Given("--day", "DAY", "When it began; today where not said."),
                ],
                [
                    new("spoolwright job open \"740 1183\" \"Whole restoration\"", "Lays out its plan and its function checks."),
                    new("spoolwright job open \"740 1183\" \"Belts\" --day \"14 mar\"", "Begun then; its hours can be written down."),
                ],
                Open
            ),
            v.Verb(
                "show",
                "Shows a job at a glance.",
                [BookVerbs.JobName()],
                [new("spoolwright job show 3f2a", "Deck, owner, hours, faults, what is open.")],
                Show
            ),
            v.Verb(
                "close",
                "Closes a job.",
                [BookVerbs.JobName()],
                [new("spoolwright job close 3f2a", "Its clock must have stopped.")],
                c =>
                {
                    var job = c.Job;
                    new JobDesk(c.Book).Close(job);
                    return $"{JobDesk.Number(job)} is closed{(new CheckDesk(c.Book).Board(job.Id).OpenInWords is { } open ? $"; {open}" : "")}";
                }
            ),
            v.Verb(
                "fault",
                "Writes a fault down.",
                [
                    BookVerbs.JobName(),
                    BookVerbs.Word("assembly", "Where, such as \"head block\"."),
                    BookVerbs.Word("text", "What is wrong."),
                    MarkOption(),
                ],
                [
                    new(
                        "spoolwright job fault 3f2a \"head block\" \"reverse head worn to 0.4 mm\"",
                        "It stands open until it is fixed or accepted."
                    ),
                ],
                c =>
                    $"fault {CheckBoard.ShortKey(new CheckDesk(c.Book).AddFault(c.Job.Id, c.Need("assembly"), c.Need("text"), c.Word("--mark", Mark.AsFound)).Id)} is open"
            ),
            v.Verb(
                "fixed",
                "Marks a fault fixed.",
                [BookVerbs.JobName(), BookVerbs.Word("fault", "The fault's number."), BookVerbs.Given("--how", "TEXT", "What was done.")],
                [new("spoolwright job fixed 3f2a 77d0 --how \"head replaced\"", "It no longer stands open.")],
                c => $"{new CheckDesk(c.Book).Fix(c.Job.Id, c.Need("fault"), c.Text("--how")).What}: fixed"),
            v.Verb("accessory", "Adds something that came with the deck.",
                [BookVerbs.JobName(), BookVerbs.Word("name", "What it is."), BookVerbs.Given("--note", "TEXT", "A note.")],
                [new("spoolwright job accessory 3f2a \"two reel adapters\"", "It stands on the fact sheet.")],
                c => $"{new JobDesk(c.Book).AddAccessory(c.Job.Id, c.Need("name"), c.Text("--note")).Name} came with it"),
            v.Verb("tape", "Says what tape lies in the deck now.",
                [BookVerbs.JobName(), BookVerbs.Word("kind", "none, scrap, blank or test-tape."),
                BookVerbs.MaybeWord("name", "The tape's name.")],
                [new("spoolwright job tape 3f2a test-tape \"Speed tape 3150\"", "What could record is refused from now on."),
                    new("spoolwright job tape 3f2a none", "The tape is off.")],
                c => new CheckDesk(c.Book).Load(c.Job.Id, c.Word("kind", LoadedTapeKind.None), c.Text("name")) is { Name: { } name } tape
                    ? CheckBoard.RecordWarning(tape) ?? $"{name} is loaded" : "no tape is loaded"));
    }

    public static Command Checks(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("check", "Function checks: everything the deck must do.",
            "Each function is tried as found and as left. What fails as left blocks the sign-off unless it is accepted in words. What could record is refused while a test tape is named as loaded.",
            v.Verb("list", "Lists a job's functions with what came of them.",
                [BookVerbs.JobName(), BookVerbs.Given("--area", "AREA", "One area alone, such as transport.")],
                [new("spoolwright check list 3f2a --area record", "Those that could record are marked.")], List),
            v.Verb("tick", "Ticks one or several functions.",
                [BookVerbs.JobName(), BookVerbs.Word("outcome", "works, fault, not-there or not-tried."),
                    new Argument<string[]>("keys") { HelpName = "KEY…", Description = "The checks, by key or how it begins.",
                    Arity = ArgumentArity.OneOrMore },
                    MarkOption(), BookVerbs.Given("--note", "TEXT", "What is wrong, or what kept it from being tried.")],
                [new("spoolwright check tick 3f2a works search-zero counter --mark as-left", "Two at once."),
                    new("spoolwright check tick 3f2a fault timer-record --note \"starts at once\"", "A fault needs its note.")], Tick),
            v.Verb("accept", "Accepts what fails or was not tried, in words that the buyer reads.",
                [BookVerbs.JobName(), BookVerbs.Word("key", "The check's key, or the fault's number."),
                BookVerbs.Word("words", "The words.")],
                [new("spoolwright check accept 3f2a remote \"No remote control was at hand; the socket was not tried.\"",
                    "It no longer blocks the sign-off.")], c =>
                {
                    new CheckDesk(c.Book).Accept(c.Job.Id, c.Need("key"), c.Need("words"));
                    return $"{c.Need("key")} is accepted in words";
                }),
            v.Verb("open", "Says what blocks the sign-off.", [BookVerbs.JobName()], [new("spoolwright check open 3f2a", "One line each.")],
                OpenPoints));
    }

    internal static Option<string?> MarkOption() =>
        BookVerbs.Given("--mark", "MARK", "as-found, first-run or as-left; as found where not said.");

    private static string Open(BookCall c)
    {
        var desk = new JobDesk(c.Book);
        var plan = c.Text("--plan") is { } name ? PlanFile.Parse(new PlanDesk(c.Book).Text(name)).Value : null;
        var job = desk.OpenOn(desk.FindDeck(c.Need("serial")), c.Need("what"), c.MaybeDay("--day"), plan);
        var board = new PlanDesk(c.Book).Board(job.Id);
        return $"job {JobDesk.Number(job)} is open: {board.Tasks.Count} tasks, {PlanCommand.Hours(board.Foreseen)} h foreseen, {new CheckDesk(c.Book).Board(job.Id).Checks.Count} functions to try";
    }

    private static int Show(BookCall c)
    {
        var (desk, job) = (new JobDesk(c.Book), c.Job);
        var deck = desk.DeckOf(job);
        var plan = new PlanDesk(c.Book).Board(job.Id);
        var checks = new CheckDesk(c.Book).Board(job.Id);
        c.Say($"{deck.ProfileName}, serial number {deck.SerialNumber}: {job.What}");
        c.Say($"Job {JobDesk.Number(job)}, opened {c.When(job.Opened)}{(job.Closed is { } at ? $", closed {c.When(at)}" : ", open")}");
        if (desk.Owners(deck.Id) is { Count: > 0 } owners)
            c.Say(
                $"Owners: {string.Join("; ", owners.Select(o => o.Since is { } since ? $"{o.Name}, since {since:yyyy-MM-dd}" : o.Name))}"
            );
        c.Say($"{PlanCommand.Hours(plan.Spent)} h taken of {PlanCommand.Hours(plan.Foreseen)} h foreseen");
        foreach (var running in plan.Tasks.Where(t => t.Running is not null))
            c.Say($"The clock of {running.Task.Key} is running since {c.When(running.Running!.Started!.Value)}");
        if (plan.Next is { } next)
            c.Say($"Next task: {next.Task.Key}, {next.Task.Title}");
        if (CheckBoard.RecordWarning(checks.Loaded) is { } warning)
            c.Say(warning);
        else if (checks.Loaded is { } tape)
            c.Say($"Loaded: {KebabWord.Plain(tape.Kind)}, {tape.Name}");
        foreach (var fault in checks.Faults)
            c.Say(
                $"Fault {CheckBoard.ShortKey(fault.Id)} ({KebabWord.Plain(fault.FoundAt)}, {KebabWord.Plain(fault.State)}): {fault.Assembly}, {fault.What}{(fault.Words is { } words ? $" ({words})" : "")}"
            );
        c.Say($"{checks.OpenPoints.Count} points block the sign-off (spoolwright check open {JobDesk.Number(job)})");
        var accessories = c.Book.Standing<Accessory>(job.Id);
        if (accessories.Count > 0)
            c.Say($"With it: {string.Join(", ", accessories.Select(a => a.Note is null ? a.Name : $"{a.Name} ({a.Note})"))}");
        var earlier = c.Book.Jobs(deck.Id).Where(j => j.Id != job.Id).ToList();
        if (earlier.Count > 0)
            c.Say(
                $"Other jobs on this deck: {string.Join("; ", earlier.Select(j => $"{JobDesk.Number(j)} of {j.Opened.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture)}"))}"
            );
        return ExitCode.Done;
    }

    private static int List(BookCall c)
    {
        var board = new CheckDesk(c.Book).Board(c.Job.Id);
        var checks = board.Checks.Where(k => c.Text("--area") is not { } area || k.Check.Area == area).ToList();
        if (checks.Count == 0)
            throw new CallException(
                $"--area: no check of this job stands under {c.Text("--area")}; known are {string.Join(", ", board.Checks.Select(k => k.Check.Area).Distinct())}"
            );
        foreach (var area in checks.GroupBy(k => k.Check.Area))
        {
            c.Table(["!" + area.Key, "", "!As found", "!As left", "Note"], area.Select(k => new[]
            {
                k.Check.Key, k.Check.Title + (k.Check.CouldRecord ? " (could record)" : ""), Outcome(k.AsFound), Outcome(k.AsLeft),
                string.Join("; ", new[] { k.AsFound?.Note, k.AsLeft?.Note, k.Accepted is { } a ? $"accepted: {a.Words}"
                    : null }.OfType<string>()),
            }));
        }

        if (CheckBoard.RecordWarning(board.Loaded) is { } warning)
            c.Say(warning);
        return ExitCode.Done;
    }

    private static int Tick(BookCall c)
    {
        foreach (var result in new CheckDesk(c.Book).TickAll(c.Job.Id, c.Many("keys"), c.Word("--mark", Mark.AsFound),
            c.Word("outcome", CheckOutcome.Works), c.Text("--note")))
            c.Say($"{result.CheckKey}: {KebabWord.Plain(result.Outcome)} {KebabWord.Plain(result.Mark)}");

        return ExitCode.Done;
    }

    private static int OpenPoints(BookCall c)
    {
        var points = new CheckDesk(c.Book).Board(c.Job.Id).OpenPoints;
        foreach (var point in points)
            c.Say($"{point.Key}: {point.Text}");
        if (points.Count == 0)
            c.Say("nothing blocks the sign-off");
        return ExitCode.Done;
    }

    private static string Outcome(CheckResult? result) => result is null ? "" : KebabWord.Plain(result.Outcome);
}
