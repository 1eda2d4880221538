using Spoolwright.Bench.Decks;
using Spoolwright.Bench.Tape;

namespace Spoolwright.Bench.Tests.Tape;

public sealed class FlutterLineMatcherTests
{
    private static readonly Condition At19 = new(Direction.Forward, 19.05);

    private static readonly DeckProfile Deck = RotatingRatesTests.Deck(
        new RotatingPart { Name = "capstan", Kind = RotatingPartKind.Capstan, DiameterMm = 8 },
        new RotatingPart { Name = "pinch roller", Kind = RotatingPartKind.PinchRoller, DiameterMm = 30 },
        new RotatingPart { Name = "idler", Kind = RotatingPartKind.Idler, DiameterMm = 12 },
        new RotatingPart { Name = "motor", Kind = RotatingPartKind.Motor, RateHz = 25 },
        new RotatingPart { Name = "belt", Kind = RotatingPartKind.Belt, BeltLengthMm = 420, PulleyDiameterMm = 14, PulleyOn = "motor" },
        new RotatingPart { Name = "supply reel", Kind = RotatingPartKind.SupplyReel, HubRadiusMm = 30, FullRadiusMm = 89 },
        new RotatingPart { Name = "take-up reel", Kind = RotatingPartKind.TakeUpReel, HubRadiusMm = 30, FullRadiusMm = 89 });

    [Theory]
    [InlineData(7.580, "capstan", 1)]
    [InlineData(15.16, "capstan", 2)]
    [InlineData(2.03, "pinch roller", 1)]
    [InlineData(5.06, "idler", 1)]
    [InlineData(24.95, "motor", 1)]
    public void Line_AtAPartsRate_IsNamedSurely(double hz, string part, int harmonic)
    {
        var match = Single(hz);

        Assert.Equal((part, harmonic), (match.Best!.Cause.Part, match.Best.Cause.Harmonic));
        Assert.InRange(match.Best.Confidence, 0.8, 1);
    }

    [Theory]
    [InlineData(8.7)]
    [InlineData(33)]
    [InlineData(0.15)]
    public void Line_FarFromEveryRate_IsNotNamedAndTellsTheNearestMiss(double hz)
    {
        var match = Single(hz);

        Assert.Null(match.Best);
        Assert.NotNull(match.NearestMiss);
        Assert.Contains("nearest is", match.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Line_WithARangeOfRadii_FitsBothReelsEquallyAndSaysSo()
    {
        var match = Single(0.5);

        var rival = Assert.Single(match.Rivals);
        Assert.Equal(match.Best!.Confidence, rival.Confidence, 6);
        Assert.Contains("fits equally well", match.Text, StringComparison.Ordinal);
        Assert.InRange(match.Best.Confidence, 0.3, 0.5);
    }

    [Fact]
    public void Line_WithTheReelsRadiusGiven_IsNamedSurely()
    {
        var match = FlutterLineMatcher.Match([Seen(0.53)], Deck, At19, 0, new ReelRadii(57.2, 40))[0];

        Assert.Equal("supply reel", match.Best!.Cause.Part);
        Assert.InRange(match.Best.Confidence, 0.8, 1);
    }

    [Fact]
    public void Family_WithTwoHarmonicsSeen_IsSurerThanOneAlone()
    {
        // A line 1.6 % off the roller's third harmonic: doubtful alone, less so beside the roller's first and second.
        var off = 3 * 19.05 * 10 / (Math.PI * 30) * 1.010;
        var alone = Single(off).Best?.Confidence ?? 0;
        var family = FlutterLineMatcher.Match([Seen(2.0213), Seen(4.0426), Seen(off)], Deck, At19, 0)[2];

        Assert.Equal(("pinch roller", 3), (family.Best!.Cause.Part, family.Best.Cause.Harmonic));
        Assert.True(family.Best.Confidence > alone, $"{family.Best.Confidence} against {alone}");
    }

    [Fact]
    public void DenseRates_MakeTheSameLineLessSure()
    {
        // Rates 1.2 % apart, hardly more than a roller's tolerance: some rate fits any line.
        var crowd = Enumerable
            .Range(0, 200)
            .Select(i => new RotatingPart
            {
                Name = $"idler {i}",
                Kind = RotatingPartKind.Idler,
                DiameterMm = 6 * Math.Pow(1.012, i),
            });
        var crowded = RotatingRatesTests.Deck([.. Deck.RotatingParts, .. crowd]);

        var sparse = Single(2.03).Best!.Confidence;
        var dense = FlutterLineMatcher.Match([Seen(2.03)], crowded, At19, 0)[0];

        Assert.True((dense.Best?.Confidence ?? 0) < sparse - 0.15, $"{dense.Best?.Confidence} against {sparse}");
    }

    [Theory]
    [InlineData(50.05, true)]
    [InlineData(59.95, true)]
    [InlineData(100, true)]
    [InlineData(120.1, true)]
    [InlineData(50.2, false)]
    public void Line_AtMainsFrequency_CarriesAHint(double hz, bool hum)
    {
        var match = Single(hz);

        Assert.Equal(hum, match.MayBeHum);
        Assert.Equal(hum, match.Text.Contains("hum", StringComparison.Ordinal));
    }

    [Fact]
    public void SpeedError_MovesWhereTheCapstanIsLookedFor()
    {
        var match = FlutterLineMatcher.Match([Seen(7.580 * 1.05)], Deck, At19, 5)[0];

        Assert.Equal("capstan", match.Best!.Cause.Part);
    }

    [Fact]
    public void Profile_WithoutParts_NamesNothing()
    {
        var match = FlutterLineMatcher.Match([Seen(7.58)], RotatingRatesTests.Deck(), At19, 0)[0];

        Assert.Null(match.Best);
        Assert.Null(match.NearestMiss);
    }

    [Fact]
    public void Confidence_OverManyDecks_IsAsOftenRightAsItSays()
    {
        // Invented decks whose parts turn off their rates within their tolerances, with lines of their own and lines of nothing listed.
        var random = new Random(19);
        var bins = new (int Count, int Right, double Said)[5];
        for (var trial = 0; trial < 3000; trial++)
        {
            var deck = RandomDeck(random);
            var (lines, truth) = RandomLines(random, deck);
            var matches = FlutterLineMatcher.Match(lines, deck, At19, 0);
            for (var i = 0; i < lines.Count; i++)
            {
                if (matches[i].Best is not { } best)
                    continue;
                var bin = Math.Min(4, (int)(best.Confidence * 5));
                bins[bin].Count++;
                bins[bin].Said += best.Confidence;
                bins[bin].Right += truth[i] == (best.Cause.Part, best.Cause.Harmonic) ? 1 : 0;
            }
        }

        foreach (var (count, right, said) in bins.Where(b => b.Count >= 100))
        {
            TestContext.Current.TestOutputHelper?.WriteLine($"said {said / count:0.000}, found {(double)right / count:0.000} of {count}");
            // Ours: twice the scatter of a hundred cases at one half is 0.1, of the few hundred here 0.06.
            Assert.InRange((double)right / count, said / count - 0.06, said / count + 0.06);
        }

        Assert.True(bins.Count(b => b.Count >= 100) >= 3, "too few confidences to tell");
    }

    private static DeckProfile RandomDeck(Random random)
    {
        var parts = new List<RotatingPart>
        {
            new()
            {
                Name = "capstan",
                Kind = RotatingPartKind.Capstan,
                DiameterMm = 5 + 9 * random.NextDouble(),
            },
        };
        var rollers = random.Next(1, 6);
        for (var i = 0; i < rollers; i++)
            parts.Add(new RotatingPart { Name = $"roller {i}", Kind = RotatingPartKind.Idler, DiameterMm = 8 + 32 * random.NextDouble() });
        parts.Add(new RotatingPart { Name = "motor", Kind = RotatingPartKind.Motor, RateHz = 10 + 20 * random.NextDouble() });
        return RotatingRatesTests.Deck([.. parts]);
    }

    private static (List<FlutterLineSeen> Lines, List<(string?, int)> Truth) RandomLines(Random random, DeckProfile deck)
    {
        var lines = new List<FlutterLineSeen>();
        var truth = new List<(string?, int)>();
        foreach (var rate in RotatingRates.Of(deck, Direction.Forward, 19.05))
        {
            var turns = rate.LowHz * (1 + rate.RelativeTolerance / 2 * Normal(random));
            for (var h = 1; h <= 3; h++)
            {
                if (random.NextDouble() > 0.5 / h)
                    continue;
                lines.Add(Seen(h * turns * (1 + 0.0005 * Normal(random))));
                truth.Add((rate.Part.Name, h));
            }
        }

        var others = random.Next(0, 5);
        for (var i = 0; i < others; i++)
        {
            lines.Add(Seen(0.3 * Math.Pow(300, random.NextDouble())));
            truth.Add((null, 0));
        }

        return (lines, truth);
    }

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static FlutterLineSeen Seen(double hz) => new(hz, 0.02, 0.001 * hz);

    private static FlutterLineMatch Single(double hz) => Assert.Single(FlutterLineMatcher.Match([Seen(hz)], Deck, At19, 0));
}
