using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Playing;

/// <summary>Skew between the channels, by the signs of the design's section 9: x_R(t) = x_L(t − τ), phase = −360·f·τ.</summary>
public class SkewInSoundTests
{
    // Two tracks with centres 4 mm or 3.4 mm apart.
    private static PracticeDeck TwoTrack(double apartMm, double arcmin) => Decks.Perfect() with
    {
        Forward = Decks.Head(new TrackStrip(0.1, 1.1), new TrackStrip(0.1 + apartMm, 1.1 + apartMm)) with { AzimuthArcmin = arcmin },
    };

    [Theory]
    // [AZIMUTH-2000] worked figures, section 1.5 of tape-physics.md. The left track lies above: with the upper end later, left is later.
    [InlineData(4.0, 1, 10000, 19.05, 21.99)]
    [InlineData(4.0, 3, 10000, 19.05, 65.97)]
    [InlineData(4.0, 10, 1000, 19.05, 21.99)]
    [InlineData(4.0, 10, 10000, 19.05, -140.1)]
    [InlineData(3.4, 3, 10000, 19.05, 56.07)]
    [InlineData(3.4, 1, 10000, 9.525, 37.38)]
    [InlineData(4.0, -1, 10000, 19.05, -21.99)]
    public void Azimuth_AboveZero_MakesTheUpperTrackLater(double apartMm, double arcmin, double hertz, double speed, double expectedDegrees)
    {
        var tape = Decks.Tone(hertz, speed) with { Strips = [] };
        var heard = Decks.Hear(TwoTrack(apartMm, arcmin), tape, Decks.Options(speed));
        Assert.Equal(expectedDegrees, heard.Phase, 0.06);
    }

    [Fact]
    public void RightChannel_IsTheLeftOneDelayedByTheTruthsSkew()
    {
        using var session = TwoTrack(4, -7.3).Play(Decks.Tone(1000) with { Strips = [] }, Decks.Options());
        var skew = session.Truth.Tones[0].TimeSkewMicroseconds;
        Assert.Equal(4000 * Math.Tan(7.3 * Math.PI / 10800) / 190500 * 1e6, skew, 1e-6);
        var (left, right) = Listening.Record(session);
        var phase = (Listening.Tone(right, 1000, 96000) / Listening.Tone(left, 1000, 96000)).Phase;
        Assert.Equal(skew, -phase / (2 * Math.PI * 1000) * 1e6, 1e-4);
    }

    [Fact]
    public void GapStagger_ReadsAsTheWorkedPhaseAndLosesNoLevel()
    {
        // Section 1.5: 2 µm stagger is 37.8° at 10 kHz, 19.05 cm/s.
        var heard = Decks.Hear(Decks.With(h => h with { GapStaggerUm = 2 }), Decks.Tone(10000), Decks.Options());
        var none = Decks.Hear(Decks.Perfect(), Decks.Tone(10000), Decks.Options());
        Assert.Equal(-37.8, heard.Phase, 0.01);
        Assert.Equal(none.Left, heard.Left, 1e-5);
        Assert.Equal(none.Right, heard.Right, 1e-5);
    }

    [Fact]
    public void Reverse_LeftBelowRight_MakesTheLowerTrackEarlierForATiltAboveZero()
    {
        var deck = Decks.Perfect();
        deck = deck with { Reverse = deck.Reverse with { AzimuthArcmin = 2 } };
        var options = Decks.Options() with { Direction = TapeDirection.Reverse };
        using var session = deck.Play(Decks.Tone(5000), options);
        Assert.True(session.Truth.GapSkewMicroseconds > 0);
        Assert.Equal(2, session.Truth.ApparentAzimuthArcmin, 1e-9);
        var heard = Decks.Hear(deck, Decks.Tone(5000), options);
        Assert.Equal(session.Truth.Tones[0].PhaseDegrees, heard.Phase, 1e-3);
        Assert.Equal(-360 * 5000 * 3.5e-3 * Math.Tan(2 * Math.PI / 10800) / 0.1905, heard.Phase, 1e-3);
    }

    [Fact]
    public void TapesOwnTilt_CountsAgainstTheHeadForwardAndWithItInReverse()
    {
        var tape = Decks.Tone(1000) with { AzimuthArcmin = 1.5 };
        var deck = Decks.With(h => h with { AzimuthArcmin = 2 });
        deck = deck with { Reverse = deck.Reverse with { AzimuthArcmin = 2 } };
        using var forward = deck.Play(tape, Decks.Options(seconds: 0.1));
        using var reverse = deck.Play(tape, Decks.Options(seconds: 0.1) with { Direction = TapeDirection.Reverse });
        using var backward = deck.Play(tape, Decks.Options(seconds: 0.1) with { Direction = TapeDirection.Reverse, Backward = true });
        Assert.Equal(0.5, forward.Truth.ApparentAzimuthArcmin, 1e-9);
        Assert.Equal(3.5, reverse.Truth.ApparentAzimuthArcmin, 1e-9);
        Assert.Equal(3.5, backward.Truth.ApparentAzimuthArcmin, 1e-9);
    }

    [Fact]
    public void Backward_PlayedUnflipped_KeepsTheSignOfSkewAndOfTheElectronics()
    {
        var deck = Decks.With(h => (h with { GapStaggerUm = 1 }).With(PracticeSide.Right, c => c with { TrebleTrimPercent = 30 }));
        var ahead = Decks.Hear(deck, Decks.Tone(3000), Decks.Options());
        var behind = Decks.Hear(deck, Decks.Tone(3000), Decks.Options() with { Backward = true });
        Assert.Equal(ahead.Phase, behind.Phase, 1e-4);
        Assert.Equal(ahead.Left, behind.Left, 1e-5);
    }

    [Fact]
    public void Weave_OfTheTape_WandersTheSkewByItsRms()
    {
        var deck = Decks.Perfect() with { Transport = new PracticeTransport { WeaveArcminRms = 0.5 } };
        using var session = deck.Play(Decks.Tone(3150), Decks.Options(seconds: 120, rate: 32000));
        var perArcmin = 3500 * Math.Tan(Math.PI / 10800) / 190500 * 1e6;
        Assert.Equal(0.5 * perArcmin, session.Truth.Tones[0].SkewWanderMicroseconds, 0.5 * perArcmin * 0.12);
    }

    [Fact]
    public void Leak_OfTheOtherChannel_IsInTheTruthAsInTheSound()
    {
        var deck = Decks.With(h =>
            (h with { AzimuthArcmin = 3 }).With(PracticeSide.Left, c => c with { CrosstalkDb = -30, LevelTrimDb = -3 })
        );
        using var session = deck.Play(Decks.Tone(10000), Decks.Options());
        var truth = session.Truth.Tones[0];
        var heard = Decks.Hear(deck, Decks.Tone(10000), Decks.Options());
        var tight = Decks.Hear(
            deck with
            {
                Forward = deck.Forward.With(PracticeSide.Left, c => c with { CrosstalkDb = -300 }),
            },
            Decks.Tone(10000),
            Decks.Options()
        );
        Assert.Equal(truth.LeftDbfs + 12, heard.Left, 1e-4);
        Assert.Equal(truth.PhaseDegrees, heard.Phase, 1e-3);
        Assert.True(Math.Abs(heard.Phase - tight.Phase) > 1);
    }
}
