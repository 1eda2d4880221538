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
public sealed record CauseRow(
    string Cause, string Where, double Share, string Amount, IReadOnlyList<string> For, IReadOnlyList<string> Against, string Check, string Task, string RestsOn);

/// <summary>The record's section on what ailed the deck, as data; how it is drawn is a format's business.</summary>
/// <param name="InShort">One sentence.</param>
/// <param name="Rows">Causes likelier than not, the likeliest first.</param>
/// <param name="Open">What no cause explains, in one sentence; null: nothing of the kind.</param>
public sealed record CausesSection(string InShort, IReadOnlyList<CauseRow> Rows, string? Open)
{
    private const int MostFigures = 4;

    /// <summary>The section of an explanation.</summary>
    public static CausesSection Of(Explanation explanation)
    {
        ArgumentNullException.ThrowIfNull(explanation);
        var rows = explanation.Findings.Where(f => f.Probability >= Explainer.Named).Select(Row).ToArray();
        var inShort = explanation.Word switch
        {
            ExplanationWord.Named => string.Create(CultureInfo.InvariantCulture, $"{explanation.Figures} figure{(explanation.Figures == 1 ? " speaks" : "s speak")} for {rows.Length} cause{(rows.Length == 1 ? "" : "s")}."),
            ExplanationWord.NothingFound => "No figure speaks of any cause known to the program.",
            _ => "Something was off, and the readings were not enough to tell what.",
        };
        var open = explanation.Unnamed.Count > 0
            ? $"Something that no cause describes bent the response: {string.Join("; ", explanation.Unnamed.Select(u => u.Place.Words))}."
            : null;
        return new CausesSection(inShort, rows, open);
    }

    private static CauseRow Row(CauseFinding finding)
    {
        var first = finding.Causes[0];
        return new CauseRow(
            finding.Name,
            finding.Place.Words,
            finding.Probability,
            string.Create(CultureInfo.InvariantCulture, $"{first.Amount.Name} {finding.Amount:0.##} ± {finding.AmountUncertainty:0.##} {first.Amount.Unit}"),
            [.. finding.For.Take(MostFigures).Select(Words)],
            [.. finding.Against.Take(MostFigures).Select(Words)],
            string.Join(" Or: ", finding.Causes.Select(c => c.Check.Text)),
            string.Join(" Or: ", finding.Causes.Select(c => c.Task)),
            string.Join("; ", finding.Causes.Select(c => c.Basis == Basis.Published ? string.Join(" ", c.Sources.Select(s => $"[{s}]")) : c.Basis.ToString().ToLowerInvariant()).Distinct()));
    }

    private static string Words(CauseEvidence evidence) => string.Create(CultureInfo.InvariantCulture, $"{evidence.Figure.Words}: {evidence.Figure.Shown:0.###} {evidence.Figure.Unit}");
}
