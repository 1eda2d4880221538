using System.Text.Json;
using Spoolwright.Bench.Service;
using Spoolwright.Bench.Service.Field;
using Spoolwright.Bench.Service.Trade;
using Spoolwright.Bench.Tests.Levels;

namespace Spoolwright.Bench.Tests.Service;

public sealed class OfferWeighingTests
{
    private static readonly double[] Hours = [17.5, 14.2, 19.8, 16.1, 21.0, 15.3, 18.4, 16.9], Parts = [88, 61, 140, 75, 120, 66, 99, 82],
        Prices = [890, 1010, 940, 870, 1100, 960, 905];

    // Everything known and ordinary, so that no question is open.
    private static Offer Known(decimal asked) => new()
    {
        ProfileName = "p",
        Seller = "s",
        Asked = new Money(asked, "EUR"),
        Day = default,
        Working = Working.Partly,
        Handled = Handled.Repaired,
        Missing = "",
        Parts = ["heads=worn", "motors=worn", "case=worn", "electronics=worn"],
    };

    private static FetchedPrice[] Fetched(Offer? known) => [.. Prices.Select(p => new FetchedPrice(p, known))];

    private static EarlierJob[] Earlier(Offer? known) => [.. Hours.Zip(Parts, (h, p) => new EarlierJob(h, p, known))];

    [Fact]
    public void Spread_OfAFewFigures_FollowsSciPyAndTheDefinition()
    {
        var reference = Reference(300, 40);
        foreach (var (name, figures) in new[] { ("hours", Hours), ("parts", Parts), ("prices", Prices) })
            Assert.Equal(reference.GetProperty("next").GetProperty(name).GetDouble(), Spread.Of(figures).NextWithin!.Value,
                reference.GetProperty("next").GetProperty(name).GetDouble() * 0.002);
        var three = Spread.Of([1, 2, 6]);
        Assert.Equal((3, 3.0, 2.0, 1.0, 6.0), (three.Count, three.Mean, three.Median, three.Least, three.Most));
        Assert.Equal(Math.Sqrt(7), three.Deviation!.Value, 12);
        Assert.Null(Spread.Of([4]).NextWithin);
        Assert.Throws<ArgumentException>(() => Spread.Of([]));
        Assert.Throws<ArgumentException>(() => Spread.Of([double.NaN]));
    }

    [Fact]
    public void Ranges_OfMarginAndHourlyEarning_FollowAMillionDrawsOfSciPy()
    {
        // Where the new deck is as the earlier ones were, the effects of what is known fall out, and the ranges are those of the figures
        // alone. With 60,000 draws an end is off by about
        // 0.5 % of the width (one standard deviation); the bound is four times that.
        var weighing = OfferWeighing.Of(Known(300), Earlier(Known(250)), Fetched(Known(250)), 16, 40, 20, null);
        Assert.Equal(Hours.Average(), weighing.Hours.Mean, 9);
        Assert.Equal(Parts.Average(), weighing.Parts.Mean, 9);
        Assert.Equal(Prices.Average(), weighing.Price.Mean, 9);
        Assert.Equal(Prices.Average() - 300 - 40 - Parts.Average(), weighing.Margin.Middle, 9);
        Assert.Equal(weighing.Margin.Middle - 20 * Hours.Average(), weighing.Net, 9);
        Assert.Equal(weighing.Net > 0, weighing.Buy);
        Assert.Empty(weighing.Questions);
        var reference = Reference(300, 40);
        Near(reference.GetProperty("margin"), weighing.Margin);
        Near(reference.GetProperty("hourly"), weighing.Hourly);

        static void Near(JsonElement ends, Range95 range)
        {
            var width = ends[1].GetDouble() - ends[0].GetDouble();
            Assert.Equal(ends[0].GetDouble(), range.Low!.Value, width * 0.02);
            Assert.Equal(ends[1].GetDouble(), range.High!.Value, width * 0.02);
        }
    }

    [Fact]
    public void Hourly_WithHoursThatCouldBeNothing_IsOpen()
    {
        EarlierJob[] wild = [new(2, 80, null), new(30, 90, null)];
        var weighing = OfferWeighing.Of(Known(300), wild, Fetched(null), 16, 0, 20, null);
        Assert.Null(weighing.Hourly.Low);
        Assert.NotNull(weighing.Margin.Low);
    }

    [Fact]
    public void Questions_AreThoseWhoseAnswersTurnTheDecision_AndTheirWorthIsTheGainOfAskingFirst()
    {
        // Nothing known, at the price where it just pays.
        Offer unknown = new() { ProfileName = "p", Seller = "s", Asked = new Money(0, "EUR"), Day = default };
        var most = OfferWeighing.Of(unknown, Earlier(null), Fetched(null), 16, 0, 20, null).MostToPay;
        var near = OfferWeighing.Of(
            unknown with
            {
                Asked = new Money(Math.Round((decimal)most - 10, 2), "EUR"),
            },
            Earlier(null),
            Fetched(null),
            16,
            0,
            20,
            null
        );
        Assert.True(near.Buy);
        Assert.NotEmpty(near.Questions);
        Assert.Equal(near.Questions.OrderByDescending(q => q.Worth).Select(q => q.Question.Id), near.Questions.Select(q => q.Question.Id));
        foreach (var worth in near.Questions)
        {
            // By hand: answer each in turn and decide after it.
            var after = worth.Question.Answers.Sum(a => a.Chance * Math.Max(0, NetWith(worth.Question, a, near, Math.Round(most - 10, 2))));
            Assert.Equal(after - Math.Max(0, near.Net), worth.Worth, 6);
            Assert.True(worth.Worth > 0);
        }

        // Far from the edge no answer matters.
        Assert.Empty(
            OfferWeighing
                .Of(
                    unknown with
                    {
                        Asked = new Money(1, "EUR"),
                    },
                    Earlier(null),
                    [.. Prices.Select(p => new FetchedPrice(10 * p, null))],
                    16,
                    0,
                    20,
                    null
                )
                .Questions
        );
        Assert.Empty(
            OfferWeighing.Of(unknown with { Asked = new Money(5000, "EUR") }, Earlier(null), Fetched(null), 16, 0, 20, null).Questions
        );

        static double NetWith(OfferQuestion question, OfferAnswer answer, OfferWeighing weighing, double asked)
        {
            var u = question.Unasked;
            return weighing.Price.Mean / u.Price * answer.Price
                - asked
                - weighing.Parts.Mean / u.Parts * answer.Parts
                - 20 * weighing.Hours.Mean / u.Hours * answer.Hours;
        }
    }

    [Fact]
    public void Answer_GivenBefore_MovesTheFiguresItsWay_AndNarrowsTheRange()
    {
        Offer unknown = new() { ProfileName = "p", Seller = "s", Asked = new Money(300, "EUR"), Day = default };
        var before = OfferWeighing.Of(unknown, Earlier(null), Fetched(null), 16, 0, 20, null);
        var sprayed = OfferWeighing.Of(unknown with { Handled = Handled.Lubricated }, Earlier(null), Fetched(null), 16, 0, 20, null);
        Assert.True(sprayed.Net < before.Net);
        Assert.True(sprayed.Hours.Variance / Math.Pow(sprayed.Hours.Mean, 2) < before.Hours.Variance / Math.Pow(before.Hours.Mean, 2));
    }

    [Fact]
    public void Offer_WithoutEarlierJobs_SaysWhatItRestsOn()
    {
        Offer offer = new() { ProfileName = "p", Seller = "s", Asked = new Money(300, "EUR"), Day = default };
        var weighing = OfferWeighing.Of(offer, [], [new(900, null), new(1000, null)], 16, 0, 20, 80);
        Assert.Contains("assumed", weighing.Hours.Basis, StringComparison.Ordinal);
        Assert.True(weighing.Hours.Variance > 0);
        Assert.Contains(
            "no price that a p fetched; note one",
            Assert.Throws<EntryException>(() => OfferWeighing.Of(offer, [], [], 16, 0, 20, 80)).Message,
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Foreseen_WithOneFigureMore_IsNotKnownLess()
    {
        // Half widths of the next price by Student's table: 2.776, 2.571 and 2.447 at 4, 5 and 6 degrees of freedom.
        static double Within(params double[] prices) => Foreseen.From(prices, null, 0.2, "prices") is var f
            ? Math.Sqrt(f.Variance) * (f.Freedom switch { 4 => 2.776, 5 => 2.571, 6 => 2.447, _ => double.NaN }) : 0;
        Assert.Equal(2.776 * 200 * Math.Sqrt(2), Within(1000), 9);
        Assert.Equal(2.571 * Math.Sqrt((4 * 40_000 + 20_000) / 5.0 * 1.5), Within(900, 1100), 9);
        Assert.True(Within(900, 1100) < Within(1000));
        Assert.True(Within(900, 1000, 1100) < Within(900, 1100));
        Assert.Equal("2 prices; scatter partly assumed, 20 %", Foreseen.From([900, 1100], null, 0.2, "prices").Basis);
        Assert.Equal("5 prices", Foreseen.From([1, 2, 3, 4, 5], null, 0.2, "prices").Basis);
    }

    [Fact]
    public void Chances_OfEachQuestion_AddUpToOne() =>
        Assert.All(OfferQuestion.All, q => Assert.Equal(1, q.Answers.Sum(a => a.Chance), 12));

    private static JsonElement Reference(double asked, double other) =>
        Outside.Script("offer.py", JsonSerializer.Serialize(new { hours = Hours, parts = Parts, prices = Prices, asked, other }));
}
