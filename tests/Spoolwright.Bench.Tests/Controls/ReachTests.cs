using System.Globalization;
using Spoolwright.Bench.Controls;

namespace Spoolwright.Bench.Tests.Controls;

/// <summary>
/// From any start within the range, within limits in at most 4 moves for one control and 6 for two that interact, in at least 95 % of 1,000
/// random decks, backlash, reading noise and the hand's own error on. Arrived means both: the advice says met, and the truth lies within
/// the limits. A move is one round of turning with its readings; with two controls it may turn both.
/// </summary>
public sealed class ReachTests(ITestOutputHelper output)
{
    // The advisor's constants were chosen on the plants of seeds 0 to 999; these it has never seen.
    private const int FirstSeed = 48_611_000;
    private const int OneControl = 4;
    private const int TwoControls = 6;

    public static TheoryData<string> One => [.. Plants.One];

    public static TheoryData<string> Two => [.. Plants.Two];

    [Theory]
    [MemberData(nameof(One))]
    public void Advice_OnOneControl_ArrivesInFourMoves(string kind) => Arrives(kind, 1000, OneControl);

    [Theory]
    [MemberData(nameof(Two))]
    public void Advice_OnTwoControls_ArrivesInSixMoves(string kind) => Arrives(kind, 120, TwoControls);

    [Theory]
    [Trait("Category", "Long")]
    [MemberData(nameof(Two))]
    public void Advice_OnTwoControlsOfAThousandDecks_ArrivesInSixMoves(string kind) => Arrives(kind, 1000, TwoControls);

    private void Arrives(string kind, int decks, int moves)
    {
        var (made, held) = (0, 0);
        var (arrived, used, outcomes) = (0, new int[moves + 1], new Dictionary<string, int>(StringComparer.Ordinal));
        for (var seed = FirstSeed; seed < FirstSeed + decks; seed++)
        {
            var plant = Plants.Of(kind, seed);
            var (last, adjustment) = plant.Follow(moves);
            (made, held) = (made + plant.Expectations.Made, held + plant.Expectations.Held);
            var holds = plant.Truth.Select((v, t) => adjustment.Targets[t].Holds(v)).All(h => h);
            if (last.Outcome == TurnOutcome.Met && holds)
            {
                arrived++;
                used[adjustment.Moves.Count]++;
            }
            else
            {
                var why = $"{last.Outcome}{(holds ? " (holds)" : "")}";
                outcomes[why] = outcomes.GetValueOrDefault(why) + 1;
            }
        }

        var text = string.Create(
            CultureInfo.InvariantCulture,
            $"{kind}: {arrived} of {decks} in {moves} moves; by moves {string.Join(' ', used)}; others {string.Join(", ", outcomes.Select(o => $"{o.Key} {o.Value}"))}; expectations that held {held} of {made}"
        );
        output.WriteLine(text);
        // At least 95 %; a share of a smaller sample may fall short of that by three binomial standard deviations.
        var slack = decks >= 1000 ? 0 : 3 * Math.Sqrt(decks * 0.95 * 0.05);
        Assert.True(arrived >= 0.95 * decks - slack, text);
        // The spread of an expectation covers the truth in 95 % of cases or more; it is rather too wide than too narrow, since the laws are
        // not known.
        Assert.True(held >= 0.95 * made, text);
    }
}
