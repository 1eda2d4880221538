using System.Text.RegularExpressions;

namespace Spoolwright.Bench.Tests;

/// <summary>docs/standards.md is the only bibliography: every key cited resolves in it, and authors are named in it alone.</summary>
public sealed class CitationTests
{
    // A key: capitals and digits in groups joined by hyphens, an edition's year behind a colon. Plain words of capitals count from five
    // letters and in C# alone, so that [OK] in a text and a constant in a script's list are no citations; an index such as list[N] has a
    // name before its bracket.
    private static readonly Regex Cited = new(
        @"(?<![\w\)\]])\[(?<key>[A-Z][0-9A-Z]*(?:-[0-9A-Z]+)*(?::\d{4})?)\]",
        RegexOptions.ExplicitCapture,
        TimeSpan.FromSeconds(10)
    );

    private static readonly string[] SourceEndings = [".cs", ".razor", ".py", ".js", ".ts", ".sql", ".css", ".html"];

    private static string Root { get; } = FindRoot();

    private static string Bibliography { get; } = File.ReadAllText(Path.Combine(Root, "docs", "standards.md"));

    [Fact]
    public void Keys_CitedInSourcesAndTests_StandInTheBibliography()
    {
        var known = Listed();
        var missing = Files("src", SourceEndings)
            .Concat(Files("tests", SourceEndings))
            .SelectMany(file =>
                Cited.Matches(File.ReadAllText(file)).Select(m => (Key: m.Groups["key"].Value, File: Path.GetRelativePath(Root, file)))
            )
            .Where(c =>
                IsKey(c.Key, c.File.EndsWith(".cs", StringComparison.Ordinal))
                && !known.Contains(c.Key)
                && !known.Any(k => k.StartsWith(c.Key + ":", StringComparison.Ordinal))
            )
            .Select(c => $"{c.File}: {c.Key}")
            .Distinct(StringComparer.Ordinal)
            .ToList();

        Assert.True(missing.Count == 0, "not in docs/standards.md: " + string.Join("; ", missing));
    }

    [Fact]
    public void Keys_OfTablesInCode_StandInTheBibliography()
    {
        var known = Listed();
        var keys = Standards.PublishedEqualizations.All.Select(e => e.Citation.Key)
            .Concat(Standards.ReferenceFluxivities.All.Select(f => f.Citation.Key))
            .Concat(Standards.TrackFormats.All.Select(f => f.Citation.Key));

        Assert.All(keys.Distinct(StringComparer.Ordinal), key => Assert.Contains(key, known));
    }

    [Fact]
    public void Bibliography_ListsEachKeyOnce()
    {
        var rows = Rows();

        Assert.True(rows.Count > 40);
        Assert.Equal(rows.Count, rows.Distinct(StringComparer.Ordinal).Count());
    }

    [Fact]
    public void Bibliography_OnItself_CitesOnlyWhatItLists()
    {
        var known = Listed();

        Assert.All(
            Cited.Matches(Bibliography).Select(m => m.Groups["key"].Value).Where(key => IsKey(key)),
            key => Assert.Contains(key, known)
        );
    }

    [Fact]
    public void Authors_OfTheBibliography_AreNamedNowhereElse()
    {
        var authors = Regex
            .Matches(
                Bibliography,
                @"^- (?<name>[A-Za-z ]+): \[",
                RegexOptions.Multiline | RegexOptions.ExplicitCapture,
                TimeSpan.FromSeconds(10)
            )
            .Select(m => m.Groups["name"].Value)
            .ToList();
        Assert.True(authors.Count >= 8, "the bibliography's list of authors was not found");
        var name = new Regex(@"\b(" + string.Join('|', authors.Select(Regex.Escape)) + @")\b", RegexOptions.None, TimeSpan.FromSeconds(10));

        var named = Files("src", [.. SourceEndings, ".md", ".json"])
            .Concat(Files("tests", [.. SourceEndings, ".md"]))
            .Concat(Files("docs", [".md"]))
            .Concat(Files("examples", [".json", ".md"]))
            .Where(file => Path.GetFileName(file) != "standards.md")
            .SelectMany(file => name.Matches(File.ReadAllText(file)).Select(m => $"{Path.GetRelativePath(Root, file)}: {m.Value}"))
            .ToList();

        Assert.True(named.Count == 0, "named outside docs/standards.md: " + string.Join("; ", named));
    }

    [Theory]
    [InlineData("// [IEC60386:1972] clause 4", true)]
    [InlineData("by [AES6:2008], table 1", true)]
    [InlineData("see [WINDING]", true)]
    [InlineData("[BS468-4]", true)]
    [InlineData("it says [OK]", false)]
    [InlineData("list[N100]", false)]
    [InlineData("point [T1]", false)]
    [InlineData("letters [A-Z]", false)]
    [InlineData("values[0]", false)]
    public void Citation_InAText_IsToldFromOtherBrackets(string text, bool expected) =>
        Assert.Equal(expected, Cited.Matches(text).Any(m => IsKey(m.Groups["key"].Value)));

    private static bool IsKey(string key, bool plainWords = true) =>
        (key.Length >= 4 && key.AsSpan().ContainsAnyInRange('0', '9'))
        || (key.Length >= 5 && (plainWords || key.Contains('-', StringComparison.Ordinal)));

    private static List<string> Rows() =>
        [
            .. Regex
                .Matches(
                    Bibliography,
                    @"^\| \[(?<key>[^\]]+)\] \|",
                    RegexOptions.Multiline | RegexOptions.ExplicitCapture,
                    TimeSpan.FromSeconds(10)
                )
                .Select(m => m.Groups["key"].Value),
        ];

    private static HashSet<string> Listed() => Rows().ToHashSet(StringComparer.Ordinal);

    private static IEnumerable<string> Files(string folder, string[] endings)
    {
        var at = Path.Combine(Root, folder);
        if (!Directory.Exists(at))
            return [];
        return Directory.EnumerateFiles(at, "*", SearchOption.AllDirectories)
            .Where(f => endings.Contains(Path.GetExtension(f), StringComparer.Ordinal) && !Built(Path.GetRelativePath(Root, f)));
    }

    private static bool Built(string path)
    {
        var parts = path.Split(Path.DirectorySeparatorChar);
        return parts.Contains("bin", StringComparer.Ordinal)
            || parts.Contains("obj", StringComparer.Ordinal)
            || parts.Contains("node_modules", StringComparer.Ordinal);
    }

    private static string FindRoot()
    {
        var at = new DirectoryInfo(AppContext.BaseDirectory);
        while (at is not null && !File.Exists(Path.Combine(at.FullName, "Spoolwright.slnx")))
            at = at.Parent;
        return at?.FullName ?? throw new InvalidOperationException($"no Spoolwright.slnx above {AppContext.BaseDirectory}");
    }
}
