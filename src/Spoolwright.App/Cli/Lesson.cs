namespace Spoolwright.App.Cli;

/// <summary>
/// A term and what it means. A class, not a pair of values: lists of classes are compiled ahead of time, lists of pairs at every start.
/// </summary>
public sealed record HelpRow(string Term, string Meaning)
{
    /// <summary>An exit code and what it says.</summary>
    public static HelpRow Of(int exitCode, string says) => new(exitCode.ToString(System.Globalization.CultureInfo.InvariantCulture), says);
}

/// <summary>What a command's help teaches beyond its options.</summary>
public sealed record Lesson
{
    /// <summary>Paragraphs under the one-line description.</summary>
    public IReadOnlyList<string> Paragraphs { get; init; } = [];

    /// <summary>What to put on the tape or play before calling it; null where nothing is played.</summary>
    public string? WhatToPlay { get; init; }

    /// <summary>What to do at the deck with a gauge before calling it; null where sound is played, or nothing.</summary>
    public string? WhatToDo { get; init; }

    /// <summary>Quantities it reads, by id and meaning.</summary>
    public IReadOnlyList<HelpRow> Reads { get; init; } = [];

    /// <summary>Names that the call takes, each with what it stands for.</summary>
    public IReadOnlyList<HelpRow> Names { get; init; } = [];

    /// <summary>Calls, each with what it does.</summary>
    public IReadOnlyList<HelpRow> Examples { get; init; } = [];

    /// <summary>Exit codes, each with what it says.</summary>
    public IReadOnlyList<HelpRow> ExitCodes { get; init; } = [];

    /// <summary>Exit codes of commands that only succeed or refuse the call.</summary>
    public static IReadOnlyList<HelpRow> PlainExitCodes { get; } =
        [HelpRow.Of(ExitCode.Done, "done"), HelpRow.Of(ExitCode.CallWrong, "the call is wrong, or a file named in it")];
}
