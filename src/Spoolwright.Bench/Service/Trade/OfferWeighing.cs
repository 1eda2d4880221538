namespace Spoolwright.Bench.Service.Trade;

/// <summary>An earlier job of the same profile: what it took, and what was known of the deck when it was bought.</summary>
/// <param name="Hours">Working time taken.</param>
/// <param name="Parts">Cost of parts, in the offer's currency.</param>
/// <param name="Known">The offer that it came of; null: nothing was noted.</param>
public sealed record EarlierJob(double Hours, double Parts, Offer? Known);

/// <summary>What such a deck fetched, in the offer's currency.</summary>
/// <param name="Price">The price.</param>
/// <param name="Known">The offer that the deck came of; null: nothing is known of it.</param>
public sealed record FetchedPrice(double Price, Offer? Known);

/// <summary>A range with its middle; null ends: open on that side.</summary>
public sealed record Range95(double Middle, double? Low, double? High);

/// <summary>A question whose answer would change the decision.</summary>
/// <param name="Question">The question.</param>
/// <param name="Worth">What knowing the answer is worth, in the offer's currency: expected gain of deciding after it instead of
/// before.</param>
/// <param name="Turning">The answers that turn the decision.</param>
public sealed record WorthAsking(OfferQuestion Question, double Worth, IReadOnlyList<string> Turning);

/// <summary>What an offer would bring.</summary>
public sealed record OfferWeighing
{
    public required Foreseen Hours { get; init; }

    public required Foreseen Parts { get; init; }

    public required Foreseen Price { get; init; }

    /// <summary>Price less asked price, parts and other costs, 95 % range for this one deck.</summary>
    public required Range95 Margin { get; init; }

    /// <summary>Margin for each hour; open where the hours are too uncertain to divide by.</summary>
    public required Range95 Hourly { get; init; }

    /// <summary>Expected margin less the hours at what an hour should bring.</summary>
    public required double Net { get; init; }

    /// <summary>The highest price to pay for which <see cref="Net"/> is not below 0.</summary>
    public required double MostToPay { get; init; }

    /// <summary>Questions that would change the decision, most worth first.</summary>
    public required IReadOnlyList<WorthAsking> Questions { get; init; }

    public bool Buy => Net > 0;

    /// <summary>Weighs an offer.</summary>
    /// <param name="offer">What is offered and known.</param>
    /// <param name="earlier">Earlier jobs of the profile.</param>
    /// <param name="prices">Prices fetched for such decks, in the offer's currency.</param>
    /// <param name="plannedHours">Hours by the plan, where there is no earlier job.</param>
    /// <param name="otherCosts">Freight, fees and the like foreseen.</param>
    /// <param name="wantedHourly">What an hour should bring.</param>
    /// <param name="partsOtherwise">Cost of parts where there is no earlier job; null: it must be known.</param>
    /// <exception cref="EntryException">Nothing is known of the price or the parts.</exception>
    public static OfferWeighing Of(
        Offer offer, IReadOnlyList<EarlierJob> earlier, IReadOnlyList<FetchedPrice> prices, double plannedHours, double otherCosts,
            double wantedHourly, double? partsOtherwise)
    {
        ArgumentNullException.ThrowIfNull(offer);
        ArgumentNullException.ThrowIfNull(earlier);
        // Each earlier job is freed of what was known of its deck, so that easy decks do not promise an easy one.
        var freed = earlier.Select(e => (Job: e, Effect: Effect(e.Known))).ToList();
        var hours = Foreseen.From([.. freed.Select(e => e.Job.Hours / e.Effect.Hours)], plannedHours, 0.3, "earlier jobs");
        var parts = Foreseen.From(
            [.. freed.Select(e => e.Job.Parts / e.Effect.Parts)],
            partsOtherwise,
            0.5,
            "earlier jobs",
            $"no closed job on a {offer.ProfileName} says what its parts cost; say what they would cost (W on the offer's page, or spoolwright offer weigh OFFER --parts AMOUNT)"
        );
        var price = Foreseen.From(
            [.. prices.Select(p => p.Price / Effect(p.Known).Price)],
            null,
            0.2,
            "prices",
            $"the book knows of no price that a {offer.ProfileName} fetched; note one (spoolwright offer price, or F on the page of offers)"
        );
        var asked = (double)offer.Asked.Amount;
        var open = OfferQuestion.All.Where(q => q.AnswerOf(offer) is null).ToList();

        double NetOf(OfferQuestion? asking, OfferAnswer? answer)
        {
            double Factor(Func<OfferAnswer, double> of) =>
                OfferQuestion.All.Aggregate(1.0, (f, q) => f * of(q == asking ? answer! : q.AnswerOf(offer) ?? q.Unasked));
            return price.Mean * Factor(a => a.Price) - asked - parts.Mean * Factor(a =>
                a.Parts) - otherCosts - wantedHourly * hours.Mean * Factor(a => a.Hours);
        }

        var net = NetOf(null, null);
        var (h, p, s) = (Effective(hours, offer, open, a => a.Hours), Effective(parts, offer, open, a => a.Parts),
            Effective(price, offer, open, a => a.Price));
        var margin = s.Mean - asked - p.Mean - otherCosts;
        var (margins, hourly) = OfferDraws.Of(offer, hours, parts, price, asked + otherCosts);
        return new OfferWeighing
        {
            Hours = h,
            Parts = p,
            Price = s,
            Margin = margins with { Middle = margin },
            Hourly = hourly with { Middle = margin / h.Mean },
            Net = net,
            MostToPay = Math.Max(0, asked + net),
            Questions = [.. open.Select(q => Worth(q, net, a => NetOf(q, a))).Where(w => w.Turning.Count > 0)
                .OrderByDescending(w => w.Worth)],
        };
    }

    private static (double Hours, double Parts, double Price) Effect(Offer? known)
    {
        var (hours, parts, price) = (1.0, 1.0, 1.0);
        foreach (var question in OfferQuestion.All)
        {
            var answer = (known is null ? null : question.AnswerOf(known)) ?? question.Unasked;
            (hours, parts, price) = (hours * answer.Hours, parts * answer.Parts, price * answer.Price);
        }

        return (hours, parts, price);
    }

    // What is known shifts the mean; what is not known spreads it.
    private static Foreseen Effective(Foreseen foreseen, Offer offer, IReadOnlyList<OfferQuestion> open, Func<OfferAnswer, double> of)
    {
        var factor = OfferQuestion.All.Aggregate(1.0, (f, q) => f * of(q.AnswerOf(offer) ?? q.Unasked));
        var shifted = foreseen.Times(factor);
        var unknown = open.Sum(q =>
        {
            var mean = of(q.Unasked);
            return q.Answers.Sum(a => a.Chance * Math.Pow(of(a) / mean - 1, 2));
        });
        return shifted.WithMore(unknown * shifted.Mean * shifted.Mean);
    }

    private static WorthAsking Worth(OfferQuestion question, double net, Func<OfferAnswer, double> netOf)
    {
        var nets = question.Answers.Select(a => (Answer: a, Net: netOf(a))).ToList();
        // The mean over the answers is the net before asking, since the effects multiply independently and enter linearly.
        var after = nets.Sum(n => n.Answer.Chance * Math.Max(0, n.Net));
        return new WorthAsking(question, after - Math.Max(0, net), [.. nets.Where(n => n.Net > 0 != net > 0).Select(n => n.Answer.Answer)]);
    }
}
