namespace Spoolwright.Bench.Files;

/// <summary>Gathers the problems of one file, up to a number that a person would still read.</summary>
internal sealed class ProblemList
{
    private const int Most = 200;
    private readonly List<(int Offset, FileProblem Problem)> problems = [];

    public bool HasErrors { get; private set; }

    /// <summary>True once no more problems are listed, so that wording them is for nothing.</summary>
    public bool Full { get; private set; }

    /// <summary>True once the text could not be read to its end: what is missing then is no news.</summary>
    public bool Unfinished { get; set; }

    public void Error(JsonPart at, string text) => Add(FileProblemSeverity.Error, at.Source, at.Offset, Full ? "" : at.Path, text);

    public void Warning(JsonPart at, string text) => Add(FileProblemSeverity.Warning, at.Source, at.Offset, Full ? "" : at.Path, text);

    public void Add(FileProblemSeverity severity, JsonText source, int offset, string path, string text)
    {
        HasErrors |= severity == FileProblemSeverity.Error;
        if (Full)
            return;
        var (line, column) = source.Place(offset);
        problems.Add((offset, new FileProblem(line, column, severity, path, text)));
        if (problems.Count < Most)
            return;
        Full = true;
        problems.Add(
            (
                int.MaxValue,
                new FileProblem(line, column, FileProblemSeverity.Error, "", $"more than {Most} problems: the rest is not listed")
            )
        );
        HasErrors = true;
    }

    /// <summary>The problems in the order of the file.</summary>
    public IReadOnlyList<FileProblem> InOrder() => [.. problems.OrderBy(p => p.Offset).Select(p => p.Problem)];
}
