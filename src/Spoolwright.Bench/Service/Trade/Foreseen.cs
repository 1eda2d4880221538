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

    /// <summary>From earlier figures: s²(1 + 1/n), n − 1 degrees of freedom. With fewer than two the scatter is assumed.</summary>
    /// <param name="figures">Earlier figures; may be empty.</param>
    /// <param name="otherwise">The mean where there is none; null: there must be one.</param>
    /// <param name="assumedScatter">Share of the mean that a single one is assumed to scatter by (one standard deviation) where it is not
    /// known. Common practice, no source.</param>
    /// <param name="of">What the figures are, for the basis.</param>
    /// <param name="unknown">What to say where there is nothing to go by: what is not known, and where it is given.</param>
    /// <exception cref="EntryException">Nothing to go by.</exception>
    public static Foreseen From(IReadOnlyList<double> figures, double? otherwise, double assumedScatter, string of, string? unknown = null)
    {
        ArgumentNullException.ThrowIfNull(figures);
        if (figures.Count >= 2)
        {
            var spread = Spread.Of(figures);
            return new Foreseen(spread.Mean, spread.Deviation!.Value * spread.Deviation.Value * (1 + 1.0 / spread.Count), spread.Count - 1,
                $"{spread.Count} {of}");
        }

        var mean = figures.Count == 1 ? figures[0] : otherwise ?? throw new EntryException(unknown ?? $"nothing is known of {of}");
        var scatter = mean * assumedScatter;
        return new Foreseen(mean, 2 * scatter * scatter, OfAGuess,
            $"{(figures.Count == 1 ? $"one {of.TrimEnd('s')}" : $"no {of}, a figure given or planned")}; scatter of {100 * assumedScatter:0} % assumed");
    }

    /// <summary>So many times as much.</summary>
    public Foreseen Times(double factor) => this with { Mean = Mean * factor, Variance = Variance * factor * factor };

    /// <summary>With a variance from something else added to it.</summary>
    public Foreseen WithMore(double variance) => this with { Variance = Variance + variance };
}
