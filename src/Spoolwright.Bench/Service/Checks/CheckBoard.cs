using Spoolwright.Bench.Service.Plans;

namespace Spoolwright.Bench.Service.Checks;

/// <summary>A function with what came of it at each point of the job.</summary>
public sealed record CheckOnBoard(JobCheck Check, CheckResult? AsFound, CheckResult? AsLeft, CheckAcceptance? Accepted)
{
    /// <summary>Whether it does not work as left and nobody accepted that.</summary>
    public bool IsOpenFault => AsLeft is { Outcome: CheckOutcome.Fault } && Accepted is null;

    /// <summary>Whether it was not tried as left, or could not be.</summary>
    public bool IsUntried => AsLeft is null or { Outcome: CheckOutcome.NotTried };
}

/// <summary>What keeps a job from being signed off.</summary>
/// <param name="Key">The check or fault, to name in a command.</param>
/// <param name="Of">Of what it is, for people: a fault, the plan, or the area of a function check.</param>
/// <param name="Text">One line.</param>
public sealed record OpenPoint(string Key, string Of, string Text);

/// <summary>A job's functions, faults and the tape that is loaded.</summary>
public sealed record CheckBoard(IReadOnlyList<CheckOnBoard> Checks, IReadOnlyList<Fault> Faults, LoadedTape? Loaded)
{
    /// <summary>The plan's test for electrical safety; null: the job's plan has none.</summary>
    public TaskOnBoard? SafetyTest { get; init; }

    /// <summary>Lays the board out from the entries that stand, oldest first.</summary>
    public static CheckBoard Of(
        IReadOnlyList<JobCheck> checks, IReadOnlyList<CheckResult> results, IReadOnlyList<CheckAcceptance> accepted,
            IReadOnlyList<Fault> faults, IReadOnlyList<LoadedTape> loaded)
    {
        ArgumentNullException.ThrowIfNull(checks);
        ArgumentNullException.ThrowIfNull(loaded);
        var latest = results.GroupBy(r => (r.CheckKey, Left: r.Mark == Mark.AsLeft)).ToDictionary(g => g.Key, g => g.Last());
        var words = accepted.GroupBy(a => a.CheckKey).ToDictionary(g => g.Key, g => g.Last());
        return new CheckBoard(
            [.. checks.OrderBy(c => c.Ordinal).Select(c => new CheckOnBoard(
                c, latest.GetValueOrDefault((c.Key, false)), latest.GetValueOrDefault((c.Key, true)), words.GetValueOrDefault(c.Key)))],
            faults, loaded.Count == 0 || loaded[^1].Kind == LoadedTapeKind.None ? null : loaded[^1]);
    }

    /// <summary>The check of a key, or of the only one that begins so.</summary>
    /// <exception cref="EntryException">None, or several.</exception>
    public CheckOnBoard Find(string key)
    {
        ArgumentNullException.ThrowIfNull(key);
        var plain = key.Trim().ToLowerInvariant();
        if (Checks.FirstOrDefault(c => c.Check.Key == plain) is { } exact)
            return exact;
        var near = Checks.Where(c => c.Check.Key.StartsWith(plain, StringComparison.Ordinal)).ToList();
        return near.Count switch
        {
            1 => near[0],
            0 when Checks.Count == 0 => throw new EntryException("the job has no function checks yet; lay them out first"),
            0 => throw new EntryException($"no check is called {key}{Files.NearestWord.Question(plain, Checks.Select(c => c.Check.Key))}"),
            _ => throw new EntryException($"several checks begin with {key}: {string.Join(", ", near.Select(c => c.Check.Key))}"),
        };
    }

    /// <summary>Why a check must not be tried now: it could record, and a test tape is loaded. Null: it may.</summary>
    public string? Warning(JobCheck check)
    {
        ArgumentNullException.ThrowIfNull(check);
        return check.CouldRecord ? RecordWarning(Loaded) : null;
    }

    /// <summary>The words before anything that could record while a test tape is loaded; null: none is.</summary>
    public static string? RecordWarning(LoadedTape? loaded) => loaded is { Kind: LoadedTapeKind.TestTape }
        ? $"The test tape \"{loaded.Name}\" is loaded, and this could record: a test tape once erased is gone. Take it off and say so first."
        : null;

    /// <summary>
    /// What blocks the sign-off: open faults, functions that fail as left without accepted words, functions never tried as left, and a
    /// test for electrical safety that is open in the plan. That one is done, or left out in words that the buyer reads.
    /// </summary>
    public IReadOnlyList<OpenPoint> OpenPoints =>
        [
            .. Faults.Where(f => f.State == FaultState.Open).Select(f => new OpenPoint(ShortKey(f.Id), "fault", $"{f.Assembly}: {f.What}")),
            .. Checks.Where(c => c.IsOpenFault).Select(c => new OpenPoint(c.Check.Key, c.Check.Area, $"{c.Check.Title}: {c.AsLeft!.Note}")),
            .. Checks
                .Where(c => c.IsUntried && c.Accepted is null)
                .Select(c => new OpenPoint(
                    c.Check.Key,
                    c.Check.Area,
                    $"{c.Check.Title}: {(c.AsLeft is { } left ? $"could not be tried as left ({left.Note})" : "not tried as left")}"
                )),
            .. SafetyTest is { State: TaskState.Open } test
                ?
                [
                    new OpenPoint(
                        test.Task.Key,
                        "plan",
                        $"{test.Task.Title}: open in the plan; have it done, or accept in words that it was not"
                    ),
                ]
                : Array.Empty<OpenPoint>(),
        ];

    /// <summary>What blocks the sign-off in one line, the first few named; null: nothing does.</summary>
    public string? OpenInWords => OpenPoints is { Count: > 0 } open
        ? $"{open.Count} {(open.Count == 1 ? "point blocks" : "points block")} the sign-off: {string.Join("; ", open.Take(MostNamed).Select(p => p.Text))}{(open.Count > MostNamed ? "; …" : "")}"
        : null;

    private const int MostNamed = 4;

    /// <summary>The end of an entry's key, to name it by.</summary>
    public static string ShortKey(Guid id) => id.ToString("N")[^8..];
}
