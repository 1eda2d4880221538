using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Tests.Causes;

/// <summary>The trade's symptom table.</summary>
public class SymptomBookTests
{
    [Fact]
    public void EveryRow_StandsOnce_IsTagged_AndNamesKnownCauses()
    {
        var rows = SymptomBook.All;
        Assert.Equal(Enumerable.Range(1, 56), rows.Select(r => r.Row));
        Assert.Equal(56, rows.Select(r => r.Said).Distinct().Count());
        Assert.All(rows, r => Assert.Equal("memory", r.Tag));
        var known = CauseBook.Default.Causes.Select(c => c.Id).ToHashSet(StringComparer.Ordinal);
        Assert.All(rows.SelectMany(r => r.Causes), id => Assert.Contains(id, known));
        // What readings can tell is told by most rows; the rest is eyes, ears and a meter.
        Assert.InRange(rows.Count(r => r.Causes.Count > 0), 40, 55);
    }

    [Fact]
    public void EveryCauseThatTheTradeSpeaksOf_IsReachedFromARow()
    {
        var reached = SymptomBook.All.SelectMany(r => r.Causes).ToHashSet(StringComparer.Ordinal);
        var missing = CauseBook.Default.Causes.Where(c => c.Symptoms.Count > 0 && !reached.Contains(c.Id)).Select(c => c.Id);
        // A ringing head's row stands in no table of the trade that was found; it comes from the electronics alone.
        Assert.Equal(["head-resonance"], missing);
    }

    [Theory]
    [InlineData("dull one", 2)]
    [InlineData("DULL own rec", 3)]
    [InlineData("smoke", 50)]
    [InlineData("foil", 33)]
    public void Words_FindTheirRow_ByTheirBeginnings(string words, int row) => Assert.Equal(row, SymptomBook.Find(words)[0].Row);

    [Fact]
    public void NoWords_GiveAll_AndStrangeOnesNone()
    {
        Assert.Equal(56, SymptomBook.Find(" ").Count);
        Assert.Empty(SymptomBook.Find("marmalade"));
    }

    [Theory]
    [InlineData("""{ "symptoms": [{ "row": 1, "said": "x", "means": "y", "try": "z" }] }""", "tag")]
    [InlineData("""{ "symptoms": [{ "row": 0, "said": "x", "means": "y", "try": "z", "tag": "memory" }] }""", "row")]
    [InlineData("""{ "symptoms": 5 }""", "symptoms")]
    public void WrongTable_IsNamedWithItsField(string json, string field) =>
        Assert.Contains(SymptomBook.Parse(json).Errors, e => e.ToString().Contains(field, StringComparison.Ordinal));
}
