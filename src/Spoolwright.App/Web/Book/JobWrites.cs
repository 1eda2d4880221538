using Spoolwright.App.Desk;
using Spoolwright.Bench;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Bench.Service.Supplies;
using Spoolwright.Bench.Service.Trade;

namespace Spoolwright.App.Web.Book;

/// <summary>What a job's page writes, each by its verb.</summary>
internal static class JobWrites
{
    public static IReadOnlyDictionary<string, Func<BookVisit, Written>> Verbs { get; } = new Dictionary<string, Func<BookVisit, Written>>
    {
        ["clock"] = Clock,
        ["done"] = v => new Plans(v).Marked(p => p.Desk.Done(p.Job, p.Task, v.Text("remark")), "is done"),
        ["skip"] = v => new Plans(v).Marked(p => p.Desk.Skip(p.Job, p.Task, v.Need("why", "the reason")), "is left out"),
        ["reopen"] = v => new Plans(v).Marked(p => p.Desk.Reopen(p.Job, p.Task, v.Text("remark")), "is open again"),
        ["add-task"] = AddTask,
        ["enter"] = v => Sat(v, v.Text("remark"), (desk, remark) => desk.Enter(v.Id("job"), v.Need("task", "the task"), v.Need("time", "the time"), v.Zone, remark), "is written down"),
        ["correct"] = v => Sat(v, v.Text("remark"), (desk, remark) => desk.Correct(v.NeedId("sitting"), v.Need("time", "the time"), v.Zone, remark), "stands now; the earlier entry stays in the book"),
        ["take-back"] = v => Sat(v, null, (desk, _) => desk.TakeBack(v.NeedId("sitting"), v.Need("why", "the reason")), "is taken back; the entry stays in the book"),
        ["tick"] = Tick,
        ["accept"] = v => new Written("accepted in words that the buyer reads", new CheckDesk(v.Book).Accept(v.Id("job"), v.Need("key", "the check or fault"), v.Need("words", "the words"))),
        ["fault"] = v => new Written("the fault is written down", new CheckDesk(v.Book).AddFault(v.Id("job"), v.Need("assembly", "the assembly"), v.Need("what", "what is wrong"), v.Word("mark", Mark.AsFound))),
        ["fixed"] = v => new Written("the fault is fixed", new CheckDesk(v.Book).Fix(v.Id("job"), v.Need("key", "the fault"), v.Text("words"))),
        ["tape"] = Tape,
        ["came"] = v => new Written("written down", new JobDesk(v.Book).AddAccessory(v.Id("job"), v.Need("name", "what came with it"), v.Text("note"))),
        ["fit"] = Fit,
        ["cost"] = v => new Written("the cost is written down", new OfferDesk(v.Book).AddCost(v.Id("job"), v.Word("kind", CostKind.Other), v.NeedMoney("amount", "the amount"), v.Day("day"), v.Need("what", "what the cost was for"))),
        ["correct-cost"] = v => new Written("it stands now; the earlier entry stays in the book", new OfferDesk(v.Book).CorrectCost(v.Id("job"), v.NeedId("cost"), v.Word("kind", CostKind.Other), v.NeedMoney("amount", "the amount"), v.Day("day"), v.Need("what", "what the cost was for"))),
        ["take-back-cost"] = v => new Written("it is taken back; the entry stays in the book", v.Book.Withdraw<JobCost>(v.NeedId("cost"), v.Need("why", "the reason"))),
        ["sold"] = Sold,
        ["listing"] = v => new Written("the listing's words are kept", new ListingDesk(v.Book).Keep(v.Id("job"), v.Need("title", "the listing's title"), v.Text("words"), v.Money("asked"), v.Text("sample"))),
        ["close"] = Close,
    };

    private static Written Clock(BookVisit v)
    {
        var entry = new PlanDesk(v.Book).Toggle(
            v.Id("job"),
            v.Need("task", "the task"),
            v.Zone,
            v.Text("anyway"),
            v.Text("seen") switch
            {
                "running" => true,
                "standing" => false,
                _ => null,
            }
        );
        var task = new PlanDesk(v.Book).Board(v.Id("job")).TitleOf(entry.TaskKey);
        return new Written(
            entry.Ended is null
                ? $"the clock of “{task}” runs"
                : $"the clock of “{task}” has stopped after {TypedTime.Words(entry.Length(v.Book.Now))}",
            entry
        );
    }

    private static Written AddTask(BookVisit v)
    {
        var title = v.Need("title", "the task's title");
        var key = string.Join(
            '-',
            title
                .ToLowerInvariant()
                .Split(' ', StringSplitOptions.RemoveEmptyEntries)
                .Select(w => new string([.. w.Where(char.IsAsciiLetterOrDigit)]))
                .Where(w => w.Length > 0)
        );
        var task = new PlanDesk(v.Book).AddTask(
            v.Id("job"),
            v.Word("stage", Stage.Rebuild),
            key.Length is > 0 and <= 60 ? key
                : key.Length == 0 ? "task"
                : key[..60],
            title,
            v.Text("why") ?? "",
            v.Whole("minutes") ?? 30
        );
        return new Written($"{task.Title} was added", task);
    }

    private static Written Sat(BookVisit v, string? remark, Func<PlanDesk, string?, ClockEntry> write, string end)
    {
        var entry = write(new PlanDesk(v.Book), remark);
        var task = new PlanDesk(v.Book).Board(entry.JobId).TitleOf(entry.TaskKey);
        return new Written($"“{task}”, {TypedTime.Words(entry.Length(v.Book.Now))} on {entry.Day:yyyy-MM-dd}, {end}", entry);
    }

    private static Written Tick(BookVisit v)
    {
        var result = new CheckDesk(v.Book).Tick(
            v.Id("job"),
            v.Need("key", "the check"),
            v.Word("mark", Mark.AsFound),
            v.Word("outcome", CheckOutcome.Works),
            v.Text("note")
        );
        return new Written($"{result.CheckKey}: {KebabWord.Plain(result.Outcome)}, {KebabWord.Plain(result.Mark)}", result);
    }

    private static Written Tape(BookVisit v)
    {
        var tape = new CheckDesk(v.Book).Load(v.Id("job"), v.Word("kind", LoadedTapeKind.None), v.Text("name"));
        return new Written(
            CheckBoard.RecordWarning(tape) ?? (tape.Name is { } name ? $"{name} lies in the deck" : "no tape lies in the deck"),
            tape
        );
    }

    private static Written Fit(BookVisit v)
    {
        var (desk, supply) = (new SupplyDesk(v.Book), v.Need("supply", "the supply"));
        var use = desk.Fit(
            v.Id("job"),
            supply,
            v.Number("quantity") ?? 1,
            v.Need("place", "where it was fitted"),
            v.Day("day"),
            v.Text("lot")
        );
        var stock = desk.Board().Find(supply);
        return new Written(
            $"{SupplyBoard.Plain(use.Quantity)} {stock.Supply.Unit} of {stock.Supply.Name}: {use.Place}{(stock.MustReorder ? $"; {SupplyBoard.Plain(stock.Left)} left, order again" : "")}",
            use
        );
    }

    private static Written Sold(BookVisit v)
    {
        var (job, _) = v.Book.JobHead(v.Id("job"));
        var sale = new OfferDesk(v.Book).Sell(
            job,
            v.NeedMoney("price", "the price"),
            v.Day("day"),
            v.Need("buyer", "the buyer"),
            v.Whole("months"),
            v.Text("terms")
        );
        // The buyer became the owner in the same breath; both are undone together.
        var owner = v.Book.Standing<DeckOwner>(job.DeckId).LastOrDefault(o => o.Name == sale.Buyer && o.Since == sale.Day);
        return new Written($"sold to {sale.Buyer} for {sale.Price}", owner is null ? [sale] : [sale, owner]);
    }

    private static Written Close(BookVisit v)
    {
        var (job, _) = v.Book.JobHead(v.Id("job"));
        if (job.Closed is not null)
            throw new EntryException("the job is closed already");
        new JobDesk(v.Book).Close(job);
        return new Written("the job is closed") { Act = v.Book.History("job", job.Id) is [.., var last] ? last.Act.Id : null };
    }

    private sealed class Plans(BookVisit v)
    {
        public PlanDesk Desk { get; } = new(v.Book);

        public Guid Job { get; } = v.Id("job");

        public string Task { get; } = v.Need("task", "the task");

        // A clock that ran was stopped by it: that entry is undone with the mark.
        public Written Marked(Func<Plans, TaskMark> mark, string end)
        {
            var running = Desk.Board(Job).Find(Task).Running;
            var made = mark(this);
            var stopped = running is null ? null : v.Book.Everything<ClockEntry>(Job).FirstOrDefault(c => c.Supersedes == running.Id);
            return new Written($"“{Desk.Board(Job).TitleOf(made.TaskKey)}” {end}", stopped is null ? [made] : [made, stopped]);
        }
    }
}
