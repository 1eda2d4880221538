using CsCheck;
using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Scenario;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Playing;

public class ReproducibilityTests
{
    private static PlaySession Play(long seed = 5, int rate = 44100) => AutoReverseDeck.AsFound.Play(
        RestorersTapes.Levels(19.05) with { Dropouts = new TapeDropouts(120) },
        new PlayOptions { SpeedCmPerS = 19.05, DurationSeconds = 5, LeadInSeconds = 0.2, Seed = seed, SampleRateHz = rate });

    [Fact]
    public void Sound_OfTheSameSeed_IsTheSameSampleForSample()
    {
        var (left, right) = Listening.Record(Play());
        var (left2, right2) = Listening.Record(Play());
        Assert.Equal(left, left2);
        Assert.Equal(right, right2);
    }

    [Fact]
    public void Sound_OfAnotherSeed_Differs() => Assert.NotEqual(Listening.Record(Play(5)).Left, Listening.Record(Play(6)).Left);

    [Fact]
    public void Sound_ReadInBlocksOfAnySize_IsTheSameSampleForSample()
    {
        var whole = Listening.Record(Play().Sound, 1 << 20);
        Gen.Int[1, 20000].Array[1, 40].Sample(
            sizes =>
            {
                using var session = Play();
                var left = new float[whole.Left.Length];
                var right = new float[left.Length];
                var (at, turn, got) = (0, 0, 1);
                while (got > 0)
                {
                    var take = Math.Min(sizes[turn++ % sizes.Length] + 50, left.Length - at);
                    got = session.Sound.Read(left.AsSpan(at, take), right.AsSpan(at, take));
                    at += got;
                }

                return at == left.Length && left.AsSpan().SequenceEqual(whole.Left) && right.AsSpan().SequenceEqual(whole.Right);
            },
            iter: 12,
            threads: 1);
    }

    [Fact]
    public void Sound_ReadToItsEnd_GivesNothingMore()
    {
        using var session = Play();
        Listening.Record(session.Sound);
        Assert.Equal(0, session.Sound.Read(new float[10], new float[10]));
    }

    [Theory]
    [InlineData(32000)]
    [InlineData(44100)]
    [InlineData(48000)]
    [InlineData(88200)]
    [InlineData(192000)]
    public void Sound_AtAnyRate_HasItsLengthAndTheSameTone(int rate)
    {
        var options = Decks.Options(seconds: 1.5, rate: rate);
        var (left, _) = Listening.Record(Decks.Perfect().Play(Decks.ForwardTracksOnly(1000), options));
        Assert.Equal((int)Math.Round(1.5 * rate), left.Length);
        Assert.Equal(-12, Listening.Decibels(Listening.Tone(left, 1000, rate).Magnitude), 1e-4);
        Assert.Equal(1000, Listening.Frequency(left, 1000.5, rate), 1e-4);
    }

    [Theory]
    [InlineData(3150)]
    [InlineData(17999.7)]
    public void Tone_OfAPerfectDeck_HasNothingBesideItAboveSinglePrecision(double hertz)
    {
        var (left, _) = Listening.Record(
            Decks.Perfect().Play(Decks.ForwardTracksOnly(hertz), Decks.Options(seconds: 4) with { StartSeconds = 500 })
        );
        var tone = Listening.Tone(left, hertz, 96000);
        var rest = new float[left.Length];
        for (var i = 0; i < rest.Length; i++)
            rest[i] = (float)(left[i] - (tone.Magnitude * Math.Cos((2 * Math.PI * (hertz / 96000 * i % 1)) + tone.Phase)));

        // Rounding to 24 bits of a sine 12 dB below full scale leaves about -162 dBFS.
        Assert.InRange(Listening.Decibels(Listening.Rms(rest)), -180, -155);
    }

    [Fact]
    public void Faults_WildButAllowed_NeverLeaveFullScaleOrGiveNoNumber()
    {
        var gen = Gen.Select(
            Gen.Double[0, 60],
            Gen.Double[-40, 20],
            Gen.Double[-300, 300],
            Gen.Double[-90, 400],
            Gen.Double[0, 10],
            Gen.Double[-40, 40],
            Gen.Long
        );
        gen.Sample(
            fault =>
            {
                var (spacing, level, azimuth, treble, rms, speed, seed) = fault;
                var deck = AutoReverseDeck.AsFound with { Seed = seed, Speeds = [new PracticeSpeed(19.05, Decks.Fast, speed)] };
                deck = deck with
                {
                    Forward = (deck.Forward with { AzimuthArcmin = azimuth, GapUm = spacing / 2 }).With(
                        PracticeSide.Left,
                        c =>
                            c with
                            {
                                SpacingUm = spacing,
                                SpacingWanderUmRms = spacing / 2,
                                LevelTrimDb = level,
                                TrebleTrimPercent = treble,
                                BassTrimPercent = treble,
                            }
                    ),
                    Transport = deck.Transport with { Noises = [new SpeedNoise("storm", 0.5, 200, rms)], WeaveArcminRms = rms * 3 },
                };
                using var session = deck.Play(
                    RestorersTapes.Levels(19.05) with { Dropouts = new TapeDropouts(3000), Seed = seed },
                    new PlayOptions { SpeedCmPerS = 19.05, DurationSeconds = 6, Seed = seed, SampleRateHz = 32000, ReferenceDbfs = 0 });
                var (left, right) = Listening.Record(session.Sound);
                var truth = session.Truth;
                return Array.TrueForAll(left, x => Math.Abs(x) <= 1)
                    && Array.TrueForAll(right, x => Math.Abs(x) <= 1)
                    && truth.Tones.All(t =>
                        double.IsFinite(t.LeftDbfs)
                        && double.IsFinite(t.RightDbfs)
                        && double.IsFinite(t.TimeSkewMicroseconds)
                        && double.IsFinite(t.FrequencyHz)
                    )
                    && truth.SpeedRatios.All(double.IsFinite);
            },
            iter: 25,
            threads: 1);
    }

    [Fact]
    public void Sound_BeyondFullScale_IsHeldThereAndCounted()
    {
        var deck = Decks.With(h => h.With(PracticeSide.Left, c => c with { LevelTrimDb = 20 }));
        using var session = deck.Play(Decks.Tone(1000), Decks.Options(seconds: 0.2));
        var (left, _) = Listening.Record(session.Sound);
        Assert.Equal(1, left.Max());
        Assert.True(session.ClippedSamples > 5000);
    }

    [Fact]
    public void Sound_TellsNothingOfTheTruth()
    {
        using var session = Play();
        Listening.Record(session.Sound);
        Assert.Empty(session.Sound.Notes);
        Assert.False(session.Sound.GetType().IsPublic);
    }

    [Fact]
    public void Practice_RefersToNothingThatMeasures()
    {
        var names = typeof(PracticeDeck)
            .Assembly.GetReferencedAssemblies()
            .Select(a => a.Name!)
            .Where(n => n.StartsWith("Spoolwright", StringComparison.Ordinal));
        Assert.Equal(["Spoolwright.Signal"], names);
    }
}
