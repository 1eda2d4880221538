using Spoolwright.Bench;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Measurements;
using Spoolwright.Bench.Service;

namespace Spoolwright.Reports;

/// <summary>What ailed a job's deck, and what of it is left: the same knowledge asked of the readings as it came and as it
/// leaves.</summary>
/// <param name="Found">What the readings say of the deck as it came.</param>
/// <param name="Left">What they say of it as it leaves; null: nothing was read again.</param>
public sealed record Ailments(Explanation Found, Explanation? Left)
{
    /// <summary>The deck's kind; null: not known.</summary>
    public DeckProfile? Profile { get; init; }

    /// <summary>Speed over time by condition, for the rings.</summary>
    public IReadOnlyList<(Condition Condition, MeasurementResult Speed)> Speeds { get; init; } = [];

    /// <summary>Weighs a job's readings; null: there is none to weigh.</summary>
    /// <param name="file">The job, whole.</param>
    /// <param name="book">What is known. A record takes the program's own, so that the same readings always give the same record.</param>
    /// <param name="aside">Whether what is left is weighed on another thread meanwhile: somebody waits.</param>
    public static Ailments? Of(JobFile file, CauseBook book, bool aside = false)
    {
        ArgumentNullException.ThrowIfNull(file);
        var profile = DeckProfileFile.Parse(file.Deck.ProfileJson).Value;
        var again = JobReadings.Of(file, Mark.AsLeft);
        Explanation? Again() => again.Count > 0 ? Explainer.Explain(book, again, profile) : null;
        var meanwhile = aside && again.Count > 0 ? Task.Run(Again) : null;
        var found = Explainer.Explain(book, JobReadings.AsItCame(file), profile);
        var left = meanwhile is null ? Again() : meanwhile.GetAwaiter().GetResult();
        return found.Figures == 0
            ? null
            : new Ailments(found, left is { Figures: > 0 } ? left : null)
            {
                Profile = profile,
                Speeds =
                [
                    .. new[] { Mark.AsFound, Mark.FirstRun }
                        .SelectMany(mark =>
                            file.Measurements.Where(m => m.SupersededBy is null && m.Entry.Mark == mark && m.Entry.Measurement == "speed")
                        )
                        .Select(m => (m.Entry.Condition, m.Result)),
                ],
            };
    }

    /// <summary>What became of a cause.</summary>
    public CauseAfter After(CauseFinding found)
    {
        ArgumentNullException.ThrowIfNull(found);
        if (Left is null || !CausePriors.WasReadAgain(found, Left))
            return new CauseAfter(CauseOutcome.Open, null);
        var still = Left.Findings.FirstOrDefault(f => f.Place == found.Place && f.Causes.Any(found.Causes.Contains));
        return new CauseAfter(CausePriors.Outcome(found, Left), still?.Probability ?? 0);
    }
}

/// <summary>What became of a cause after the mend.</summary>
/// <param name="Outcome">Gone, still there, or not to be told.</param>
/// <param name="Share">How likely it is at work as left, 0 to 1; null: the figures that spoke for it were not read again.</param>
public sealed record CauseAfter(CauseOutcome Outcome, double? Share)
{
    /// <summary>In words, such as <c>gone (under 1 %)</c>.</summary>
    public string Words => Share is not { } share ? "not read again" : Outcome switch
    {
        CauseOutcome.Confirmed => $"gone ({CausesSection.Percent(share)})",
        CauseOutcome.NotConfirmed => $"still there ({CausesSection.Percent(share)})",
        _ => $"not to be told ({CausesSection.Percent(share)})",
    };
}
