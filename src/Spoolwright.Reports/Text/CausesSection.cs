using System.Globalization;
using Spoolwright.Bench.Causes;
using Spoolwright.Bench.Standards;

namespace Spoolwright.Reports;

/// <summary>One cause as a record tells it.</summary>
/// <param name="Cause">Plain name, or the names of several that the readings cannot tell apart.</param>
/// <param name="Where">Place; empty: the whole deck.</param>
/// <param name="Share">How likely, 0 to 1.</param>
/// <param name="Amount">Amount with uncertainty and unit.</param>
/// <param name="For">Figures that speak for it, in words.</param>
/// <param name="Against">Figures that speak against it, in words.</param>
/// <param name="Check">The check that would tell.</param>
/// <param name="Task">What mends it.</param>
/// <param name="RestsOn">Keys of sources, or <c>memory</c> or <c>practice</c>.</param>
/// <param name="AsLeft">What became of it after the mend, in words; null: nobody asked.</param>
public sealed record CauseRow(
    string Cause,
    string Where,
    double Share,
    string Amount,
    IReadOnlyList<string> For,
    IReadOnlyList<string> Against,
    string Check,
    string Task,
    string RestsOn,
    string? AsLeft = null
);

/// <summary>The record's section on what ailed the deck, as data; how it is drawn is a format's business.</summary>
/// <param name="InShort">One sentence.</param>
/// <param name="Rows">Causes likelier than not, the likeliest first.</param>
/// <param name="Open">What no cause explains, in one sentence; null: nothing of the kind.</param>
public sealed record CausesSection(string InShort, IReadOnlyList<CauseRow> Rows, string? Open)
{
    private const int MostFigures = 4;

    /// <summary>Part of what was off that the likeliest causes leave, 0 to 1; null: nothing was off.</summary>
    public double? Unexplained { get; init; }

    /// <summary>The check that would have told most; null: none was worth its while.</summary>
    public string? NextCheck { get; init; }

    /// <summary>The section of an explanation.</summary>
    public static CausesSection Of(Explanation explanation) => Of(explanation, null);

    /// <summary>The section of a job: what ailed the deck as it came, and what became of it.</summary>
    public static CausesSection Of(Ailments ailments)
    {
        ArgumentNullException.ThrowIfNull(ailments);
        return Of(ailments.Found, ailments);
    }

    /// <summary>A share for people: what is all but sure is not called certain.</summary>
    public static string Percent(double share) => share switch
    {
        > 0.99 => "over 99\u00A0%",
        < 0.01 => "under 1\u00A0%",
        _ => string.Create(CultureInfo.InvariantCulture, $"{100 * share:0}\u00A0%"),
    };

    /// <summary>That there are so many figures more, in words; null: there is none.</summary>
    public static string? More(int figures) => figures switch
    {
        <= 0 => null,
        1 => "and one figure more",
        _ => string.Create(CultureInfo.InvariantCulture, $"and {figures} figures more"),
    };

    /// <summary>On what a finding rests, as keys of sources; what was found in no document is marked <c>[memory]</c>.</summary>
    public static string RestsOn(CauseFinding finding)
    {
        ArgumentNullException.ThrowIfNull(finding);
        return string.Join("; ", finding.Causes.Select(c => c.Basis switch
        {
            Basis.Published => string.Join(" ", c.Sources.Select(s => $"[{s}]")),
            Basis.Memory => "[memory]",
            Basis.Practice => "common practice, no source",
            _ => "calculated",
        }).Distinct());
    }

    /// <summary>A figure that speaks for or against, in words.</summary>
    public static string Said(CauseEvidence evidence)
    {
        ArgumentNullException.ThrowIfNull(evidence);
        return $"{evidence.Figure.Words}: {Shown(evidence.Figure)}";
    }

    /// <summary>A figure that causes are weighed by, with its unit, as finely as the trade reads it.</summary>
    public static string Shown(Observation figure)
    {
        ArgumentNullException.ThrowIfNull(figure);
        return Figures.Spoken(figure.Shown, figure.Unit);
    }

    /// <summary>The amount with its uncertainty (k = 2).</summary>
    public static string AmountOf(CauseFinding finding)
    {
        ArgumentNullException.ThrowIfNull(finding);
        // What is reckoned with by its logarithm is told in percent of the figure.
        if (finding.Causes[0].Amount.Unit == "ln")
        {
            double ln = finding.Amount * finding.Causes[0].Touches[0].Factor;
            return string.Create(
                CultureInfo.InvariantCulture,
                $"{finding.Causes[0].Amount.Name} {Signed(100 * (Math.Exp(ln) - 1))}\u00A0±\u00A0{100 * Math.Exp(ln) * finding.AmountUncertainty:0}\u00A0%"
            );
        }

        int digits = finding.AmountUncertainty > 0 ? Math.Clamp(1 - (int)Math.Floor(Math.Log10(finding.AmountUncertainty)), 0, 4) : 2;
        string Number(double value) => value.ToString("F" + digits, CultureInfo.InvariantCulture).Replace('-', '−');
        return $"{finding.Causes[0].Amount.Name} {Number(finding.Amount)}\u00A0±\u00A0{Number(finding.AmountUncertainty)}\u00A0{finding.Causes[0].Amount.Unit}";
    }

    private static string Signed(double percent) =>
        (percent < 0 ? "−" : "+") + Math.Abs(percent).ToString("0", CultureInfo.InvariantCulture);

    private static CausesSection Of(Explanation explanation, Ailments? ailments)
    {
        ArgumentNullException.ThrowIfNull(explanation);
        var rows = explanation
            .Findings.Where(f => f.Probability >= Explainer.Named)
            .Select(f => Row(f, ailments?.After(f).Words))
            .ToArray();
        string figures = string.Create(
            CultureInfo.InvariantCulture,
            $"{explanation.Figures} figure{(explanation.Figures == 1 ? " was" : "s were")} weighed"
        );
        var inShort = explanation.Word switch
        {
            ExplanationWord.Named =>
                $"{Words.Capital(figures)}; {(rows.Length == 1 ? "one cause is" : $"{Count(rows.Length)} causes are")} likelier than not.",
            ExplanationWord.NothingFound => $"{Words.Capital(figures)}; none speaks of any cause known to the program.",
            _ => $"{Words.Capital(figures)}; something was off, and they are not enough to tell what.",
        };
        var open = explanation.Unnamed.Count > 0
            ? $"Something that no cause here describes bends the response: {string.Join("; ", explanation.Unnamed.Select(u => $"{u.Place.Words} ({Percent(u.Probability)})"))}."
            : null;
        return new CausesSection(inShort, rows, open)
        {
            Unexplained = explanation.Unexplained,
            NextCheck = explanation.Check is { } next
                ? $"{Words.Capital(next.Of.Name)}{(next.Of.Place.Words.Length > 0 ? $" ({next.Of.Place.Words})" : "")}: {next.Cause.Check.Text}"
                : null,
        };
    }

    private static string Count(int n) =>
        n < 10
            ? new[] { "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine" }[n]
            : n.ToString(CultureInfo.InvariantCulture);

    private static CauseRow Row(CauseFinding finding, string? asLeft) => new(
        finding.Name,
        finding.Place.Words,
        finding.Probability,
        AmountOf(finding),
        [.. finding.For.Take(MostFigures).Select(Said)],
        [.. finding.Against.Take(MostFigures).Select(Said)],
        string.Join(" Or: ", finding.Causes.Select(c => c.Check.Text)),
        string.Join(" Or: ", finding.Causes.Select(c => c.Task)),
        RestsOn(finding),
        asLeft);
}
