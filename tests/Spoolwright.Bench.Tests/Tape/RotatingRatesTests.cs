using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Tests.Tape;

public sealed class RotatingRatesTests
{
    // Once-round rates of capstans and pinch rollers, table of the reference, computed.
    [Theory]
    [InlineData(6, 9.525, 5.05)]
    [InlineData(6, 19.05, 10.11)]
    [InlineData(8, 9.525, 3.79)]
    [InlineData(8, 19.05, 7.58)]
    [InlineData(10, 38.1, 12.13)]
    [InlineData(14, 4.7625, 1.08)]
    [InlineData(30, 9.525, 1.01)]
    [InlineData(38, 19.05, 1.60)]
    [InlineData(40, 38.1, 3.03)]
    public void Part_MovedByTheTape_TurnsAtTheWorkedRate(double diameter, double speed, double hz)
    {
        var rate = Assert.Single(
            RotatingRates.Of(
                Deck(
                    new RotatingPart
                    {
                        Name = "p",
                        Kind = RotatingPartKind.Capstan,
                        DiameterMm = diameter,
                    }
                ),
                Direction.Forward,
                speed
            )
        );

        Assert.InRange(rate.LowHz, hz - 0.0051, hz + 0.0051);
        Assert.False(rate.IsRange);
    }

    [Fact]
    public void Belt_OnAMotorPulley_ComesRoundAtTheWorkedRate()
    {
        // 12 mm pulley at 25 turns a second, belt 0.35 m: 2.693 Hz, computed in the reference.
        var deck = Deck(
            new RotatingPart
            {
                Name = "motor",
                Kind = RotatingPartKind.Motor,
                RateHz = 25,
            },
            new RotatingPart
            {
                Name = "belt",
                Kind = RotatingPartKind.Belt,
                BeltLengthMm = 350,
                PulleyDiameterMm = 12,
                PulleyOn = "motor",
            }
        );

        Assert.Equal(2.693, RotatingRates.Of(deck, Direction.Forward, 19.05)[1].LowHz, 3);
    }

    [Fact]
    public void Reel_WithoutARadius_TurnsBetweenFullAndHub()
    {
        var deck = Deck(new RotatingPart { Name = "r", Kind = RotatingPartKind.SupplyReel, HubRadiusMm = 30, FullRadiusMm = 85 });

        var open = Assert.Single(RotatingRates.Of(deck, Direction.Forward, 19.05));
        var given = Assert.Single(RotatingRates.Of(deck, Direction.Forward, 19.05, new ReelRadii(57.2, null)));

        Assert.Equal((0.357, 1.011), (Math.Round(open.LowHz, 3), Math.Round(open.HighHz, 3)));
        Assert.Equal(0.530, given.LowHz, 3);
        Assert.False(given.IsRange);
    }

    [Fact]
    public void Parts_OfOtherSpeedsAndDirections_AreLeftOut()
    {
        var deck = Deck(
            new RotatingPart { Name = "slow", Kind = RotatingPartKind.Motor, RateHz = 12.5, SpeedsCmPerS = [9.525] },
            new RotatingPart { Name = "fast", Kind = RotatingPartKind.Motor, RateHz = 25, SpeedsCmPerS = [19.05] },
            new RotatingPart { Name = "back", Kind = RotatingPartKind.PinchRoller, DiameterMm = 30, Directions = [Direction.Reverse] });

        Assert.Equal(["fast"], RotatingRates.Of(deck, Direction.Forward, 19).Select(r => r.Part.Name));
    }

    [Fact]
    public void SpeedError_MovesWhatTheTapeMovesAndNotASynchronousMotor()
    {
        var deck = Deck(
            new RotatingPart { Name = "capstan", Kind = RotatingPartKind.Capstan, DiameterMm = 8 },
            new RotatingPart { Name = "geared", Kind = RotatingPartKind.Motor, TurnsPerCapstanTurn = 4 },
            new RotatingPart { Name = "motor", Kind = RotatingPartKind.Motor, RateHz = 25 });

        var straight = RotatingRates.Of(deck, Direction.Forward, 19.05);
        var fast = RotatingRates.Of(deck, Direction.Forward, 19.05, null, 1);

        Assert.Equal([1.01, 1.01, 1], fast.Zip(straight, (f, s) => Math.Round(f.LowHz / s.LowHz, 9)));
        Assert.Equal(4, straight[1].LowHz / straight[0].LowHz, 9);
    }

    internal static DeckProfile Deck(params RotatingPart[] parts) => new()
    {
        Name = "invented",
        Directions = [Direction.Forward, Direction.Reverse],
        SpeedsCmPerS = [9.525, 19.05],
        RotatingParts = parts,
    };
}
