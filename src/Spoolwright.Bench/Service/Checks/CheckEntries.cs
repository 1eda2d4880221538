namespace Spoolwright.Bench.Service.Checks;

/// <summary>What came of trying a function.</summary>
public enum CheckOutcome
{
    /// <summary>Does what it must.</summary>
    Works,

    /// <summary>Does not; the note says how.</summary>
    Fault,

    /// <summary>This deck does not have it.</summary>
    NotThere,

    /// <summary>Could not be tried; the note says why. No verdict on the deck.</summary>
    NotTried,
}

/// <summary>A function that a job's deck must be tried for, laid out from the profile's list.</summary>
public sealed record JobCheck : BookEntry
{
    public required Guid JobId { get; init; }

    /// <summary>Short name within the job, such as <c>play-from-fast-forward</c>.</summary>
    public required string Key { get; init; }

    public required int Ordinal { get; init; }

    /// <summary>What it belongs to: transport, reverse, record, …</summary>
    public required string Area { get; init; }

    public required string Title { get; init; }

    /// <summary>What to do and what must happen.</summary>
    public required string What { get; init; }

    /// <summary>Whether trying it could record on the tape that is loaded.</summary>
    public bool CouldRecord { get; init; }

    public override void Check()
    {
        Need(Key, "the check's key", 80);
        Need(Title, "the check's title");
    }
}

/// <summary>That a function was tried, at one point of the job. The latest counts.</summary>
public sealed record CheckResult : BookEntry
{
    public required Guid JobId { get; init; }

    public required string CheckKey { get; init; }

    public required Mark Mark { get; init; }

    public required CheckOutcome Outcome { get; init; }

    public string? Note { get; init; }

    public override void Check()
    {
        Need(CheckKey, "the check's key", 80);
        Hold(Outcome is CheckOutcome.Works or CheckOutcome.NotThere || !string.IsNullOrWhiteSpace(Note),
            $"{CheckKey}: say what {(Outcome == CheckOutcome.Fault ? "is wrong" : "kept it from being tried")}");
        AtMost(Note, "the note");
    }
}

/// <summary>How a fault stands.</summary>
public enum FaultState
{
    Open,

    Fixed,

    /// <summary>Left as it is, in words that the buyer reads.</summary>
    Accepted,
}

/// <summary>A fault of the deck, found at any point of the job.</summary>
public sealed record Fault : BookEntry
{
    public required Guid JobId { get; init; }

    /// <summary>The assembly, such as <c>head block</c>.</summary>
    public required string Assembly { get; init; }

    public required string What { get; init; }

    public required Mark FoundAt { get; init; }

    public FaultState State { get; init; } = FaultState.Open;

    /// <summary>What was done, or why it is left.</summary>
    public string? Words { get; init; }

    public override void Check()
    {
        Need(Assembly, "the assembly", 80);
        Need(What, "what is wrong", 2000);
        Hold(State != FaultState.Accepted || !string.IsNullOrWhiteSpace(Words),
            "a fault is accepted in words that the buyer reads; say them");
        AtMost(Words, "the words");
    }
}

/// <summary>That a function which does not work as left is accepted, in words that the buyer reads.</summary>
public sealed record CheckAcceptance : BookEntry
{
    public required Guid JobId { get; init; }

    public required string CheckKey { get; init; }

    public required string Words { get; init; }

    public override void Check()
    {
        Need(CheckKey, "the check's key", 80);
        Need(Words, "the words it is accepted in", 2000);
    }
}

/// <summary>What lies in the deck.</summary>
public enum LoadedTapeKind
{
    None,

    Scrap,

    Blank,

    /// <summary>Once erased it is gone.</summary>
    TestTape,
}

/// <summary>What tape lies in a job's deck from now on. The latest counts.</summary>
public sealed record LoadedTape : BookEntry
{
    public required Guid JobId { get; init; }

    public required LoadedTapeKind Kind { get; init; }

    /// <summary>The tape's name; null where none lies there.</summary>
    public string? Name { get; init; }

    public override void Check()
    {
        Hold(Kind == LoadedTapeKind.None == string.IsNullOrWhiteSpace(Name), Kind == LoadedTapeKind.None ? "no tape has no name"
            : "name the tape that is loaded");
        AtMost(Name, "the tape's name", 200);
    }
}

/// <summary>Something that came or goes with a deck.</summary>
public sealed record Accessory : BookEntry
{
    public required Guid JobId { get; init; }

    public required string Name { get; init; }

    public string? Note { get; init; }

    public override void Check() => Need(Name, "the accessory", 200);
}

/// <summary>A photo of one assembly; the picture itself lies in the book under its hash.</summary>
public sealed record Photo : BookEntry
{
    public required Guid JobId { get; init; }

    public required Mark Mark { get; init; }

    public required string Assembly { get; init; }

    public string? Caption { get; init; }

    public required string Sha256 { get; init; }

    public override void Check()
    {
        Need(Assembly, "the assembly", 80);
        AtMost(Caption, "the caption", 400);
    }
}
