using System.Diagnostics;
using System.Text.RegularExpressions;
using Spoolwright.App.Tests.Cli;

namespace Spoolwright.App.Tests.Storage;

/// <summary>Habits of the storage that a scan, or a look at what was loaded, can hold.</summary>
public sealed partial class StorageRuleTests
{
    /// <summary>Where rows may be changed: the journal, and what can be made again (captures by their hash, words to search by, summaries,
    /// what jobs taught), and tickets between a bench and its server.</summary>
    private static readonly string[] MayChange =
    [
        "Journal.cs", "CaptureTable.cs", "CauseLessons.cs", "PostgresEngine.Tickets.cs", "SearchIndex.cs", "Summaries.cs",
    ];

    [Fact]
    public void Rows_AreChangedNowhereButInTheJournal()
    {
        var changing = Tree.Sources("src")
            .Where(f => Changes().IsMatch(File.ReadAllText(f)))
            .Select(f => Path.GetFileName(f))
            .Order(StringComparer.Ordinal);
        Assert.Equal(MayChange.Order(StringComparer.Ordinal), changing);
    }

    [Theory]
    [InlineData("c.Execute(\"UPDATE job SET what = ''\")", true)]
    [InlineData("\"DELETE FROM note\"", true)]
    [InlineData("/// Update the DELETE", false)]
    public void Changes_AreToldFromWords(string line, bool changes) => Assert.Equal(changes, Changes().IsMatch(line));

    [Fact]
    public void SqliteBook_Opened_LoadsNothingOfPostgres()
    {
        string folder = Directory.CreateTempSubdirectory("spoolwright-loaded-").FullName;
        using Process bench = BenchProcess.Start(["loaded", Path.Combine(folder, "service.book")]);
        string[] loaded = bench.StandardOutput.ReadToEnd().Split('\n');
        bench.WaitForExit();
        Directory.Delete(folder, recursive: true);
        Assert.Contains("Microsoft.Data.Sqlite", loaded);
        Assert.DoesNotContain("Npgsql", loaded);
    }

    [GeneratedRegex(@"\b(UPDATE\s+[{a-z]\S*\s+SET|DELETE\s+FROM)\b", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Changes();
}
