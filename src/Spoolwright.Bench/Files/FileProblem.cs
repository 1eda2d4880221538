namespace Spoolwright.Bench.Files;

/// <summary>How much a problem in a file weighs.</summary>
public enum FileProblemSeverity
{
    /// <summary>The file is read all the same.</summary>
    Warning,

    /// <summary>The file cannot be used until this is put right.</summary>
    Error,
}

/// <summary>Something wrong in a file that a person wrote, with the place where it stands.</summary>
/// <param name="Line">Line, from 1.</param>
/// <param name="Column">Character in the line, from 1.</param>
/// <param name="Severity">Whether the file can be used all the same.</param>
/// <param name="Path">The place by name, such as <c>limits[3].quantity</c>; empty for the file as a whole.</param>
/// <param name="Text">What is wrong, what was expected, and the nearest known word where there is one.</param>
public sealed record FileProblem(int Line, int Column, FileProblemSeverity Severity, string Path, string Text)
{
    /// <summary>One line for a person: place, weight, path, text.</summary>
    public override string ToString()
    {
        var weight = Severity == FileProblemSeverity.Error ? "error" : "warning";
        return Path.Length == 0 ? $"{Line}:{Column}: {weight}: {Text}" : $"{Line}:{Column}: {weight}: {Path}: {Text}";
    }
}

/// <summary>What came of reading a file that a person wrote.</summary>
/// <typeparam name="T">What the file describes.</typeparam>
/// <param name="Value">What it says; null when there is an error among <paramref name="Problems"/>.</param>
/// <param name="Problems">Every problem found, in the order of the file.</param>
public sealed record ParsedFile<T>(T? Value, IReadOnlyList<FileProblem> Problems)
    where T : class
{
    /// <summary>Problems that keep the file from being used.</summary>
    public IEnumerable<FileProblem> Errors => Problems.Where(p => p.Severity == FileProblemSeverity.Error);

    /// <summary>Problems that leave the file usable.</summary>
    public IEnumerable<FileProblem> Warnings => Problems.Where(p => p.Severity == FileProblemSeverity.Warning);
}
