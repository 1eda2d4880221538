namespace Spoolwright.Bench.Causes;

/// <summary>One figure that speaks for or against a cause.</summary>
/// <param name="Figure">The figure.</param>
/// <param name="Off">How far it is off a sound deck's, in standard deviations of what a sound deck's spread.</param>
/// <param name="OffWith">How far it is off with the cause at work.</param>
public sealed record CauseEvidence(Observation Figure, double Off, double OffWith);

/// <summary>One figure with what is off in it and what a law makes of that, both in the figure's own scale (the logarithm where that is
/// even).</summary>
/// <param name="Figure">The figure.</param>
/// <param name="Off">How far it is off what a sound deck's is expected to be.</param>
/// <param name="Law">What the cause, or all of the likeliest causes, change in it.</param>
/// <param name="Spread">Standard deviation of sound decks there, the reading's own uncertainty in it.</param>
public sealed record FittedFigure(Observation Figure, double Off, double Law, double Spread);

/// <summary>What a cause's law makes of a response between its tones.</summary>
/// <param name="Of">The kind of figure.</param>
/// <param name="Place">Where the response was taken.</param>
/// <param name="Hz">Frequencies, rising.</param>
/// <param name="Db">Change at each.</param>
public sealed record LawCurve(Observable Of, CausePlace Place, IReadOnlyList<double> Hz, IReadOnlyList<double> Db);

/// <summary>One cause, or several of one law, with how likely it is and why.</summary>
/// <param name="Causes">The causes: one, or the members of a class that these readings cannot tell apart.</param>
/// <param name="Place">Where.</param>
/// <param name="Probability">How likely it is at work, 0 to 1.</param>
/// <param name="Amount">Most likely amount, in the unit of the first cause.</param>
/// <param name="AmountUncertainty">Expanded uncertainty of it (k = 2).</param>
/// <param name="Explains">Part of the figures' misfit that goes with it, 0 to 1, everything else held.</param>
/// <param name="For">Figures that speak for it, the strongest first.</param>
/// <param name="Against">Figures that speak against it.</param>
public sealed record CauseFinding(
    IReadOnlyList<Cause> Causes, CausePlace Place, double Probability, double Amount, double AmountUncertainty, double Explains,
    IReadOnlyList<CauseEvidence> For, IReadOnlyList<CauseEvidence> Against)
{
    /// <summary>Id of the first cause.</summary>
    public string Id => Causes[0].Id;

    /// <summary>Every figure that it touches, with all other causes of the likeliest set taken off.</summary>
    public IReadOnlyList<FittedFigure> Fitted { get; init; } = [];

    /// <summary>Its law over frequency, for each response that it touches.</summary>
    public IReadOnlyList<LawCurve> Curves { get; init; } = [];

    /// <summary>Whether what links it to the readings was found in no document.</summary>
    public bool FromMemory => Causes.Any(c => c.Basis == Standards.Basis.Memory);

    /// <summary>Names of the causes, joined.</summary>
    public string Name => string.Join("; or: ", Causes.Select(c => c.Name));
}

/// <summary>A check worth making next.</summary>
/// <param name="Of">The finding that it tests.</param>
/// <param name="Cause">The cause whose check it is.</param>
/// <param name="Bits">What it is expected to tell, bits.</param>
public sealed record NextCheck(CauseFinding Of, Cause Cause, double Bits);

/// <summary>What can be said in short.</summary>
public enum ExplanationWord
{
    /// <summary>No reading speaks of a cause.</summary>
    NothingFound,

    /// <summary>At least one cause is likelier than not.</summary>
    Named,

    /// <summary>Something is off, and no cause stands out.</summary>
    NotEnoughToTell,
}

/// <summary>What the readings say of what ails a deck.</summary>
/// <param name="Word">In short.</param>
/// <param name="Findings">Causes worth speaking of, the likeliest first.</param>
/// <param name="Unnamed">Places whose response is off in a way that no cause describes, with how likely that is.</param>
/// <param name="Figures">How many figures were weighed.</param>
/// <param name="Sound">How likely it is that none of the causes is at work.</param>
/// <param name="Unexplained">Part of the misfit that the likeliest causes leave, 0 to 1; null: there is no misfit to explain.</param>
/// <param name="Check">The check that would tell most; null: none is worth its while.</param>
public sealed record Explanation(
    ExplanationWord Word,
    IReadOnlyList<CauseFinding> Findings,
    IReadOnlyList<(CausePlace Place, double Probability)> Unnamed,
    int Figures,
    double Sound,
    double? Unexplained,
    NextCheck? Check
)
{
    /// <summary>Every figure that was weighed: how far it is off a sound deck's, and what the likeliest causes together make of
    /// that.</summary>
    public IReadOnlyList<FittedFigure> Weighed { get; init; } = [];

    /// <summary>At how many places the readings could have shown each cause, by its id; a cause that is not listed could not have been
    /// seen.</summary>
    public IReadOnlyDictionary<string, int> Places { get; init; } = new Dictionary<string, int>();
}
