using Spoolwright.Signal.Markers;

namespace Spoolwright.Signal.Tests.Markers;

/// <summary>Markers through what decks do to them. Truth computed from the sound's own making.</summary>
public sealed class MarkerSearchTests
{
    [Theory]
    [InlineData(32000)]
    [InlineData(44100)]
    [InlineData(48000)]
    [InlineData(96000)]
    [InlineData(192000)]
    public void Marker_StraightWire_BeginsWithinTenMicroseconds(int rate)
    {
        var deck = new MarkerDeck { RateHz = rate };
        var (left, right, _) = MarkerSound.Make(5, 3, 1.2345678, 4, deck);
        var found = MarkerSound.Search(left, right, rate);
        Assert.Equal(2, found.Count);
        foreach (var marker in found)
        {
            Assert.Equal(new MarkerWord(5, 3, marker.CaptureChannel == 1, false), marker.Word);
            Assert.Equal(1.2345678, marker.StartSeconds, 1e-5);
            Assert.Equal(1, marker.Stretch, 5e-6);
            Assert.True(marker.ScatterSeconds < 5e-6, $"{marker.ScatterSeconds}");
            Assert.Equal(-20, marker.LevelDb, 0.1);
            Assert.False(marker.IsMixed);
        }
    }

    public static TheoryData<string, double, double, double, double, bool, bool> Decks => new()
    {
        { "slow", 0.97, 0, -200, 0, false, false },
        { "fast", 1.03, 0, -200, 0, false, false },
        { "hiss", 1, 0, -40, 0, false, false },
        { "hiss as loud as the sweeps", 1.01, 0, 0, 0, false, false },
        { "flutter", 1, 0.003, -40, 0, false, false },
        { "worn", 0.985, 0.001, -40, 4000, false, false },
        { "backwards", 1.02, 0.001, -40, 0, true, false },
        { "swapped", 0.98, 0.001, -40, 6000, false, true },
        { "backwards and swapped", 1, 0.001, -40, 6000, true, true },
    };

    [Theory]
    [MemberData(nameof(Decks))]
    public void Marker_ThroughADeck_IsFoundWhereItStands(
        string name,
        double speed,
        double flutter,
        double noise,
        double falls,
        bool backwards,
        bool swapped
    )
    {
        for (var seed = 1; seed <= 3; seed++)
        {
            var deck = new MarkerDeck
            {
                RateHz = 32000,
                Speed = speed,
                Flutter = flutter,
                NoiseDb = noise,
                FallsAboveHz = falls,
                Backwards = backwards,
                Swapped = swapped,
            };
            var (left, right, middle) = MarkerSound.Make(17, 6, 1.1, 4, deck, seed);
            var found = MarkerSound.Search(left, right, deck.RateHz);
            Assert.True(found.Count == 2, $"{name}: {found.Count}");
            foreach (var marker in found)
            {
                Assert.Equal(new MarkerWord(17, 6, (marker.CaptureChannel == 1) ^ swapped, backwards), marker.Word);
                Assert.Equal(speed, marker.Speed, 2e-4 + (flutter * 1.5));

                // Two poles delay by their own group delay; a marker cannot know of it.
                var delay = falls > 0 ? 2 / (2 * Math.PI * falls) : 0;
                // Wow bends the row: each line below 2 Hz by up to its share of the flutter over 2π·f, 0.13 s of it at 0.5 Hz.
                Assert.Equal(middle, marker.MiddleSeconds, 2e-5 + (1.2 * delay) + (flutter * 0.3));
            }
        }
    }

    [Fact]
    public void Marker_OneChannelDead_IsFoundInTheOther()
    {
        var deck = new MarkerDeck { DeadLeft = true, NoiseDb = -40, Flutter = 0.001 };
        var (left, right, _) = MarkerSound.Make(9, 0, 0.5, 4, deck);
        var marker = Assert.Single(MarkerSound.Search(left, right, 48000));
        Assert.Equal((1, true), (marker.CaptureChannel, marker.Word.IsRight));
    }

    [Fact]
    public void Marker_SidesSummed_SaysSo()
    {
        var (left, right, _) = MarkerSound.Make(9, 0, 0.5, 4, new() { NoiseDb = -50 });
        float[] Mixed(float share) => [.. left.Zip(right, (l, r) => (share * l) + ((1 - share) * r))];
        var found = MarkerSound.Search(Mixed(0.6f), Mixed(0.4f), 48000);
        Assert.Equal(2, found.Count);
        Assert.All(found, m => Assert.True(m.IsMixed));
    }

    [Theory]
    [InlineData(1.0)]
    [InlineData(0.975)]
    [InlineData(1.025)]
    public void Marker_SidesSummedHalfAndHalf_CannotBeReadAndIsNamed(double speed)
    {
        var (left, right, _) = MarkerSound.Make(9, 0, 0.5, 4, new() { Summed = true, NoiseDb = -50, Speed = speed, Flutter = 0.001 });
        var search = new MarkerSearch(48000, 2);
        search.Add(left, right);
        Assert.Empty(search.Finish());
        Assert.True(search.SumsSides);
    }

    [Fact]
    public void SoundWithoutASweep_IsNoSumOfSides()
    {
        var random = new Random(5);
        float[] noise = [.. Enumerable.Range(0, 20 * 48000).Select(_ => (float)(0.2 * (random.NextDouble() - 0.5)))];
        var search = new MarkerSearch(48000, 2);
        search.Add(noise, noise);
        Assert.Empty(search.Finish());
        Assert.False(search.SumsSides);
    }

    [Fact]
    public void Marker_SourceAndTapeInOneChannel_BothAreFound()
    {
        foreach (var delay in new[] { 0.0656, 0.1312, 0.1575, 0.2623, 0.5247 })
        {
            var (a, b, _) = MarkerSound.Make(3, 1, 0.7, 5, new() { LevelDb = -20 });
            var (c, d, _) = MarkerSound.Make(
                3,
                1,
                0.7 + delay,
                5,
                new()
                {
                    LevelDb = -23,
                    Flutter = 0.0002,
                    NoiseDb = -40,
                }
            );
            var found = MarkerSound
                .Search([.. a.Zip(c, (x, y) => x + y)], [.. b.Zip(d, (x, y) => x + y)], 48000)
                .Where(m => m.CaptureChannel == 0)
                .ToArray();
            Assert.Equal(2, found.Length);
            Assert.Equal(delay, found[1].MiddleSeconds - found[0].MiddleSeconds, 1e-4);
        }
    }

    [Fact]
    public void Start_UnderHissAndFlutter_LiesWithinItsUncertainty()
    {
        int inside = 0, all = 0;
        for (var seed = 1; seed <= 60; seed++)
        {
            var deck = new MarkerDeck { RateHz = 32000, NoiseDb = seed % 2 == 0 ? -10 : 0, Speed = 1 + (0.0005 * (seed % 40)) - 0.01 };
            var (left, right, _) = MarkerSound.Make(seed % 32, seed % 8, 0.51, 3, deck, seed);
            foreach (var marker in MarkerSound.Search(left, right, deck.RateHz))
            {
                all++;
                inside += Math.Abs(marker.StartSeconds - 0.51) < marker.UncertaintySeconds ? 1 : 0;
                Assert.True(marker.UncertaintySeconds < 1e-4, $"{marker.UncertaintySeconds}");
            }
        }

        // Binomial, three standard deviations about 95 %.
        Assert.True(all == 120 && inside >= 106, $"{inside} of {all}");
    }

    [Fact]
    public void Search_MusicTonesSpeechAndNoise_FindsNothing()
    {
        var random = new Random(3);
        var search = new MarkerSearch(32000, 2);
        var left = new float[32000];
        var right = new float[32000];
        double brown = 0, phase = 0;
        for (var second = 0; second < 60; second++)
        {
            var notes = Enumerable.Range(0, 5).Select(_ => 110 * Math.Pow(2, random.Next(48) / 12.0)).ToArray();
            var glide = 300 + (3000 * random.NextDouble());
            for (var i = 0; i < left.Length; i++)
            {
                var t = i / 32000.0;
                brown = (0.995 * brown) + (0.02 * MarkerSound.Normal(random));
                var beat = Math.Exp(-8 * (t % 0.25));
                phase += 2 * Math.PI * (glide + (4000 * Math.Abs((t * 6.25 % 2) - 1))) / 32000;
                left[i] = (float)(
                    (second % 4) switch
                    {
                        0 => (0.1 * beat * notes.Sum(f => Math.Sin(2 * Math.PI * f * t) + (0.4 * Math.Sin(6 * Math.PI * f * t))))
                            + (0.05 * beat * MarkerSound.Normal(random))
                            + brown,
                        1 => 0.3 * MarkerSound.Normal(random),
                        2 => 0.2 * Math.Sin(phase), // a siren, up and down about as fast as a sweep
                        _ => 0.2 * Math.Sin(2 * Math.PI * notes[0] * t),
                    }
                );
                right[i] = (float)(0.5 * left[i] + (0.01 * MarkerSound.Normal(random)));
            }

            search.Add(left, right);
        }

        Assert.Empty(search.Finish());
    }

    [Theory]
    [InlineData(1)]
    [InlineData(64)]
    [InlineData(100_000)]
    public void Markers_AnyBlockSize_AreTheSame(int block)
    {
        var (left, right, _) = MarkerSound.Make(2, 2, 1.1, 3.3, new() { NoiseDb = -20, RateHz = 32000 });
        Assert.Equal(MarkerSound.Search(left, right, 32000), MarkerSound.Search(left, right, 32000, block));
    }
}
