using System.CommandLine;
using System.Globalization;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.App.Cli;

/// <summary><c>plan</c> and <c>clock</c>: the tasks of a job, and the time they take.</summary>
internal static class PlanCommand
{
    public static Command Plan(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        return v.Group("plan", "Stages and tasks of a job, in the order of the trade.",
            "A job gets its plan when it is opened: the profile's own, or the one that comes with the program. What a plan says later leaves the jobs laid out by it alone.",
            v.Verb("show", "Shows how a job's tasks stand.", [BookVerbs.JobName()],
                [new("spoolwright plan show 3f2a", "Every stage with its tasks, hours foreseen and taken, and what comes next.")], Show),
            v.Verb("task", "Explains one task: why, where it can hurt, what must be done before.", [BookVerbs.JobName(), TaskName()],
                [new("spoolwright plan task 3f2a clean-path", "What the task is for, with its cautions.")], Explain),
            v.Verb("done", "Marks a task done, and stops its clock.", [BookVerbs.JobName(), TaskName(), Remark()],
                [new("spoolwright plan done 3f2a clean-path", "Ticks it off.")], c => Done(c)),
            v.Verb("skip", "Leaves a task out, with the reason.", [BookVerbs.JobName(), TaskName(), BookVerbs.Word("why", "The reason.")],
                [new("spoolwright plan skip 3f2a rebuild-heads \"heads hardly worn\"", "The task no longer holds others up.")],
                c => $"{new PlanDesk(c.Book).Skip(c.Job.Id, c.Need("task"), c.Need("why")).TaskKey} is left out"),
            v.Verb("reopen", "Opens a task again that was done or left out.", [BookVerbs.JobName(), TaskName(), Remark()],
                [new("spoolwright plan reopen 3f2a clean-path", "It counts as open again; the earlier mark stays in the book.")],
                c => $"{new PlanDesk(c.Book).Reopen(c.Job.Id, c.Need("task"), c.Text("--remark")).TaskKey} is open again"),
            v.Verb("add", "Adds a task of the job's own.",
                [BookVerbs.JobName(), BookVerbs.Word("stage", "Its stage."), BookVerbs.Word("key", "Its short name."),
                    BookVerbs.Word("title", "What to do."),
                    BookVerbs.Given("--why", "TEXT", "Why it is done."),
                    BookVerbs.Given("--minutes", "N", "Working time foreseen; 30 where not said."),
                ],
                [
                    new(
                        "spoolwright plan add 3f2a rebuild meter-lamp \"Replace the left meter's lamp\" --minutes 20",
                        "It stands behind the stage's other tasks."
                    ),
                ],
                c =>
                    $"{new PlanDesk(c.Book).AddTask(c.Job.Id, KebabWord.Parse<Stage>(c.Need("stage"), "stage"), c.Need("key"), c.Need("title"), c.Text("--why") ?? "", c.Whole("--minutes") ?? 30).Key} was added"
            ),
            v.Verb(
                "list",
                "Lists the plans in the book.",
                [],
                [new("spoolwright plan list", "Names them, the program's own among them.")],
                List
            ),
            v.Verb(
                "export",
                "Writes a plan as a file to read and change.",
                [
                    BookVerbs.MaybeWord("plan", "The plan's name; the program's own where none is given."),
                    BookVerbs.Given("--to", "FILE", "A new file; the screen where none is given."),
                ],
                [new("spoolwright plan export --to my-plan.json", "A copy of the program's plan, to adapt.")],
                Export,
                makesBook: true
            ),
            v.Verb(
                "import",
                "Keeps a plan's file in the book.",
                [BookVerbs.Word("file", "The file.")],
                [new("spoolwright plan import my-plan.json", "Later jobs may be opened with it.")],
                c => $"the plan \"{new PlanDesk(c.Book).Keep(PlanText(c.Need("file"))).Name}\" is in the book", makesBook: true),
            v.Verb("copy", "Copies a plan under another name.",
                [BookVerbs.Word("new", "The copy's name."), BookVerbs.Given("--from", "PLAN",
                "The plan to copy; the program's own where none is given.")],
                [new("spoolwright plan copy \"Two-head deck\"", "Export the copy, change it, import it.")],
                c => $"the plan \"{new PlanDesk(c.Book).Copy(c.Text("--from"), c.Need("new")).Name}\" is in the book", makesBook: true));
    }

    public static Command Clock(Terminal terminal, IDictionary<Command, Lesson> lessons)
    {
        var v = new BookVerbs(terminal, lessons);
        const string Times =
            "Times are typed as people type them: 1:30, 1.5 h, 90 min, 14:05-15:20, yesterday 2 h, 14 mar 9:00-11:30. They are meant in the shop's time zone.";
        return v.Group("clock", "The time that tasks take.", "A task may have many sittings. A correction keeps the old entry in the book.",
            v.Verb("start", "Starts a task's clock.", [BookVerbs.JobName(), TaskName(),
                BookVerbs.Given("--anyway", "WHY", "Begin though other tasks should be done before, and say why."),
                BookVerbs.Flag("--beside", "Another clock of the job runs on: two people work.")],
                [new("spoolwright clock start 3f2a clean-path", "It runs until it is stopped.")],
                c => Started(new PlanDesk(c.Book).Start(c.Job.Id, c.Need("task"), c.Zone, c.Text("--anyway"), c.Has("--beside")), c)),
            v.Verb("stop", "Stops a clock.", [BookVerbs.JobName(),
                BookVerbs.MaybeWord("task", "The task; the only one that runs where none is given.")],
                [new("spoolwright clock stop 3f2a", "Says how long the sitting was.")],
                    c => Stopped(new PlanDesk(c.Book).Stop(c.Job.Id, c.Text("task")), c)),
            v.Verb("toggle", "Starts a task's clock, or stops it where it runs: one key for both.", [BookVerbs.JobName(), TaskName()],
                [new("spoolwright clock toggle 3f2a clean-path", "For a key or a pedal.")],
                c => new PlanDesk(c.Book).Toggle(c.Job.Id, c.Need("task"), c.Zone) is { Runs: false } ended ? Stopped(ended, c)
                    : $"the clock of {c.Need("task")} is running"),
            v.Verb("add", "Writes down a sitting afterwards.",
                [BookVerbs.JobName(), TaskName(), BookVerbs.Word("time", "How long, or from when to when."), Remark()],
                [new("spoolwright clock add 3f2a clean-path \"yesterday 14:05-15:20\"", "An hour and a quarter, yesterday."),
                    new("spoolwright clock add 3f2a bias \"1:30\"", "An hour and a half, today.")],
                c => Entered(new PlanDesk(c.Book).Enter(c.Job.Id, c.Need("task"), c.Need("time"), c.Zone, c.Text("--remark")), c), Times),
            v.Verb("fix", "Corrects a sitting; the old entry stays in the book.",
                [BookVerbs.JobName(), Sitting(), BookVerbs.Word("time", "What it should have been."), Remark()],
                [new("spoolwright clock fix 3f2a 91bc \"75 min\"", "The sitting's number stands in clock list.")],
                c => Entered(new PlanDesk(c.Book).Correct(new PlanDesk(c.Book).FindSitting(c.Job.Id, c.Need("sitting")).Id, c.Need("time"),
                    c.Zone, c.Text("--remark")), c), Times),
            v.Verb("drop", "Takes a sitting back; it stays in the book.",
                [BookVerbs.JobName(), Sitting(), BookVerbs.Word("why", "The reason.")],
                [new("spoolwright clock drop 3f2a 91bc \"wrong deck\"", "It no longer counts.")],
                c =>
                    $"{CheckBoard.ShortKey(new PlanDesk(c.Book).TakeBack(new PlanDesk(c.Book).FindSitting(c.Job.Id, c.Need("sitting")).Id, c.Need("why")).Supersedes!.Value)} no longer counts"
            ),
            v.Verb(
                "list",
                "Lists the sittings of a job.",
                [BookVerbs.JobName(), BookVerbs.Flag("--all", "Those that were corrected or taken back, too.")],
                [new("spoolwright clock list 3f2a", "Each with its number, task, day and length.")], Sittings));
    }

    internal static string PlanText(string path)
    {
        InputFiles.Parsed(path, PlanFile.Parse, null);
        return InputFiles.Text(path);
    }

    internal static string Hours(TimeSpan time) => (time.TotalMinutes / 60).ToString("0.0", CultureInfo.InvariantCulture);

    private static Argument<string> TaskName() => BookVerbs.Word("task", "The task's short name, or how it begins.");

    private static Argument<string> Sitting() => BookVerbs.Word("sitting", "The sitting's number, as clock list prints it.");

    private static Option<string?> Remark() => BookVerbs.Given("--remark", "TEXT", "A remark.");

    private static int Show(BookCall c)
    {
        var board = new PlanDesk(c.Book).Board(c.Job.Id);
        foreach (var stage in board.Tasks.GroupBy(t => t.Task.Stage))
        {
            c.Table(["!" + KebabWord.Plain(stage.Key), "", "!State", "~Foreseen h", "~Taken h"], stage.Select(t => new[]
            {
                t.Task.Key, t.Task.Title,
                t.Running is not null ? "running" : t.State == TaskState.Open && t.WaitsFor.Count > 0 ? "waits" : KebabWord.Plain(t.State),
                Hours(t.Foreseen), t.Spent > TimeSpan.Zero ? Hours(t.Spent) : "",
            }));
        }

        c.Say(
            $"{Hours(board.Spent)} h taken of {Hours(board.Foreseen)} h foreseen; {board.Tasks.Count(t => t.State == TaskState.Open)} of {board.Tasks.Count} tasks open."
        );
        if (board.Next is { } next)
            c.Say($"Next: {next.Task.Key}, {next.Task.Title}");
        return ExitCode.Done;
    }

    private static int Explain(BookCall c)
    {
        var found = new PlanDesk(c.Book).Board(c.Job.Id).Find(c.Need("task"));
        var task = found.Task;
        c.Say(
            $"{task.Title} ({KebabWord.Plain(task.Stage)}, {TypedTime.Words(found.Foreseen)} foreseen, {TypedTime.Words(found.Spent)} taken, {KebabWord.Plain(found.State)})"
        );
        c.Say(task.Why);
        if (found.WaitsFor.Count > 0)
            c.Say($"Do first: {string.Join(", ", found.WaitsFor.Select(w => w.Key))}");
        foreach (var caution in task.Cautions)
            c.Say(Cautions.Text(caution));
        if (task.Caution is { } own)
            c.Say(own);
        if (task.Cautions.Count > 0 || task.Caution is not null)
            c.Say(Cautions.Always);
        return ExitCode.Done;
    }

    private static string Done(BookCall c)
    {
        var desk = new PlanDesk(c.Book);
        var job = c.Job;
        var mark = desk.Done(job.Id, c.Need("task"), c.Text("--remark"));
        return $"{mark.TaskKey} is done" + (desk.Board(job.Id).Next is { } next ? $"; next: {next.Task.Key}, {next.Task.Title}"
            : "; nothing waits to be begun");
    }

    private static int List(BookCall c)
    {
        c.Say($"{PlanLibrary.Default.Name} (comes with the program, {PlanLibrary.Default.Tasks.Count} tasks)");
        foreach (var plan in new PlanDesk(c.Book).Plans())
            c.Say($"{plan.Name} ({PlanFile.Parse(plan.Json).Value?.Tasks.Count} tasks)");
        return ExitCode.Done;
    }

    private static int Export(BookCall c)
    {
        var text = new PlanDesk(c.Book).Text(c.Text("plan"));
        if (c.Text("--to") is { } path)
        {
            InputFiles.WriteNew(path, text);
            c.Say($"{path}: give the plan a name of its own in it, change what you do otherwise, and take it in by plan import");
        }
        else
            c.Out.Write(text);
        return ExitCode.Done;
    }

    private static string Started(ClockEntry entry, BookCall c) =>
        $"the clock of {entry.TaskKey} is running since {c.When(entry.Started!.Value)}";

    private static string Stopped(ClockEntry entry, BookCall c) =>
        $"{entry.TaskKey}: {TypedTime.Words(entry.Length(c.Book.Now))}, {c.When(entry.Started!.Value)} to {c.When(entry.Ended!.Value)}";

    private static string Entered(ClockEntry entry, BookCall c) =>
        $"{entry.TaskKey}: {TypedTime.Words(entry.Length(c.Book.Now))} on {entry.Day:yyyy-MM-dd}";

    private static int Sittings(BookCall c)
    {
        var now = c.Book.Now;
        var everything = c.Has("--all");
        var all = new PlanDesk(c.Book).Sittings(c.Job.Id, everything);
        var replaced = all.Where(s => s.Supersedes is not null).Select(s => s.Supersedes!.Value).ToHashSet();
        c.Table(
            ["!Number", "!Task", "!Day", "!From to", "~h:min", "Remark"],
            all.Select(s =>
                new[]
                {
                    CheckBoard.ShortKey(s.Id),
                    s.TaskKey,
                    s.Day.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture),
                    s.Started is { } from ? $"{c.When(from)[11..]}–{(s.Ended is { } to ? c.When(to)[11..] : "running")}" : "",
                    s.Runs && replaced.Contains(s.Id) ? "" : Clock(s.Length(now)),
                    s.Withdrawn is { } why ? $"taken back: {why}"
                    : replaced.Contains(s.Id) ? $"{(s.Runs ? "stopped" : "corrected")} later {s.Remark}".Trim()
                    : s.Remark,
                }
            )
        );
        var standing = everything ? new PlanDesk(c.Book).Sittings(c.Job.Id) : all;
        c.Say($"{Clock(TimeSpan.FromTicks(standing.Sum(s => s.Length(now).Ticks)))} in all");
        return ExitCode.Done;
    }

    private static string Clock(TimeSpan time)
    {
        var minutes = (long)Math.Round(time.TotalMinutes);
        return string.Create(CultureInfo.InvariantCulture, $"{minutes / 60}:{minutes % 60:00}");
    }
}
