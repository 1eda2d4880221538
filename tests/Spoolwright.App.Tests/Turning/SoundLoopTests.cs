using System.Globalization;
using Spoolwright.Bench.Controls;

namespace Spoolwright.App.Tests.Turning;

/// <summary>The whole loop: the practice deck makes sound, the catalogue measures it, the advice is turned by, until it says met. Every
/// noise, flutter and the tape's unsteadiness are on.</summary>
public sealed class SoundLoopTests(ITestOutputHelper output)
{
    private const int FirstSeed = 55_667_000;

    public static TheoryData<string> Jobs => [.. TurnJob.All.Select(j => j.Word)];

    [Theory]
    [Trait("Category", "Long")]
    [MemberData(nameof(Jobs))]
    public void Deck_MeasuredByItsSound_IsBroughtWithinLimits(string job) => Arrives(job, 3);

    [Theory]
    [InlineData("azimuth")]
    [InlineData("record-level")]
    public void Deck_MeasuredByItsSoundOnce_IsBroughtWithinLimits(string job) => Arrives(job, 1);

    private void Arrives(string word, int decks)
    {
        var job = TurnJob.All.Single(j => j.Word == word);
        var failed = 0;
        for (var i = 0; i < decks; i++)
        {
            var deck = new TurnedDeck(job, FirstSeed + (100 * i) + word.Length);
            var sound = new DeckSound(deck);
            var truths = new List<string>();
            var (last, adjustment) = deck.Follow(() =>
            {
                truths.Add(string.Join(", ", deck.Truth.Select(v => v.ToString("F2", CultureInfo.InvariantCulture))));
                return sound.Read();
            });
            failed += last.Outcome == TurnOutcome.Met && deck.Holds ? 0 : 1;
            var readings = adjustment
                .Moves.Select(m => m.After)
                .Prepend(adjustment.AsFound)
                .Select(r =>
                    string.Join(", ", r.Select(x => string.Create(CultureInfo.InvariantCulture, $"{x.Value:F2} ± {x.Uncertainty:F2}")))
                );
            output.WriteLine(
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"{word}, {deck.Pass.Direction} {deck.Pass.Side} {deck.Pass.Setting} {deck.Pass.SpeedCmPerS}: {last.Outcome} after {adjustment.Moves.Count} moves ({string.Join("; ", readings)}), aims {string.Join(", ", deck.Targets.Select(t => ((t.Min + t.Max) / 2)?.ToString("F2", CultureInfo.InvariantCulture)))}, truth {string.Join("; ", truths)}; {last.Reason}"
                )
            );
        }

        Assert.Equal(0, failed);
    }
}
