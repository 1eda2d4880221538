using Spoolwright.Bench.Causes;

namespace Spoolwright.Bench.Tests.Causes;

/// <summary>Priors learned from finished jobs.</summary>
public class CausePriorsTests
{
    [Theory]
    [InlineData(0.05, 0, 0, 0.05)]
    [InlineData(0.05, 8, 40, 0.125)]
    [InlineData(0.5, 0, 40, 0.25)]
    public void Counts_MoveThePrior_AsABetaDistribution(double prior, int met, int places, double after) =>
        Assert.Equal(after, CausePriors.After(prior, met, places), 12);

    [Fact]
    public void ManyJobs_ConvergeOnTheirShare()
    {
        Assert.Equal(0.2, CausePriors.After(0.01, 20_000, 100_000), 3);
        Assert.Throws<ArgumentOutOfRangeException>(() => CausePriors.After(0.1, 5, 4));
        Assert.Throws<ArgumentOutOfRangeException>(() => CausePriors.After(double.NaN, 0, 4));
    }

    [Fact]
    public void History_IsTakenUp_AndAnUnknownCauseIsNamed()
    {
        var learned = CauseBook.Default.Learned(new Shop(new CauseCount("belt", 30, 60)));
        Assert.Equal(
            ((40 * CauseBook.Default.Causes.Single(c => c.Id == "belt").Prior) + 30) / 100,
            learned.Causes.Single(c => c.Id == "belt").Prior,
            12
        );
        Assert.Equal(CauseBook.Default.Causes.Single(c => c.Id == "hum").Prior, learned.Causes.Single(c => c.Id == "hum").Prior);
    }

    [Fact]
    public void AfterTheMend_ReadingsTellWhetherTheCauseWasRight()
    {
        var condition = new Condition(Direction.Forward, 19.05);
        MeasuredUnder Drift(double percent) => new("speed", condition, [Synthetic.Reading("drift", percent, "%", 0.01)]);
        Explanation Said(double percent) => Explainer.Explain(CauseBook.Default, [Drift(percent)], null);
        var before = Said(0.5).Findings[0];
        Assert.Equal("transport-drift", before.Id);
        Assert.Equal(CauseOutcome.Confirmed, CausePriors.Outcome(before, Said(0.01)));
        Assert.Equal(CauseOutcome.NotConfirmed, CausePriors.Outcome(before, Said(0.45)));
        Assert.Equal(CauseOutcome.Open, CausePriors.Outcome(before, null));
    }

    /// <summary>A cause counts as met where it was named, its task was done and it is gone; where nobody can say it counts
    /// nowhere.</summary>
    [Fact]
    public void FinishedJob_CountsWhatWasMended_AndLeavesOutWhatNobodyKnows()
    {
        var condition = new Condition(Direction.Forward, 19.05);
        Explanation Said(double drift) =>
            Explainer.Explain(
                CauseBook.Default,
                [
                    new MeasuredUnder(
                        "speed",
                        condition,
                        [Synthetic.Reading("drift", drift, "%", 0.01), Synthetic.Reading("speed-error", 0.01, "%", 0.02)]
                    ),
                ],
                null
            );
        CauseCount Of(IReadOnlyList<CauseCount> counts, string id) => counts.Single(c => c.CauseId == id);
        var (before, after) = (Said(0.5), Said(0.01));
        Assert.Equal(
            new CauseCount("transport-drift", 1, 1),
            Of(CausePriors.Count(before, after, task => task == "tensions"), "transport-drift")
        );
        // Gone, though nothing was done that mends it; and not looked at again.
        Assert.Equal(new CauseCount("transport-drift", 0, 0), Of(CausePriors.Count(before, after, _ => false), "transport-drift"));
        Assert.Empty(CausePriors.Count(before, null, _ => true));
        // The task was done, and it is still there: it was another cause.
        Assert.Equal(
            new CauseCount("transport-drift", 0, 1),
            Of(CausePriors.Count(before, Said(0.48), task => task == "tensions"), "transport-drift")
        );
        // What was looked at and never named makes a cause rarer.
        Assert.Equal(new CauseCount("speed", 0, 1), Of(CausePriors.Count(before, after, _ => true), "speed"));
    }

    private sealed class Shop(params CauseCount[] counts) : ICauseHistory
    {
        public IReadOnlyList<CauseCount> Counts() => counts;
    }
}
