namespace Spoolwright.Bench.Service.Trade;

/// <summary>One answer to a question about an offered deck, and what it does to hours, parts and price.</summary>
/// <param name="Answer">In a word.</param>
/// <param name="Hours">Factor on the hours.</param>
/// <param name="Parts">Factor on the cost of parts.</param>
/// <param name="Price">Factor on the price fetched.</param>
/// <param name="Chance">How likely before anybody asked; those of a question add up to 1.</param>
public sealed record OfferAnswer(string Answer, double Hours, double Parts, double Price, double Chance);

/// <summary>A question about an offered deck.</summary>
/// <param name="Id">Its word.</param>
/// <param name="Text">As one would ask the seller.</param>
/// <param name="Answers">Every answer.</param>
public sealed record OfferQuestion(string Id, string Text, IReadOnlyList<OfferAnswer> Answers)
{
    /// <summary>
    /// The questions, with the effects of their answers against an ordinary deck of the trade. Common practice, no source, remembered:
    /// they weigh questions against each other, and the
    /// shop's own jobs, each freed of its own effects, set the level. Chances are those of decks that are offered.
    /// </summary>
    public static IReadOnlyList<OfferQuestion> All { get; } =
    [
        new("works", "Does it run: play, wind, reverse?",
            [new("yes", 0.85, 0.8, 1, 0.2), new("partly", 1, 1, 1, 0.45), new("no", 1.15, 1.3, 1, 0.35)]),
        new("handled", "Was it opened, sprayed or repaired by anybody?",
            [new("untouched", 0.92, 0.95, 1.02, 0.45), new("lubricated", 1.2, 1.15, 0.95, 0.3), new("repaired", 1.1, 1.1, 0.97, 0.25)]),
        new("complete", "Is anything missing?", [new("complete", 0.98, 0.9, 1.02, 0.75), new("something missing", 1.06, 1.5, 0.92, 0.25)]),
        new("heads", "How deep is the groove worn into the heads?",
            [new("good", 0.97, 0.85, 1.03, 0.45), new("worn", 1.02, 1, 1, 0.4), new("bad", 1.12, 2, 0.88, 0.15)]),
        new("motors", "Do all motors turn freely, without a hum?",
            [new("good", 0.97, 0.9, 1, 0.6), new("worn", 1.05, 1.1, 1, 0.25), new("bad", 1.25, 1.9, 0.97, 0.15)]),
        new("case", "How do front and cabinet look?",
            [new("good", 0.98, 1, 1.08, 0.5), new("worn", 1.01, 1, 0.95, 0.35), new("bad", 1.05, 1.1, 0.75, 0.15)]),
        new("electronics", "Do both channels sound, in both directions?",
            [new("good", 0.95, 0.9, 1, 0.5), new("worn", 1.03, 1.05, 1, 0.35), new("bad", 1.25, 1.4, 1, 0.15)]),
    ];

    /// <summary>What an offer says to this question; null: it does not say.</summary>
    public OfferAnswer? AnswerOf(Offer offer)
    {
        ArgumentNullException.ThrowIfNull(offer);
        var word = Id switch
        {
            "works" => offer.Working == Working.Unknown ? null : KebabWord.Of(offer.Working),
            "handled" => offer.Handled == Handled.Unknown ? null : KebabWord.Of(offer.Handled),
            "complete" => offer.Missing is null ? null : offer.Missing.Length == 0 ? "complete" : "something missing",
            _ => offer.Parts.Select(p => p.Split('=')).Where(p => p[0] == Id).Select(p => p[1] == "missing" ? "bad" : p[1]).LastOrDefault(),
        };
        return word is null ? null : Answers.FirstOrDefault(a => a.Answer == word);
    }

    /// <summary>Mean effect where the answer is not known.</summary>
    public OfferAnswer Unasked { get; } = new("not known", Answers.Sum(a => a.Chance * a.Hours), Answers.Sum(a => a.Chance * a.Parts),
        Answers.Sum(a => a.Chance * a.Price), 1);
}
