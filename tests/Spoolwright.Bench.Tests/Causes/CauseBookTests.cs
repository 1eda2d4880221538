using System.Text.RegularExpressions;
using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Tests.Causes;

/// <summary>The knowledge as files.</summary>
public class CauseBookTests
{
    private const string Good = """
        {
          "id": "felt", "name": "A felt is worn", "place": ["direction"], "prior": 0.02,
          "amount": {"name": "drift", "unit": "%", "healthy": 0.02, "typical": 0.3, "ratio": 1.5, "sign": "either"},
          "touches": [{"of": "speed/drift", "law": "offset"}],
          "against": "…", "check": {"text": "…", "hit": 0.9, "falseAlarm": 0.1, "minutes": 5}, "task": "…", "planTasks": ["tensions"], "basis": "memory"
        }
        """;

    [Fact]
    public void EveryFile_IsRead_AndEachCauseHasItsPlace()
    {
        var book = CauseBook.Default;
        Assert.True(book.Causes.Count >= 30, $"{book.Causes.Count}");
        Assert.Equal(book.Causes.Count, book.Causes.Select(c => c.Id).Distinct().Count());
        Assert.All(book.Causes, c => Assert.NotEmpty(c.Touches));
    }

    [Fact]
    public void RowsOfTheTrade_CarryTheirTag()
    {
        foreach (var cause in CauseBook.Default.Causes)
            Assert.All(cause.Symptoms, row => Assert.Matches(new Regex(@"\[(memory|practice|[A-Z0-9:-]+)\]$"), row));
    }

    /// <summary>A job tells by its plan whether a cause was mended, so each cause names tasks that the plan of the program has.</summary>
    [Fact]
    public void EveryCause_IsMendedByTasksOfThePlan()
    {
        var tasks = Spoolwright.Bench.Service.Plans.PlanLibrary.Default.Tasks.Select(t => t.Key).ToHashSet(StringComparer.Ordinal);
        foreach (var cause in CauseBook.Default.Causes)
            Assert.All(cause.PlanTasks, key => Assert.True(tasks.Contains(key), $"{cause.Id}: the plan has no task {key}"));
    }

    [Fact]
    public void NewCause_IsOneFile()
    {
        var book = CauseBook.Read([("healthy.json", Healthy), ("felt.json", Good)]);
        var drift = new MeasuredUnder("speed", new Condition(Direction.Forward, 19.05), [Synthetic.Reading("drift", 0.4, "%", 0.01)]);
        var said = Explainer.Explain(book, [drift], null);
        Assert.Equal("felt", said.Findings[0].Id);
        Assert.InRange(said.Findings[0].Amount, 0.25, 0.5);
    }

    [Theory]
    [InlineData("\"law\": \"offset\"", "\"law\": \"ofset\"", "felt.json:4:44: error: touches[0].law", "did you mean \"offset\"")]
    [InlineData("\"prior\": 0.02", "\"prior\": 2", "felt.json:2", "prior")]
    [InlineData("\"task\": \"…\", ", "", "felt.json:1", "\"task\" is missing")]
    [InlineData("[\"tensions\"]", "[]", "felt.json:1", "planTasks")]
    [InlineData("speed/drift", "speed/drfit", "touches[0].of", "speed/drift")]
    [InlineData("\"basis\": \"memory\"", "\"basis\": \"published\"", "basis", "docs/standards.md")]
    [InlineData("\"id\": \"felt\"", "\"id\": \"felts\"", "felt.json: id", "felts")]
    public void WrongFile_IsNamedWithItsField(string from, string to, string where, string what)
    {
        var wrong = Assert.Throws<FormatException>(() =>
            CauseBook.Read([("healthy.json", Healthy), ("felt.json", Good.Replace(from, to, StringComparison.Ordinal))])
        );
        Assert.Contains(where, wrong.Message, StringComparison.Ordinal);
        Assert.Contains(what, wrong.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Priors_AreSettable_WithinBounds()
    {
        var set = CauseBook.Default.WithPriors(new Dictionary<string, double> { ["belt"] = 0.3 });
        Assert.Equal(0.3, set.Causes.Single(c => c.Id == "belt").Prior);
        Assert.Throws<ArgumentException>(() => CauseBook.Default.WithPriors(new Dictionary<string, double> { ["belts"] = 0.3 }));
        Assert.Throws<ArgumentException>(() => CauseBook.Default.WithPriors(new Dictionary<string, double> { ["belt"] = 1.5 }));
    }

    private const string Healthy =
        """{ "figures": [{ "of": "speed/drift", "words": "drift", "basis": "…", "spreads": [{ "deviation": 0.05 }] }] }""";
}
