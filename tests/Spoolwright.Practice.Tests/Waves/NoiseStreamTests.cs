using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Waves;

/// <summary>The randomness behind hiss, judged by its sound.</summary>
public class NoiseStreamTests
{
    [Fact]
    public void WhiteNoise_InTheSound_IsNormallyDistributedAndWithoutMemory()
    {
        var deck = Decks.With(h => h.With(PracticeSide.Left, c => c with { NoiseDb = -20 }));
        var tape = Decks.Tone(1000) with { Tones = [new PracticeTone(1000, 0, 1, GapSeconds: 60)] };
        var (left, _) = Listening.Record(
            deck.Play(
                tape,
                new PlayOptions
                {
                    SpeedCmPerS = 19.05,
                    DurationSeconds = 20,
                    SampleRateHz = 40000,
                    InterfaceNoiseDbfs = -400,
                    ReferenceDbfs = -12,
                }
            )
        );
        var sigma = Listening.Rms(left);
        var n = (double)left.Length;
        double Share(double within) => left.Count(x => Math.Abs(x) < within * sigma) / n;

        // Shares within 1, 2, 3 and 4 standard deviations of the normal law; bounds five of their own standard errors away.
        foreach (var (within, share) in new[] { (1, 0.6826895), (2, 0.9544997), (3, 0.9973002), (4, 0.99993666) })
            Assert.Equal(share, Share(within), 5 * Math.Sqrt(share * (1 - share) / n));
        var moments = left.Select(x => x / sigma).ToList();
        Assert.Equal(0, moments.Average(), 5 / Math.Sqrt(n));
        Assert.Equal(3, moments.Average(x => x * x * x * x), 5 * Math.Sqrt(96 / n));
        foreach (var lag in new[] { 1, 2, 7 })
            Assert.Equal(0, Enumerable.Range(0, left.Length - lag).Average(i => moments[i] * moments[i + lag]), 5 / Math.Sqrt(n));
    }
}
