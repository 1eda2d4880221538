using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Physics;

/// <summary>Losses heard in the sound against worked figures of shared/reference/tape-physics.md (tagged computed there, from the formulas
/// of the keys).</summary>
public class HeadLossesInSoundTests
{
    [Theory]
    // [SPACING-1951] worked figures, section 1.1.
    [InlineData(1.0, 19.05, 10000, -2.865)]
    [InlineData(1.0, 19.05, 16000, -4.584)]
    [InlineData(1.0, 38.1, 10000, -1.432)]
    [InlineData(2.5, 9.525, 10000, -14.32)]
    public void Spacing_OfOneChannel_LosesTheWorkedFigure(double um, double speed, double hertz, double expectedDb)
    {
        var tape = Decks.Tone(hertz, speed);
        var options = Decks.Options(speed);
        var right = Decks.Hear(Decks.Perfect(), tape, options);
        var wrong = Decks.Hear(Decks.With(h => h.With(PracticeSide.Left, c => c with { SpacingUm = um })), tape, options);
        Assert.Equal(expectedDb, wrong.Left - right.Left, 0.01);
        Assert.Equal(right.Right, wrong.Right, 1e-5);
    }

    [Theory]
    // [GAP-1953] worked figures for k = 1.136, section 1.3.
    [InlineData(3, 19.05, 10000, -0.462)]
    [InlineData(3, 19.05, 20000, -1.913)]
    [InlineData(4, 19.05, 20000, -3.537)]
    [InlineData(3, 9.525, 10000, -1.913)]
    [InlineData(6, 38.1, 20000, -1.913)]
    public void Gap_AgainstNone_LosesTheWorkedFigure(double um, double speed, double hertz, double expectedDb)
    {
        var tape = Decks.Tone(hertz, speed);
        var options = Decks.Options(speed);
        var none = Decks.Hear(Decks.Perfect(), tape, options);
        var some = Decks.Hear(Decks.With(h => h with { GapUm = um }), tape, options);
        Assert.Equal(expectedDb, some.Left - none.Left, 0.003);
        Assert.Equal(expectedDb, some.Right - none.Right, 0.003);
    }

    [Fact]
    public void GapFactor_NotGiven_IsDrawnWithinItsRangeAndDiffersBetweenDecks()
    {
        var factors = Enumerable.Range(1, 200).Select(seed =>
        {
            var deck = Decks.With(h => h with { GapFactor = null }) with { Seed = seed };
            return deck.GapFactor(TapeDirection.Forward);
        }).ToList();
        Assert.All(factors, f => Assert.InRange(f, 1.11, 1.14));
        Assert.True(factors.Max() - factors.Min() > 0.025);
    }

    [Theory]
    // [AZIMUTH-2000] worked figures, section 1.4.
    [InlineData(2.1, 3, 10000, 19.05, -0.133)]
    [InlineData(2.1, 5, 10000, 19.05, -0.370)]
    [InlineData(2.1, 10, 10000, 19.05, -1.522)]
    [InlineData(1.0, 3, 10000, 19.05, -0.030)]
    [InlineData(1.0, 10, 10000, 9.525, -1.375)]
    [InlineData(6.3, 3, 10000, 19.05, -1.224)]
    public void Azimuth_OverATrackWidth_LosesTheWorkedFigure(double widthMm, double arcmin, double hertz, double speed, double expectedDb)
    {
        var strip = new TrackStrip(0, widthMm);
        var deck = Decks.Perfect() with { Forward = Decks.Head(strip, strip) };
        var tape = Decks.Tone(hertz, speed) with { Strips = [strip] };
        var straight = Decks.Hear(deck, tape, Decks.Options(speed));
        var askew = Decks.Hear(deck with { Forward = deck.Forward with { AzimuthArcmin = arcmin } }, tape, Decks.Options(speed));
        Assert.Equal(expectedDb, askew.Left - straight.Left, 0.003);
    }

    [Theory]
    // [FRINGING-1972] figures quoted for 1 mm quarter tracks, 19.05 cm/s, 30 Hz (section 7.4 of standards-figures.md), and worked table
    // entries.
    [InlineData(30, 19.05, 6.04, 8.98)]
    [InlineData(63, 19.05, 3.41, 5.80)]
    [InlineData(250, 19.05, 0.99, 1.89)]
    [InlineData(1000, 19.05, 0.26, 0.51)]
    [InlineData(30, 9.525, 3.55, 6.00)]
    [InlineData(125, 9.525, 0.99, 1.89)]
    public void FullTrackTape_OnQuarterTracks_ReadsHighByTheWorkedFigure(double hertz, double speed, double outerDb, double innerDb)
    {
        var options = Decks.Options(speed, seconds: 4, rate: 48000);
        var heard = Decks.Hear(Decks.Perfect(), Decks.FullTrack(hertz, speed), options);
        Assert.Equal(outerDb, heard.Left, 0.01);
        Assert.Equal(innerDb, heard.Right, 0.01);
    }

    [Fact]
    public void FourTrackTape_OnQuarterTracks_ReadsHighByTheQuotedFigures()
    {
        // [FRINGING-1972] four 1 mm tracks with 0.75 mm blanks: 2.7 and 4.4 dB.
        var heard = Decks.Hear(Decks.Perfect(), Decks.Tone(30), Decks.Options(seconds: 4, rate: 48000));
        Assert.Equal(2.70, heard.Left, 0.01);
        Assert.Equal(4.39, heard.Right, 0.01);
    }

    [Theory]
    // Worked figures of section 7 of tape-physics.md: 20·log(1 − Δ/w). Far beyond the reach of fringing at 10 kHz.
    [InlineData(2.0, 0.2, -0.92)]
    [InlineData(1.0, 0.2, -1.94)]
    [InlineData(1.0, 0.1, -0.92)]
    public void HeightError_OfATrack_LosesTheShareNotCovered(double widthMm, double offMm, double expectedDb)
    {
        var strip = new TrackStrip(2, 2 + widthMm);
        var deck = Decks.Perfect() with { Forward = Decks.Head(strip, strip) with { HeightErrorMm = offMm } };
        var heard = Decks.Hear(deck, Decks.Tone(15000) with { Strips = [strip] }, Decks.Options());
        Assert.Equal(expectedDb, heard.Left, 0.03);
    }

    [Theory]
    [InlineData(HeadBumpShape.Single)]
    [InlineData(HeadBumpShape.Rippled)]
    [InlineData(HeadBumpShape.Double)]
    public void HeadBump_AtHalfTheSpeed_LiesAtHalfTheFrequency(HeadBumpShape shape)
    {
        // Section 1.6: what hangs on wavelength halves in frequency with speed.
        var deck = Decks.With(h => h with { Bump = new HeadBump(2, 6, shape) });
        double Gain(double hertz, double speed)
        {
            var options = Decks.Options(speed, seconds: 4, rate: 48000);
            return Decks.Hear(deck, Decks.ForwardTracksOnly(hertz, speed), options).Left
                - Decks.Hear(Decks.Perfect(), Decks.ForwardTracksOnly(hertz, speed), options).Left;
        }

        foreach (var hertz in new[] { 31.75, 50, 90 })
            Assert.Equal(Gain(hertz * 2, 19.05), Gain(hertz, 9.525), 0.002);
        Assert.InRange(Gain(31.75, 19.05), 1, 2.5);
    }
}
