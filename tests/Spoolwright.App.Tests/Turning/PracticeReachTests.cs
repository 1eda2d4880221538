using Spoolwright.Bench.Controls;

namespace Spoolwright.App.Tests.Turning;

/// <summary>
/// The advice turns the practice deck's own controls, with their backlash and spread, from anywhere within their stops: within limits in at
/// most 4 moves for one control and 6 for two that interact, in at least 95 % of the specimens (design, section 9). The advisor was never
/// tuned on these decks or seeds. Readings are the truth with noise; true sound is turned by in the tests of sound.
/// </summary>
public sealed class PracticeReachTests(ITestOutputHelper output)
{
    // Of no meaning but that nothing was chosen by it.
    private const int FirstSeed = 730_211;

    public static TheoryData<string> Jobs => [.. TurnJob.All.Select(j => j.Word)];

    [Theory]
    [MemberData(nameof(Jobs))]
    public void Advice_OnThePracticeDeck_ArrivesInTheMovesAllowed(string job) => Arrives(job, 12);

    [Theory]
    [Trait("Category", "Long")]
    [MemberData(nameof(Jobs))]
    public void Advice_OnManyPracticeDecks_ArrivesInTheMovesAllowed(string job) => Arrives(job, 200);

    private void Arrives(string word, int decks)
    {
        var job = TurnJob.All.Single(j => j.Word == word);
        var (arrived, moves, others) = (0, new int[job.MostMoves + 1], new List<string>());
        for (var i = 0; i < decks; i++)
        {
            var seed = FirstSeed + (1000 * i) + word.Length;
            var deck = new TurnedDeck(job, seed);
            var (last, adjustment) = deck.Follow(deck.ReadWithNoise);
            if (last.Outcome == TurnOutcome.Met && deck.Holds)
            {
                arrived++;
                moves[adjustment.Moves.Count]++;
            }
            else
            {
                others.Add(
                    $"seed {seed}: {last.Outcome}{(deck.Holds ? ", truth within limits" : "")} after {adjustment.Moves.Count} moves; {last.Reason}"
                );
            }
        }

        output.WriteLine($"{word}: {arrived} of {decks} in {job.MostMoves} moves; by moves {string.Join(' ', moves)}");
        foreach (var other in others)
            output.WriteLine(other);
        // At least 95 %; a share of a smaller sample may fall short of that by three binomial standard deviations.
        Assert.True(arrived >= (0.95 * decks) - (decks >= 200 ? 0 : 3 * Math.Sqrt(decks * 0.95 * 0.05)), $"{word}: {arrived} of {decks}");
    }
}
