namespace Spoolwright.App.Cli;

/// <summary>What a command's help teaches beyond its options.</summary>
public sealed record Lesson
{
    /// <summary>Paragraphs under the one-line description.</summary>
    public IReadOnlyList<string> Paragraphs { get; init; } = [];

    /// <summary>What to put on the tape or play before calling it; null where nothing is played.</summary>
    public string? WhatToPlay { get; init; }

    /// <summary>Quantities it reads, by id and plain name.</summary>
    public IReadOnlyList<(string Id, string Name)> Reads { get; init; } = [];

    /// <summary>Calls, each with what it does.</summary>
    public IReadOnlyList<(string Call, string Does)> Examples { get; init; } = [];

    /// <summary>Exit codes, each with what it says.</summary>
    public IReadOnlyList<(int Code, string Says)> ExitCodes { get; init; } = [];

    /// <summary>Exit codes of commands that only succeed or refuse the call.</summary>
    public static IReadOnlyList<(int Code, string Says)> PlainExitCodes { get; } =
        [(ExitCode.Done, "done"), (ExitCode.CallWrong, "the call is wrong, or a file named in it")];
}
