using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Checks;
using Spoolwright.Bench.Service.Plans;
using Spoolwright.Storage;

namespace Spoolwright.App.Desk;

/// <summary>Function checks, faults, and the tape that lies in the deck.</summary>
public sealed class CheckDesk(ServiceBook book)
{
    /// <summary>Lays a list of checks out for a job.</summary>
    public IReadOnlyList<JobCheck> LayOut(Guid jobId, CheckList list, DeckProfile profile) => book.Work<IReadOnlyList<JobCheck>>(w =>
    {
        if (w.Standing<JobCheck>(jobId).Count > 0)
            throw new EntryException("the job has its function checks already");
        return [.. list.LayOut(jobId, profile).Select(w.Add)];
    });

    /// <summary>How checks, faults and the loaded tape stand.</summary>
    public CheckBoard Board(Guid jobId) => book.Look(w => Board(w, jobId));

    /// <summary>Ticks a check. What could record is refused while a test tape is named as loaded.</summary>
    /// <exception cref="EntryException">No such check, no note where one is needed, or a test tape is loaded.</exception>
    public CheckResult Tick(Guid jobId, string key, Mark mark, CheckOutcome outcome, string? note = null) =>
        TickAll(jobId, [key], mark, outcome, note)[0];

    /// <summary>Ticks several checks alike: all of them, or none where one is refused.</summary>
    public IReadOnlyList<CheckResult> TickAll(Guid jobId, IReadOnlyList<string> keys, Mark mark, CheckOutcome outcome,
        string? note = null) => book.Work<IReadOnlyList<CheckResult>>(w =>
    {
        var board = Board(w, jobId);
        return [.. keys.Select(key =>
        {
            var check = board.Find(key).Check;
            if (outcome is CheckOutcome.Works or CheckOutcome.Fault && board.Warning(check) is { } warning)
                throw new EntryException(warning);
            return w.Add(new CheckResult { JobId = jobId, CheckKey = check.Key, Mark = mark, Outcome = outcome, Note = note });
        })];
    });

    /// <summary>Accepts a check that fails or was not tried as left, or an open fault, in words that the buyer reads.</summary>
    /// <param name="jobId">The job.</param>
    /// <param name="key">The check's key, or the fault's number.</param>
    /// <param name="words">The words.</param>
    public BookEntry Accept(Guid jobId, string key, string words) => book.Work<BookEntry>(w =>
    {
        var board = Board(w, jobId);
        // The one task of the plan that blocks: left out with the reason, as the plan's own page does it.
        if (key == JobTask.SafetyTest && board.SafetyTest is { State: TaskState.Open } test)
            return w.Add(new TaskMark { JobId = jobId, TaskKey = test.Task.Key, State = TaskState.Skipped, Remark = words });
        return FindFault(board, key) is { } fault
            ? w.Correct(fault.Id, fault with { State = FaultState.Accepted, Words = words })
            : w.Add(new CheckAcceptance { JobId = jobId, CheckKey = board.Find(key).Check.Key, Words = words });
    });

    /// <summary>Writes a fault down.</summary>
    public Fault AddFault(Guid jobId, string assembly, string what, Mark mark) =>
        book.Add(new Fault { JobId = jobId, Assembly = assembly, What = what, FoundAt = mark });

    /// <summary>Marks a fault fixed.</summary>
    public Fault Fix(Guid jobId, string key, string? words) => book.Work(w =>
    {
        var fault = FindFault(Board(w, jobId), key) ?? throw new EntryException($"no fault of this job begins with {key}");
        return w.Correct(fault.Id, fault with { State = FaultState.Fixed, Words = words });
    });

    /// <summary>Says what tape lies in the deck now.</summary>
    public LoadedTape Load(Guid jobId, LoadedTapeKind kind, string? name) =>
        book.Add(new LoadedTape { JobId = jobId, Kind = kind, Name = name });

    /// <summary>The words before anything that could record; null: no test tape is named as loaded.</summary>
    public string? RecordWarning(Guid jobId) => CheckBoard.RecordWarning(Board(jobId).Loaded);

    /// <summary>The words for every open job in whose deck a test tape is named as loaded, with the deck.</summary>
    public IReadOnlyList<string> RecordWarnings() =>
        [
            .. book.OpenJobs()
                .Select(j => (Job: j, Warning: RecordWarning(j.Id)))
                .Where(w => w.Warning is not null)
                .Select(w => $"deck {book.ReadDeck(w.Job.DeckId).SerialNumber}: {w.Warning}"),
        ];

    private static Fault? FindFault(CheckBoard board, string key) =>
        key.Length < 4 ? null : board.Faults.FirstOrDefault(f => CheckBoard.ShortKey(f.Id)
            .StartsWith(key, StringComparison.OrdinalIgnoreCase));

    private static CheckBoard Board(BookWork w, Guid jobId) => CheckBoard.Of(
        w.Standing<JobCheck>(jobId), w.Standing<CheckResult>(jobId), w.Standing<CheckAcceptance>(jobId), w.Standing<Fault>(jobId),
            w.Standing<LoadedTape>(jobId)) with
    {
        SafetyTest = PlanBoard.Of(w.Standing<JobTask>(jobId), w.Standing<TaskMark>(jobId), [], DateTimeOffset.UnixEpoch).Tasks
            .FirstOrDefault(t => t.Task.Key == JobTask.SafetyTest),
    };
}
