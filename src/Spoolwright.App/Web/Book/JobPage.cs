using System.Globalization;
using System.Text.Json;
using Spoolwright.App.Desk;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
namespace Spoolwright.App.Web.Book;

/// <summary>What one job's page shows: deck, plan and clock, functions, faults, sittings, papers.</summary>
internal static class JobPage
{
    public static BookPage Of(BookVisit v)
    {
        var (job, deck) = v.Book.JobHead(v.Id("job"));
        var plan = new PlanDesk(v.Book).Board(job.Id);
        var checks = new CheckDesk(v.Book).Board(job.Id);
        var running = plan.Tasks.Where(t => t.Running is not null).ToList();
        return new BookPage($"{deck.ProfileName}, {deck.SerialNumber}: {job.What}")
        {
            Lines =
            [
                $"Job {JobDesk.Number(job)}, opened {v.When(job.Opened)}{(job.Closed is { } at ? $", closed {v.When(at)}" : ", open")}.{Owner(v, deck.Id)}",
                $"{Hours(plan.Spent)} h taken of {Hours(plan.Foreseen)} h foreseen; {plan.Tasks.Count(t => t.State == TaskState.Open)} of {plan.Tasks.Count} tasks open; {checks.OpenPoints.Count} points block the sign-off.",
                .. plan.Next is { } next ? [$"Next: {next.Task.Title}."] : Array.Empty<string>(),
                .. checks.Loaded is { Kind: not LoadedTapeKind.TestTape } tape
                    ? [$"In the deck lies a {KebabWord.Plain(tape.Kind)} tape: {tape.Name}."]
                    : Array.Empty<string>(),
            ],
            Warnings = CheckBoard.RecordWarning(checks.Loaded) is { } warning ? [warning] : [],
            Links =
            [
                new("the deck", $"/book/deck/{deck.Id}"),
                new("money and parts", $"/book/money/{job.Id}"),
                new("photos", $"/book/photos/{job.Id}"),
                new("listing", $"/book/listing/{job.Id}"),
                new("signing off", $"/book/signing/{job.Id}"),
                new("aftercare", $"/book/aftercare/{job.Id}"),
                new("its kind", $"/book/field/{Uri.EscapeDataString(deck.ProfileName)}?deck={deck.Id}"),
                new("what ails it", $"/book/ails/{job.Id}"),
                new("record", $"/record/{job.Id}", Apart: true),
            ],
            Tables = [Plan(plan), Checks(checks), Faults(checks), Sittings(v, job.Id, plan), OpenPoints(checks)],
            More = json => More(json, v, job, deck, plan, checks, running),
        };
    }

    internal static string Hours(TimeSpan time) => time.TotalHours.ToString("0.0", CultureInfo.InvariantCulture);

    private static string Owner(BookVisit v, Guid deckId) =>
        new JobDesk(v.Book).Owners(deckId) is [.., var last]
            ? $" Owner: {last.Name}{(last.Since is { } since ? $", since {since:yyyy-MM-dd}" : "")}."
            : "";

    private static string State(TaskOnBoard t) =>
        t.Running is not null ? "running"
        : t.State == TaskState.Open && t.WaitsFor.Count > 0 ? "waits"
        : KebabWord.Plain(t.State);

    private static PageTable Plan(PlanBoard plan) =>
        new(
            "plan",
            "Plan",
            [
                new("stage", "Stage"),
                new("task", "Task"),
                new("state", "State", ColumnKind.State),
                new("foreseen_h", "Foreseen h", ColumnKind.Figures),
                new("taken_h", "Taken h", ColumnKind.Figures),
                new("remark", "Remark"),
            ],
            [
                .. plan.Tasks.Select(t => new PageRow(
                    [
                        KebabWord.Plain(t.Task.Stage),
                        t.Task.Title,
                        State(t),
                        Math.Round(t.Foreseen.TotalHours, 2),
                        t.Spent > TimeSpan.Zero ? Math.Round(t.Spent.TotalHours, 2) : null,
                        t.Remark,
                    ],
                    t.Task.Key
                )),
            ]
        )
        {
            Empty = "This job has no plan.",
        };

    private static PageTable Checks(CheckBoard board) =>
        new(
            "checks",
            "Function checks",
            [
                new("area", "Area"),
                new("function", "Function"),
                new("as_found", "As found", ColumnKind.State),
                new("as_left", "As left", ColumnKind.State),
                new("note", "Note"),
            ],
            [
                .. board.Checks.Select(c => new PageRow(
                    [c.Check.Area, c.Check.Title, Outcome(c.AsFound), Outcome(c.AsLeft), Notes(c)],
                    c.Check.Key
                )),
            ]
        )
        {
            Empty = "This job has no function checks.",
        };

    private static PageTable Faults(CheckBoard board) =>
        new(
            "faults",
            "Faults",
            [
                new("assembly", "Assembly"),
                new("fault", "What is wrong"),
                new("found", "Found"),
                new("state", "State", ColumnKind.State),
                new("words", "What was done, or why it is left"),
            ],
            [
                .. board.Faults.Select(f => new PageRow(
                    [f.Assembly, f.What, KebabWord.Plain(f.FoundAt), KebabWord.Plain(f.State), f.Words],
                    CheckBoard.ShortKey(f.Id)
                )),
            ]
        )
        {
            Empty = "No fault is written down.",
        };

    private static PageTable Sittings(BookVisit v, Guid jobId, PlanBoard plan)
    {
        var all = new PlanDesk(v.Book).Sittings(jobId, everything: true);
        var replaced = all.Select(s => s.Supersedes).OfType<Guid>().ToHashSet();
        var now = v.Book.Now;
        return new PageTable("sittings", "Sittings",
            [new("day", "Day"), new("task", "Task"), new("from", "From"), new("to", "To"), new("minutes", "Minutes", ColumnKind.Figures), new("state", "State", ColumnKind.State), new("remark", "Remark")],
            [.. all.OrderByDescending(s => s.Entered).Select(s => new PageRow(
                [
                    BookVisit.Day(s.Day), plan.TitleOf(s.TaskKey), s.Started is { } from ? v.When(from)[11..] : null, s.Ended is { } to ? v.When(to)[11..] : null, Math.Round(s.Length(now).TotalMinutes, 1),
                    replaced.Contains(s.Id) ? "corrected later" : s.Withdrawn is not null ? "taken back" : s.Runs ? "running" : "stands", s.Withdrawn ?? s.Remark,
                ],
                replaced.Contains(s.Id) || s.Withdrawn is not null ? null : s.Id.ToString()))])
        { Empty = "Nobody has worked on it yet." };
    }

    private static PageTable OpenPoints(CheckBoard board) =>
        new(
            "open-points",
            "What blocks the sign-off",
            [new("of", "Of"), new("point", "Point")],
            [.. board.OpenPoints.Select(p => new PageRow([p.Of, p.Text]))]
        )
        {
            Empty = "Nothing blocks the sign-off.",
        };

    private static void More(
        Utf8JsonWriter json,
        BookVisit v,
        Job job,
        Deck deck,
        PlanBoard plan,
        CheckBoard checks,
        List<TaskOnBoard> running
    )
    {
        json.WriteString("job", job.Id);
        json.WriteString("deck", $"{deck.ProfileName}, {deck.SerialNumber}");
        json.WriteBoolean("closed", job.Closed is not null);
        json.WriteString("next", plan.Next?.Task.Key);
        WebJson.Array(
            json,
            "tasks",
            plan.Tasks,
            (json, t) =>
            {
                json.WriteString("key", t.Task.Key);
                json.WriteString("title", t.Task.Title);
                json.WriteString("stage", KebabWord.Plain(t.Task.Stage));
                json.WriteString("why", t.Task.Why);
                PageSender.Words(
                    json,
                    "cautions",
                    [
                        .. t.Task.Cautions.Select(Cautions.Text),
                        .. t.Task.Caution is { } own ? [own] : Array.Empty<string>(),
                        .. t.Task.Cautions.Count > 0 ? [Cautions.Always] : Array.Empty<string>(),
                    ]
                );
                PageSender.Words(json, "waits", t.WaitsFor.Select(w => w.Title));
                json.WriteString("foreseen", TypedTime.Words(t.Foreseen));
                json.WriteNumber("spentSeconds", Math.Round(t.Spent.TotalSeconds));
                json.WriteBoolean("running", t.Running is not null);
                json.WriteString("since", t.Running is { } r ? v.When(r.Started!.Value)[11..] : null);
            }
        );
        WebJson.Array(
            json,
            "checks",
            checks.Checks,
            (json, c) =>
            {
                json.WriteString("key", c.Check.Key);
                json.WriteString("title", c.Check.Title);
                json.WriteString("what", c.Check.What);
                json.WriteBoolean("couldRecord", c.Check.CouldRecord);
                json.WriteString("warning", checks.Warning(c.Check));
                json.WriteString("accepted", c.Accepted?.Words);
            }
        );
        PageSender.Words(json, "running", running.Select(t => t.Task.Key));
        PageSender.Words(json, "came", v.Book.Standing<Accessory>(job.Id).Select(a => a.Note is null ? a.Name : $"{a.Name} ({a.Note})"));
    }

    private static string? Outcome(CheckResult? result) => result is null ? null : KebabWord.Plain(result.Outcome);

    private static string Notes(CheckOnBoard c) =>
        string.Join("; ", new[] { c.AsFound?.Note, c.AsLeft?.Note, c.Accepted is { } a ? $"accepted: {a.Words}" : null }.OfType<string>());
}
