namespace Spoolwright.Bench.Service.Trade;

/// <summary>
/// Ranges of margin and hourly earning by draws: hours, parts and price each from Student's law for the next figure, and an answer to
/// each open question by its chance, the same one
/// for all three. Seeded, so that the same offer gives the same range.
/// </summary>
internal static class OfferDraws
{
    private const int Draws = 60_000, Seed = 20260326;

    // A scatter known from more than this many figures is as good as normal.
    private const int FreedomThatIsMany = 60;

    // A deck is not restored in less.
    private const double LeastHours = 0.5;

    public static (Range95 Margin, Range95 Hourly) Of(Offer offer, Foreseen hours, Foreseen parts, Foreseen price, double paid)
    {
        var random = new Random(Seed);
        double[] margins = new double[Draws], hourly = new double[Draws];
        var questions = OfferQuestion.All.Select(q => (Answers: q.Answers.ToArray(), Known: q.AnswerOf(offer))).ToArray();
        var tooShort = 0;
        for (var i = 0; i < Draws; i++)
        {
            double onHours = 1, onParts = 1, onPrice = 1;
            foreach (var (answers, known) in questions)
            {
                var answer = known ?? Drawn(answers, random);
                (onHours, onParts, onPrice) = (onHours * answer.Hours, onParts * answer.Parts, onPrice * answer.Price);
            }

            margins[i] = onPrice * Next(price, random) - paid - onParts * Next(parts, random);
            var taken = onHours * Next(hours, random);
            if (taken < LeastHours)
                tooShort++;
            hourly[i] = margins[i] / Math.Max(LeastHours, taken);
        }

        // Where the hours themselves might be nothing, what an hour brings cannot be said.
        return (Range(margins), tooShort > Draws / 40 ? new Range95(0, null, null) : Range(hourly));
    }

    private static OfferAnswer Drawn(OfferAnswer[] answers, Random random)
    {
        var at = random.NextDouble();
        foreach (var answer in answers)
        {
            if ((at -= answer.Chance) < 0)
                return answer;
        }

        return answers[^1];
    }

    // Student's law out of two uniform figures, for any freedom [T-POLAR-1994].
    private static double Next(Foreseen figure, Random random)
    {
        var unit = figure.Freedom > FreedomThatIsMany ? Normal(random) : Student(Math.Round(figure.Freedom), random);
        return figure.Mean + (unit * Math.Sqrt(figure.Variance));
    }

    private static double Student(double freedom, Random random) =>
        Math.Sqrt(freedom * (Math.Pow(1 - random.NextDouble(), -2 / freedom) - 1)) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static double Normal(Random random) =>
        Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    private static Range95 Range(double[] figures)
    {
        Array.Sort(figures);
        return new Range95(figures[figures.Length / 2], figures[figures.Length / 40], figures[^(1 + (figures.Length / 40))]);
    }
}
