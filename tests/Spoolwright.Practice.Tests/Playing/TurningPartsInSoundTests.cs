using Spoolwright.Practice.Deck;
using Spoolwright.Practice.Playing;
using Spoolwright.Practice.Tape;

namespace Spoolwright.Practice.Tests.Playing;

/// <summary>Lines in the flutter, demodulated from the sound, against worked figures of shared/reference/tape-physics.md, section 3.
/// [WINDING]</summary>
public class TurningPartsInSoundTests
{
    private const int Rate = 32000;

    private static (double Hertz, double PercentPeak) Line(
        PracticeDeck deck,
        PracticeTape tape,
        PlayOptions options,
        double nearHz,
        double withinHz,
        int hop = 128
    )
    {
        var (left, _) = Listening.Record(deck.Play(tape, options));
        var deviation = Listening.Deviation(left, tape.Tones[0].FrequencyHz * options.SpeedCmPerS / tape.SpeedCmPerS, Rate, 2 * hop, hop);
        var (hertz, peak) = Listening.Wave(deviation, (double)Rate / hop, nearHz, withinHz);
        return (hertz, 100 * peak);
    }

    [Theory]
    // The table's slow column was worked at 9.53 cm/s.
    [InlineData(PracticePartKind.Capstan, 6, 9.525, 9.53, 5.06)]
    [InlineData(PracticePartKind.Capstan, 8, 9.525, 9.53, 3.79)]
    [InlineData(PracticePartKind.Capstan, 8, 19.05, 19.05, 7.58)]
    [InlineData(PracticePartKind.Capstan, 10, 38.1, 38.1, 12.13)]
    [InlineData(PracticePartKind.PinchRoller, 30, 19.05, 19.05, 2.02)]
    [InlineData(PracticePartKind.PinchRoller, 40, 9.525, 9.53, 0.76)]
    public void Eccentricity_OfAPartOnTheTape_ShowsAtItsWorkedRate(
        PracticePartKind kind,
        double diameterMm,
        double speed,
        double workedAt,
        double expectedHz
    )
    {
        var deck = Decks.With(new PracticePart { Name = "part", Kind = kind, DiameterMm = diameterMm, EccentricityUm = 5 });
        var tape = Decks.Tone(3150, speed);
        var line = Line(deck, tape, Decks.Options(speed, 16, Rate), expectedHz, 0.1);
        Assert.Equal(expectedHz * speed / workedAt, line.Hertz, 0.006);
    }

    [Fact]
    public void Eccentricity_OfOneMicrometre_OnATenMillimetreCapstan_IsTwoHundredthsOfAPercentPeak()
    {
        // Section 3.2: peak Δv/v = e/r, 0.020 %.
        var deck = Decks.With(new PracticePart { Name = "capstan", Kind = PracticePartKind.Capstan, DiameterMm = 10, EccentricityUm = 1 });
        var line = Line(deck, Decks.Tone(3150), Decks.Options(19.05, 16, Rate), 6.06, 0.1);
        Assert.Equal(0.020, line.PercentPeak, 0.0002);
    }

    [Fact]
    public void Coupling_OfAPinchRoller_LetsItsShareThrough()
    {
        var deck = Decks.With(
            new PracticePart
            {
                Name = "pinch",
                Kind = PracticePartKind.PinchRoller,
                DiameterMm = 30,
                EccentricityUm = 60,
                Coupling = 0.1,
            }
        );
        var line = Line(deck, Decks.Tone(3150), Decks.Options(19.05, 16, Rate), 2.02, 0.1);
        Assert.Equal(0.04, line.PercentPeak, 0.0004);
    }

    [Fact]
    public void Harmonics_OfACapstan_ShowAtMultiplesWithTheirHeights()
    {
        var deck = Decks.With(new PracticePart
        {
            Name = "capstan",
            Kind = PracticePartKind.Capstan,
            DiameterMm = 8,
            Harmonics = [new(1, 0.05), new(2, 0.03, 90), new(5, 0.02, 200)],
        });
        var options = Decks.Options(19.05, 16, Rate);
        foreach (var (number, height) in new[] { (1, 0.05), (2, 0.03), (5, 0.02) })
        {
            var line = Line(deck, Decks.Tone(3150), options, number * 7.5798, 0.1, hop: 32);
            Assert.Equal(number * 7.5798, line.Hertz, 0.004);
            Assert.Equal(height, line.PercentPeak, height * 0.02);
        }
    }

    [Fact]
    public void Belt_OnATwelveMillimetrePulleyAtTwentyFiveTurns_PassesAtTheWorkedRate()
    {
        // Section 3.1: belt 0.35 m, 2.693 Hz.
        var deck = Decks.With(
            new PracticePart
            {
                Name = "motor",
                Kind = PracticePartKind.Motor,
                RateHz = 25,
                Harmonics = [new(1, 0.02)],
            },
            new PracticePart
            {
                Name = "belt",
                Kind = PracticePartKind.Belt,
                BeltLengthMm = 350,
                PulleyDiameterMm = 12,
                PulleyOn = "motor",
                Harmonics = [new(1, 0.04)],
            }
        );
        var options = Decks.Options(19.05, 16, Rate);
        Assert.Equal(2.693, Line(deck, Decks.Tone(3150), options, 2.7, 0.1).Hertz, 0.004);
        Assert.Equal(25.0, Line(deck, Decks.Tone(3150), options, 25, 0.1).Hertz, 0.004);
    }

    [Fact]
    public void Motor_GearedToTheCapstan_FollowsTheSpeedOfTheDeck()
    {
        var deck = Decks.With(
            new PracticePart { Name = "capstan", Kind = PracticePartKind.Capstan, DiameterMm = 8 },
            new PracticePart { Name = "motor", Kind = PracticePartKind.Motor, TurnsPerCapstanTurn = 3.3, Harmonics = [new(1, 0.02)] });
        deck = deck with { Speeds = [new PracticeSpeed(19.05, Decks.Fast, ErrorPercent: 2)] };
        Assert.Equal(7.5798 * 3.3 * 1.02, Line(deck, Decks.Tone(3150), Decks.Options(19.05, 16, Rate), 25.5, 0.2).Hertz, 0.004);
    }

    [Fact]
    public void SupplyReel_OfAFullTape_ShowsAtTheRateOfItsRadiusAndQuickens()
    {
        // Section 5: 366 m on a 60 mm hub at 50 µm is 82.01 mm; v/(2πR) is 0.3697 Hz there and rises while the reel empties.
        var deck = Decks.With(new PracticePart { Name = "supply", Kind = PracticePartKind.SupplyReel, Harmonics = [new(1, 0.1)] });
        using var session = deck.Play(Decks.Tone(3150), Decks.Options(19.05, 80, Rate) with { StartSeconds = 0 });
        var truth = session.Truth.Lines[0];
        Assert.Equal(0.3697, truth.FromHz, 0.0002);
        Assert.True(truth.ToHz > truth.FromHz * 1.01);
        var line = Line(deck, Decks.Tone(3150), Decks.Options(19.05, 80, Rate) with { StartSeconds = 0 }, 0.37, 0.02);
        Assert.Equal(truth.MeanHz, line.Hertz, 0.0015);
    }

    [Fact]
    public void TakeUpReel_OfABareHub_ShowsAtTheWorkedRateAndSlows()
    {
        // Section 3.1: R 30 mm, 19.05 cm/s, 1.011 Hz.
        var deck = Decks.With(new PracticePart { Name = "take-up", Kind = PracticePartKind.TakeUpReel, Harmonics = [new(1, 0.1)] });
        var options = Decks.Options(19.05, 8, Rate) with { StartSeconds = 0 };
        using var session = deck.Play(Decks.Tone(3150), options);
        Assert.Equal(1.011, session.Truth.Lines[0].FromHz, 0.001);
        Assert.True(session.Truth.Lines[0].ToHz < session.Truth.Lines[0].FromHz);
        Assert.Equal(session.Truth.Lines[0].MeanHz, Line(deck, Decks.Tone(3150), options, 1.0, 0.1).Hertz, 0.01);
    }

    [Fact]
    public void Backward_AtTheTapesBeginning_EmptiesTheReelThatHoldsIt()
    {
        // Played backward from 100 s in, what has passed lies on the reel the tape leaves: 19.05 m on the hub.
        var deck = Decks.With(
            new PracticePart
            {
                Name = "supply",
                Kind = PracticePartKind.SupplyReel,
                Harmonics = [new(1, 0.1)],
            }
        );
        using var session = deck.Play(
            Decks.Tone(3150, seconds: 100),
            Decks.Options(19.05, 8, Rate) with
            {
                StartSeconds = 0,
                Backward = true,
            }
        );
        var radius = Math.Sqrt(900 + (19.05 * 50 / Math.PI));
        Assert.Equal(190.5 / (2 * Math.PI * radius), session.Truth.Lines[0].FromHz, 1e-3);
    }

    [Theory]
    // Section 5, worked cases.
    [InlineData(57.15, 50, 776.5, 125, 1357)]
    [InlineData(57.15, 50, 762, 124.07, 1338)]
    [InlineData(30, 35, 549, 83.76, 1536)]
    [InlineData(30, 50, 366, 82.01, 1040)]
    public void Reel_WoundWhole_HasTheWorkedRadiusAndTurns(double hubMm, double layerUm, double lengthM, double radiusMm, double turns)
    {
        var reel = new PracticeReel { HubRadiusMm = hubMm, LayerUm = layerUm, LengthM = lengthM };
        Assert.Equal(radiusMm, reel.RadiusMm(lengthM), 0.01);
        Assert.Equal(turns, reel.Turns(lengthM), 0.6);
    }

    [Fact]
    public void Part_OfTheOtherDirection_LeavesThisOneAlone()
    {
        var deck = Decks.With(
            new PracticePart
            {
                Name = "pinch",
                Kind = PracticePartKind.PinchRoller,
                DiameterMm = 30,
                EccentricityUm = 90,
                Direction = TapeDirection.Reverse,
            }
        );
        var options = Decks.Options(seconds: 0.2);
        Assert.Equal(
            Listening.Record(Decks.Perfect().Play(Decks.Tone(3150), options)).Left,
            Listening.Record(deck.Play(Decks.Tone(3150), options)).Left
        );
        var reverse = options with { Direction = TapeDirection.Reverse };
        Assert.NotEqual(
            Listening.Record(Decks.Perfect().Play(Decks.Tone(3150), reverse)).Left,
            Listening.Record(deck.Play(Decks.Tone(3150), reverse)).Left
        );
    }

    [Fact]
    public void Part_WithoutItsDimension_IsRefusedByName()
    {
        var deck = Decks.With(new PracticePart { Name = "the idler", Kind = PracticePartKind.Idler, Harmonics = [new(1, 0.1)] });
        var error = Assert.Throws<ArgumentException>(() => deck.Play(Decks.Tone(1000), Decks.Options()));
        Assert.Contains("the idler", error.Message, StringComparison.Ordinal);
    }
}
