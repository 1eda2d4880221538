using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Physics;

namespace Spoolwright.Practice.Tests.Physics;

/// <summary>Equalization heard in the sound. Worked figures of shared/reference/standards-figures.md, section 2 (computed there from the
/// formula of the key).</summary>
public class ReplayCurveInSoundTests
{
    [Theory]
    // [IEC60094-1:1981] flux level table, columns 3180/50 and 3180/90, dB.
    [InlineData(31.5, 50, 5.47)]
    [InlineData(100, 50, 0.97)]
    [InlineData(1000, 50, -0.40)]
    [InlineData(10000, 50, -10.36)]
    [InlineData(20000, 50, -16.07)]
    [InlineData(1000, 90, -1.19)]
    [InlineData(10000, 90, -15.18)]
    public void Flux_OfACurve_IsThePublishedLevel(double hertz, double treble, double expectedDb) =>
        Assert.Equal(expectedDb, Listening.Decibels(new ReplayCurve(treble, 3180).Flux(hertz)), 0.006);

    [Theory]
    [InlineData(40)]
    [InlineData(1000)]
    [InlineData(3150)]
    [InlineData(16000)]
    public void PerfectDeck_WithATapeOfItsCurve_ReadsFlat(double hertz)
    {
        // Only what lies beside the tracks is left in the bass: taken from the truth's fringing.
        var tape = Decks.Tone(hertz);
        using var session = Decks.Perfect().Play(tape, Decks.Options());
        var heard = Decks.Hear(Decks.Perfect(), tape, Decks.Options());
        Assert.Equal(session.Truth.Tones[0].LeftFringingDb, heard.Left, 1e-4);
        Assert.Equal(session.Truth.Tones[0].RightFringingDb, heard.Right, 1e-4);
    }

    [Theory]
    // Tape of ∞/35 played on 3180/50 at 38.1 cm/s, set at 1 kHz.
    [InlineData(31.5, -5.66)]
    [InlineData(100, -1.16)]
    [InlineData(10000, 2.51)]
    [InlineData(15000, 2.71)]
    [InlineData(20000, 2.79)]
    public void WrongCurve_OnTheDeck_ReadsOffByTheWorkedFigure(double hertz, double expectedDb)
    {
        var options = Decks.Options(38.1, seconds: 4);
        var curve = new ReplayCurve(35, null);
        double Off(double f) =>
            Decks.Hear(Decks.Perfect(), Decks.Tone(f, 38.1) with { Curve = curve }, options).Left
            - Decks.Hear(Decks.Perfect(), Decks.Tone(f, 38.1), options).Left;
        Assert.Equal(expectedDb, Off(hertz) - Off(1000), 0.01);
    }

    [Fact]
    public void HalfTheFluxivity_OnTheTape_ReadsSixDecibelsLow()
    {
        var heard = Decks.Hear(Decks.Perfect(), Decks.ForwardTracksOnly(1000) with { FluxivityNWbPerM = 125 }, Decks.Options());
        var full = Decks.Hear(Decks.Perfect(), Decks.ForwardTracksOnly(1000), Decks.Options());
        Assert.Equal(-6.0206, heard.Left - full.Left, 1e-3);
    }

    [Fact]
    public void TapeOfAnotherSpeed_PlayedAtHalfSpeed_SoundsAnOctaveLow()
    {
        var (left, _) = Listening.Record(Decks.Perfect().Play(Decks.Tone(2000), Decks.Options(9.525)));
        Assert.Equal(1000, Listening.Frequency(left, 1001, 96000), 1e-4);
    }

    [Fact]
    public void TrebleTrimmer_TurnedUp_BrightensByTheCurveOfItsTimeConstant()
    {
        var deck = Decks.With(h => h.With(PracticeSide.Right, c => c with { TrebleTrimPercent = 20 }));
        var heard = Decks.Hear(deck, Decks.Tone(10000), Decks.Options());
        var expected = Listening.Decibels(
            new ReplayCurve(60, 3180).Replay(10000).Magnitude / new ReplayCurve(50, 3180).Replay(10000).Magnitude
        );
        Assert.Equal(expected, heard.Right - heard.Left, 1e-3);
        Assert.InRange(expected, 1.3, 1.6);
    }
}
