using Spoolwright.App.Web;
using Spoolwright.Bench;
using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Live;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Hidden;
using Spoolwright.Practice.Recording;

namespace Spoolwright.App.Tests.Live;

/// <summary>The live hill of bias on the practice deck, whose laws are its own: where it stands agrees with what the deck's truth says of
/// it.</summary>
public sealed class BiasHillTests
{
    private const int Rate = 48_000;
    private static readonly DeckProfile Profile = DeckProfileFile.Parse(BookCalls.ExampleProfile()).Value!;

    [Theory]
    [InlineData(3, 19.05, "normal")]
    [InlineData(8, 9.525, "high")]
    public void Hill_BiasTurnedOverItsPeak_StandsWhereTheDeckDoes(long seed, double speed, string setting)
    {
        var deck = LearnersDeck.Healthy(seed);
        var signal = SentSignal.Find("bias", speed)!;
        var options = new RecordOptions
        {
            SpeedCmPerS = speed,
            Setting = setting,
            SampleRateHz = Rate,
            Seed = seed,
            BiasMoves = [new(2, -7), new(20, 1)],
        };
        var stock = deck.Recorder!.Setting(setting).LaidOutFor;
        var tape = RecordedTape.Blank(stock, speed, Rate, 60);
        using var monitor = deck.Monitor(tape, options, new SteadyTones(signal, Rate, -12, 0), 26);
        var meters = new LiveMeters(
            Rate,
            new LiveContext
            {
                Profile = Profile,
                Condition = new Condition(Direction.Forward, speed, setting),
                Sent = signal,
                ReferenceDb = -12,
                IsMadeHere = true,
            }
        );
        var (left, right) = (new float[1600], new float[1600]);
        var early = new List<LiveHill>();
        for (var at = 0; at < 26 * Rate; at += left.Length)
        {
            Assert.Equal(left.Length, monitor.Sound.Read(left, right));
            meters.Add(left, right);
            var seen = meters.Read(withRings: false).Hills;
            if (at is > 4 * Rate and < 6 * Rate)
                early.AddRange(seen);
        }

        Assert.NotEmpty(early);
        Assert.All(early, h => Assert.Null(h.PeakDb));
        Assert.Contains(early, h => h.Rising == 1);
        var hz = SentSignal.BiasHz(speed);
        var now = meters.Read(withRings: false).Hills;
        foreach (var side in new[] { PracticeSide.Left, PracticeSide.Right })
        {
            var hill = now[(int)side];
            var truth = monitor.Truth;
            var peak = Enumerable.Range(-80, 120).Max(k => truth.LevelDbfs(side, hz, -20, k * 0.1));
            var drop = peak - truth.LevelDbfs(side, hz, -20, 1);
            Assert.True(
                hill.Side == "over" && Math.Abs(hill.DropDb!.Value - drop) <= hill.UncertaintyDb!.Value + 0.03,
                $"{hill}; the deck's own drop is {drop:0.000} dB"
            );
            Assert.InRange(hill.UncertaintyDb!.Value, 0, 0.3);
            Assert.NotNull(hill.WantedDb);
        }
    }
}
