using Spoolwright.Bench.Service.Field;

namespace Spoolwright.Bench.Service.Trade;

/// <summary>A figure foreseen for the next job: its mean, how far a single one scatters about it, and on what that rests.</summary>
/// <param name="Mean">Expected value.</param>
/// <param name="Variance">Of the next single one about <paramref name="Mean"/>, the mean's own uncertainty included.</param>
/// <param name="Freedom">Degrees of freedom behind the variance; infinite: none counted.</param>
/// <param name="Basis">On what it rests, in a line.</param>
public sealed record Foreseen(double Mean, double Variance, double Freedom, string Basis)
{
    /// <summary>Freedom that an assumed scatter counts for: a guess is worth no more than a handful of jobs.</summary>
    private const double OfAGuess = 4;

    /// <summary>
    /// From earlier figures. Until there are many, what decks usually scatter by has its say beside what they do: as a prior worth so many
    /// figures (scaled inverse chi-square, conjugate to the normal law with mean and variance unknown, from memory), so that a second price
    /// never says less than one. With n figures of squares S about their mean: (4·a² + S)/(3 + n)·(1 + 1/n), n + 3 degrees of freedom.
    /// </summary>
    /// <param name="figures">Earlier figures; may be empty.</param>
    /// <param name="otherwise">The mean where there is none; null: there must be one.</param>
    /// <param name="assumedScatter">Share of the mean that a single one is assumed to scatter by (a, one standard deviation). Common
    /// practice, no source.</param>
    /// <param name="of">What the figures are, for the basis.</param>
    /// <param name="unknown">What to say where there is nothing to go by: what is not known, and where it is given.</param>
    /// <exception cref="EntryException">Nothing to go by.</exception>
    public static Foreseen From(IReadOnlyList<double> figures, double? otherwise, double assumedScatter, string of, string? unknown = null)
    {
        ArgumentNullException.ThrowIfNull(figures);
        if (figures.Count == 0)
        {
            var planned = otherwise ?? throw new EntryException(unknown ?? $"nothing is known of {of}");
            return new Foreseen(planned, 2 * Squared(planned * assumedScatter), OfAGuess,
                $"no {of}, a figure given or planned; scatter of {100 * assumedScatter:0} % assumed");
        }

        var (n, mean) = (figures.Count, Spread.Of(figures).Mean);
        var freedom = OfAGuess + n - 1;
        var variance = ((OfAGuess * Squared(mean * assumedScatter)) + figures.Sum(f => Squared(f - mean))) / freedom;
        var counted = n == 1 ? $"one {of.TrimEnd('s')}" : $"{n} {of}";
        var assumed = n - 1 < OfAGuess ? $"; scatter {(n == 1 ? "" : "partly ")}assumed, {100 * assumedScatter:0} %" : "";
        return new Foreseen(mean, variance * (1 + (1.0 / n)), freedom, counted + assumed);
    }

    private static double Squared(double x) => x * x;

    /// <summary>So many times as much.</summary>
    public Foreseen Times(double factor) => this with { Mean = Mean * factor, Variance = Variance * factor * factor };

    /// <summary>With a variance from something else added to it.</summary>
    public Foreseen WithMore(double variance) => this with { Variance = Variance + variance };
}
